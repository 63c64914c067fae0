"""Bars as the panel shows them: the one in the saw with its log and what is next, and those that wait."""

from collections.abc import Sequence

from markupsafe import Markup

from kerfsmith.planning.plan import ForLine, PlannedPiece
from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome, rejected_ids
from kerfsmith.shop.rack import BarKind
from kerfsmith.web.pages.at_saw.steps import FACING, PIECE, Bench, Step, unit_of
from kerfsmith.web.pages.at_saw.strip import Part, panel_strip
from kerfsmith.web.pages.at_saw.view import BarView, LogItem, WaitingBar
from kerfsmith.web.words import say, say_many
from kerfsmith.workflow.floor_ports import PlannedAt
from kerfsmith.workflow.run_sheet import BarSheet


class BarMaker:
    """Makes views of a run's bars for one reader."""

    def __init__(self, bench: Bench) -> None:
        self.bench, self.reading = bench, bench.reading
        self.unit = unit_of(bench.reading.measure)

    def bar(self, sheet: BarSheet) -> BarView:
        bar = sheet.at_saw.bar
        done, todo = self._steps(sheet)
        heat = say("heat {heat}", heat=bar.heat) if bar.heat else say("heat not stated")
        return BarView(
            id=bar.id,
            label=bar.label,
            heading=say(
                "Bar {label}, {length}, {heat}",
                label=bar.label,
                length=self.reading.length(bar.length_um),
                heat=heat,
            ),
            state=bar.state.value,
            number=sheet.next_number,
            left_um=bar.left_um,
            left=self.reading.length(bar.left_um),
            strip=self._strip(sheet, todo),
            log=self._log(sheet, done),
            todo=todo,
        )

    def _steps(self, sheet: BarSheet) -> tuple[dict[str, Step], tuple[Step, ...]]:
        """Steps made, by the entry that made them, and steps still to make."""
        rejected = rejected_ids(sheet.entries)
        good: dict[str, list[str]] = {}
        for entry in standing(sheet.entries):
            if entry.outcome in (Outcome.GOOD, Outcome.SURPLUS) and entry.id not in rejected:
                good.setdefault(entry.line_id or "", []).append(entry.id)
        done: dict[str, Step] = {}
        todo: list[Step] = []
        at_saw = sheet.at_saw
        if sheet.facing_due:
            todo.append(self._facing(at_saw.facing_um, at_saw.facing_kerf_um, at_saw.pattern))
        for order, piece in enumerate(at_saw.pattern, start=1):
            made = good.get(piece.line_id)
            if made:
                entry_id = made.pop(0)
                done[entry_id] = self.bench.piece(piece, order, entry_id)
            else:
                todo.append(self.bench.piece(piece, order))
        return done, tuple(todo)

    def _facing(self, facing_um: int, kerf_um: int, pattern: Sequence[PlannedPiece]) -> Step:
        return self.bench.facing(facing_um, kerf_um, pattern[0].ends_deg[0] if pattern else 0.0)

    def _log(self, sheet: BarSheet, done: dict[str, Step]) -> tuple[LogItem, ...]:
        rejected = rejected_ids(sheet.entries)
        at_saw = sheet.at_saw
        items = []
        for entry in standing(sheet.entries):
            step = done.get(entry.id)
            if entry.kind is EntryKind.FACING:
                step = self._facing(at_saw.facing_um, at_saw.facing_kerf_um, at_saw.pattern)
            outcome = "rejected" if entry.id in rejected else entry.outcome.value if entry.outcome else ""
            items.append(
                LogItem(
                    entry.id,
                    entry.kind.value,
                    entry.line_id or "",
                    self._entry_words(entry, outcome),
                    outcome,
                    entry.parts.total_um,
                    step,
                )
            )
        return tuple(items)

    def _entry_words(self, entry: CutEntry, outcome: str) -> str:
        if entry.kind is EntryKind.PIECE:
            named = {
                "mark": entry.mark,
                "length": self.bench.dial(entry.length_um),
                "unit": self.unit,
                "outcome": say(outcome),
            }
            if entry.reason:
                return say("{mark}, {length} {unit}, {outcome} ({reason})", reason=say(entry.reason), **named)
            return say("{mark}, {length} {unit}, {outcome}", **named)
        if entry.kind is EntryKind.REJECT:
            return say("{mark} rejected: {reason}", mark=entry.mark, reason=say(entry.reason or ""))
        return say("facing cut") if entry.kind is EntryKind.FACING else say("trim cut")

    def _strip(self, sheet: BarSheet, todo: Sequence[Step]) -> Markup:
        bar = sheet.at_saw.bar
        rejected = rejected_ids(sheet.entries)
        parts = [
            Part(
                entry.id,
                "scrapped" if entry.outcome is Outcome.SCRAPPED or entry.id in rejected else entry.kind.value,
                "done",
                entry.parts.total_um - entry.parts.kerfs_um,
                entry.parts.kerfs_um,
                entry.mark,
            )
            for entry in standing(sheet.entries)
            if entry.kind.is_cut
        ]
        parts += _to_come(todo, bar.left_um)
        made = sum(part.state == "done" and part.kind == "piece" for part in parts)
        words = say(
            "{pieces} cut, {more} to come.",
            pieces=say_many("1 piece", "{count} pieces", made),
            more=say_many("1 piece", "{count} pieces", sum(one.kind == PIECE for one in todo)),
        )
        return panel_strip(parts, bar.length_um, words, "strip")

    def waiting(self, at_plan: PlannedAt, key: str) -> WaitingBar:
        planned = at_plan.planned
        todo = []
        if planned.facing_um or planned.facing_kerf_um:
            todo.append(self._facing(planned.facing_um, planned.facing_kerf_um, planned.pieces))
        todo += [self.bench.piece(piece, order) for order, piece in enumerate(planned.pieces, start=1)]
        heat = say("heat {heat}", heat=planned.heat) if planned.heat else say("heat not stated")
        length = self.reading.length(planned.length_um)
        place = say("at {place}", place=planned.place) if planned.place else ""
        to_buy = planned.kind is BarKind.TO_BUY
        words = [length, say("to be bought") if to_buy else heat, place]
        return WaitingBar(
            label=planned.bar_id,
            words=", ".join(word for word in words if word),
            count=at_plan.waiting,
            length_um=planned.length_um,
            heat=planned.heat,
            to_buy=to_buy,
            heading=f"{length}, {heat}",
            pieces=_pieces_words([piece for at in range(planned.at_once) for piece in planned.laid(at)]),
            strip=panel_strip(
                _to_come(todo, planned.length_um), planned.length_um, _pieces_words(planned.pieces), key
            ),
            todo=tuple(todo),
            at_once=planned.at_once,
            free_copy=at_plan.free_copy,
            serves=tuple(
                tuple(ForLine(piece.line_id, piece.mark) for piece in planned.laid(at))
                for at in range(planned.at_once if planned.at_once > 1 else 0)
            ),
        )


def standing(entries: Sequence[CutEntry]) -> list[CutEntry]:
    """Entries that are neither an undo nor undone, oldest first."""
    undone = {entry.corrects for entry in entries if entry.kind is EntryKind.UNDO}
    return [entry for entry in entries if entry.kind is not EntryKind.UNDO and entry.id not in undone]


def _to_come(todo: Sequence[Step], left_um: int) -> list[Part]:
    """Parts still to be cut, the first of them next, and the rest behind them."""
    parts = []
    for at, step in enumerate(todo):
        if step.needs_um > left_um:
            break
        taken_um = min(step.takes_um, left_um)
        kind = FACING if step.kind == FACING else PIECE
        state = "next" if at == 0 else "to-come"
        mark = "" if step.kind == FACING else step.mark
        parts.append(Part(step.key, kind, state, step.needs_um, taken_um - step.needs_um, mark))
        left_um -= taken_um
    if left_um:
        parts.append(Part("rest", "rest", "to-come", left_um, 0, say("remnant")))
    return parts


def _pieces_words(pieces: Sequence[PlannedPiece]) -> str:
    """``4 × P1, 1 × P2``."""
    marks = dict.fromkeys(piece.mark for piece in pieces)
    return ", ".join(f"{sum(piece.mark == mark for piece in pieces)} × {mark}" for mark in marks)
