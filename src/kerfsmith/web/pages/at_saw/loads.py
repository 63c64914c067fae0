"""A load as the panel shows it: its bars, passes to be made, what an undo takes back, what to dial in."""

import json
import secrets
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from markupsafe import Markup

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome, pieces_standing, rejected_ids
from kerfsmith.web.pages.at_saw.bars import BarMaker, standing
from kerfsmith.web.pages.at_saw.view import (
    LoadForms,
    LoadView,
    PassItem,
    PassStep,
    PieceAlone,
    PieceOfPass,
    PieceToMeasure,
    Rejected,
    WaitingBar,
)
from kerfsmith.web.pages.at_saw.vise import vise_picture
from kerfsmith.web.settings import Dial, short_dials
from kerfsmith.web.words import say, say_many, to_say
from kerfsmith.workflow.load_progress import LoadPass
from kerfsmith.workflow.run_sheet import LoadSheet

FEWER = (
    to_say("no more of these bars"),
    to_say("one is bent or damaged"),
    to_say("they do not lie tight together"),
    to_say("other"),
)
"""Why a load has fewer bars than planned."""
TAKEN_OUT = (
    to_say("a piece of it is cut again"),
    to_say("bent or damaged"),
    to_say("it shifts in the vise"),
    to_say("fault in the material"),
    to_say("other"),
)
"""Why a bar comes out of a load."""


class LoadMaker:
    """Makes views of a run's loads for one reader."""

    def __init__(self, bars: BarMaker, group: PlanGroup) -> None:
        self.bars, self.bench, self.group = bars, bars.bench, group

    def load(self, sheet: LoadSheet) -> LoadView:
        """One load."""
        count = len(sheet.bars)
        dials, note = self._dials(count)
        log = tuple(self._log(sheet))
        todo = tuple(self._todo(sheet, sum(item.kind == "piece" for item in log)))
        return LoadView(
            id=sheet.load.id,
            heading=say_many(
                "1 bar at once: {labels}", "{count} bars at once: {labels}", count, labels=self._labels(sheet)
            ),
            at_once=sheet.load.at_once,
            waiting=sheet.waiting,
            is_open=sheet.is_open,
            fewer_why=sheet.load.fewer_why,
            bars=tuple(self.bars.bar(one) for one in sheet.bars),
            todo=todo,
            log=log,
            last=sheet.last.pass_id if sheet.last is not None else "",
            rejected=tuple(self._rejected(sheet)),
            alone=tuple(self._alone(sheet, todo)),
            newest=tuple(self._to_measure(sheet, _newest(sheet))),
            to_measure=tuple(self._to_measure(sheet, sheet.to_measure)),
            dials=dials,
            dials_note=note,
            vise=self._vise(sheet, todo),
            least_left=self.bars.reading.length(min(one.at_saw.bar.left_um for one in sheet.bars)),
            forms=_forms(sheet, todo),
        )

    def waiting(self, one: WaitingBar) -> WaitingBar:
        """A waiting bar, with what its load is to look like where it is cut in one."""
        if one.at_once == 1:
            return one
        outline = self.group.section.shape.outline()
        return replace(one, vise=vise_picture(outline, one.at_once, ()), dials=self._dials(one.at_once)[0])

    def _vise(self, sheet: LoadSheet, todo: Sequence[PassStep]) -> Markup:
        marks = {one.bar_id: one.mark for one in todo[0].pieces} if todo else {}
        given = [marks.get(one.at_saw.bar.id, "") for one in sheet.bars]
        return vise_picture(self.group.section.shape.outline(), sheet.load.at_once, given)

    def _labels(self, sheet: LoadSheet) -> str:
        labels = [one.at_saw.bar.label for one in sheet.bars]
        counted = {label: labels.count(label) for label in dict.fromkeys(labels)}
        return ", ".join(label if n == 1 else f"{n} × {label}" for label, n in counted.items())

    def _dials(self, count: int) -> tuple[tuple[Dial, ...], str]:
        """The setting for so many bars; where the plan has none, that for the next more, or for one."""
        own = self.group.setting_for(0.0, count)
        more = sorted(
            (one for one in self.group.bundle_settings if one.bundle > count), key=lambda one: one.bundle
        )
        setting = own or next(iter(more), None) or next(iter(self.group.settings), None)
        if setting is None:
            return (), ""
        dials = tuple(short_dials(setting, self.bars.reading))
        if setting.bundle == count:
            return dials, ""
        note = say(
            "The plan has no setting for {there} at once; shown is that for {count}.",
            there=count,
            count=setting.bundle,
        )
        return dials, note

    def _todo(self, sheet: LoadSheet, done: int) -> Iterator[PassStep]:
        first = sheet.bars[0].at_saw
        if sheet.facing_due:
            angle_deg = first.pattern[0].ends_deg[0] if first.pattern else 0.0
            step = self.bench.facing(first.facing_um, first.facing_kerf_um, angle_deg)
            pieces = tuple(PieceOfPass(one.at_saw.bar.id, "", "") for one in sheet.bars)
            yield PassStep(step, pieces, say_many("1 bar", "{count} bars", len(pieces)))
        for order, one in enumerate(sheet.to_cut.passes, start=done + 1):
            yield self._step(one, order)

    def _step(self, one: LoadPass, order: int) -> PassStep:
        pieces = tuple(PieceOfPass(of.bar_id, of.piece.line_id, of.piece.mark) for of in one.pieces)
        return PassStep(self.bench.piece(one.piece, order), pieces, self._count_words(pieces))

    @staticmethod
    def _count_words(pieces: Sequence[PieceOfPass]) -> str:
        marks = [one.mark for one in pieces]
        named = ", ".join(f"{marks.count(mark)} × {mark}" for mark in dict.fromkeys(marks))
        count = say_many("1 piece", "{count} pieces", len(pieces))
        return say("{count}: {named}", count=count, named=named)

    def _log(self, sheet: LoadSheet) -> Iterator[PassItem]:
        """Passes that stand in all these bars, in the order they were made."""
        rejected = {cut_id for one in sheet.bars for cut_id in rejected_ids(one.entries)}
        made: dict[str, list[CutEntry]] = {}
        for one in sheet.bars:
            for entry in standing(one.entries):
                if entry.pass_id:
                    made.setdefault(entry.pass_id, []).append(entry)
        order = 0
        for pass_id, entries in made.items():
            order += entries[0].kind is EntryKind.PIECE
            yield self._item(sheet, pass_id, entries, rejected, order)

    def _item(
        self, sheet: LoadSheet, pass_id: str, entries: Sequence[CutEntry], rejected: set[str], order: int
    ) -> PassItem:
        pieces = tuple(
            PieceOfPass(
                one.bar_id,
                one.line_id or "",
                one.mark,
                one.id,
                "rejected" if one.id in rejected else one.outcome.value if one.outcome else "",
                one.parts.total_um,
            )
            for one in entries
        )
        kind = entries[0].kind
        if kind is not EntryKind.PIECE:
            words = say("facing cut") if kind is EntryKind.FACING else say("trim cut")
            return PassItem(pass_id, kind.value, words, pieces, None)
        bad = sum(one.outcome in (Outcome.SCRAPPED.value, "rejected") for one in pieces)
        length = f"{self.bench.dial(entries[0].length_um)} {self.bars.unit}"
        words = say("{count}, {length}", count=self._count_words(pieces), length=length)
        if bad:
            words = say("{words}, {bad} of them no good", words=words, bad=bad)
        return PassItem(pass_id, kind.value, words, pieces, self._former(sheet, entries, order))

    def _former(self, sheet: LoadSheet, entries: Sequence[CutEntry], order: int) -> PassStep | None:
        """The step that the pass was, where the pattern has its pieces."""
        patterns = {one.at_saw.bar.id: one.at_saw.pattern for one in sheet.bars}
        found = next(
            (
                piece
                for piece in patterns[entries[0].bar_id]
                if (piece.line_id, piece.length_um) == (entries[0].line_id, entries[0].length_um)
            ),
            None,
        )
        if found is None:
            return None
        pieces = tuple(PieceOfPass(one.bar_id, one.line_id or "", one.mark) for one in entries)
        return PassStep(self.bench.piece(found, order), pieces, self._count_words(pieces))

    @staticmethod
    def _rejected(sheet: LoadSheet) -> Iterator[Rejected]:
        newest = [(one.last, one.next_number) for one in sheet.bars if one.last is not None]
        rejects = [(entry, number) for entry, number in newest if entry.kind is EntryKind.REJECT]
        for entry, number in sorted(rejects, key=lambda one: one[0].at):
            words = say("{mark} rejected: {reason}", mark=entry.mark, reason=say(entry.reason or ""))
            yield Rejected(entry.bar_id, entry.id, entry.corrects or "", number, words)

    def _alone(self, sheet: LoadSheet, todo: Sequence[PassStep]) -> Iterator[PieceAlone]:
        places = self._places(sheet)
        passes_um = sum(one.step.takes_um for one in todo)
        room_um = {one.at_saw.bar.id: one.at_saw.bar.left_um - passes_um for one in sheet.bars}
        for order, one in enumerate(sheet.to_cut.alone, start=1):
            step = self.bench.piece(one.piece, order)
            length = f"{self.bench.dial(one.piece.length_um)} {self.bars.unit}"
            told = {"place": places[one.bar_id], "mark": one.piece.mark, "length": length}
            fits = step.needs_um <= room_um[one.bar_id]
            room_um[one.bar_id] -= step.takes_um if fits else 0
            words = (
                say("Bar {place} alone: {mark}, {length}", **told)
                if fits
                else say("Bar {place}: too little is left for {mark}, {length}; plan the rest anew", **told)
            )
            yield PieceAlone(one.bar_id, places[one.bar_id], words, step, fits)

    @staticmethod
    def _places(sheet: LoadSheet) -> dict[str, int]:
        return {one.at_saw.bar.id: place for place, one in enumerate(sheet.bars, start=1)}

    def _to_measure(self, sheet: LoadSheet, pieces: Iterable[CutEntry]) -> Iterator[PieceToMeasure]:
        places = self._places(sheet)
        for entry in pieces:
            length = f"{self.bench.dial(entry.length_um)} {self.bars.unit}"
            words = say(
                "{mark}, {length}, bar {place}", mark=entry.mark, length=length, place=places[entry.bar_id]
            )
            allowed = self.bench.allowed(self.bench.lines.get(entry.line_id or ""))
            yield PieceToMeasure(entry.id, entry.bar_id, places[entry.bar_id], entry.mark, words, allowed)


def _newest(sheet: LoadSheet) -> Iterator[CutEntry]:
    """The newest good piece of each bar."""
    for one in sheet.bars:
        bad = rejected_ids(one.entries)
        good = [
            entry
            for entry in pieces_standing(one.entries)
            if entry.outcome is not Outcome.SCRAPPED and entry.id not in bad
        ]
        yield from good[-1:]


def _forms(sheet: LoadSheet, todo: Sequence[PassStep]) -> LoadForms:
    pass_id = secrets.token_hex(8)
    lines = {one.bar_id: one.line_id for one in todo[0].pieces} if todo else {}

    def each(name: str, of: str) -> list[dict[str, object]]:
        return [
            {"bar_id": one.at_saw.bar.id, name: f"{pass_id}-{of}{place}", "number": one.next_number}
            for place, one in enumerate(sheet.bars, start=1)
        ]

    cuts = [
        one | ({"line_id": lines[str(one["bar_id"])]} if lines.get(str(one["bar_id"])) else {})
        for one in each("cut_id", "")
    ]
    through = {one.bar_id for item in (sheet.last,) if item is not None for one in item.entries}
    undos = [one for one in each("undo_id", "u") if one["bar_id"] in through]
    return LoadForms(pass_id, json.dumps(cuts), json.dumps(each("cut_id", "t")), json.dumps(undos))
