"""Cutting through a load: one deed at the saw, one entry in the log of each of its bars, all or none."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome, ScrapReason
from kerfsmith.shop.inspection import InspectionKind, Verdict
from kerfsmith.shop.load import Load
from kerfsmith.shop.loaded_bar import Parts
from kerfsmith.shop.person import Person
from kerfsmith.shop.run import Run, RunLine
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import load_in_saw, refuse_if_out_of_step, refuse_odd_squareness
from kerfsmith.workflow.cut_checks import band_on, check_noted, refuse_past_hold
from kerfsmith.workflow.cut_making import (
    Making,
    Noted,
    PieceMeasured,
    due_now,
    keep_measure,
    line_of,
    notes_on,
)
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import BarAtSaw, Floor
from kerfsmith.workflow.load_progress import LoadToCut, load_to_cut
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class BarCut:
    """What a pass did to one bar of the load: the ``number``-th entry of its log, known as ``cut_id``.

    A piece names its ``line_id``; a ``scrapped`` one has its reason. ``trim_um`` is what came off this bar
    where that is other than told of the load. ``measured_um`` and ``out_of_square_um`` are of its piece.
    """

    bar_id: str
    cut_id: str
    number: int
    line_id: str | None = None
    scrapped: ScrapReason | None = None
    trim_um: int | None = None
    measured_um: int | None = None
    out_of_square_um: int | None = None


@dataclass(frozen=True, slots=True)
class CutLoad:
    """One pass of the band through all bars of a load, to be known as ``pass_id``.

    ``kind`` is FACING, PIECE or TRIM; ``trim_um`` is the waste of a trim, and of a facing other than planned.
    ``fewer_why`` says why the load is cut with fewer bars than planned, told with its first pass. Times and
    motor load are the pass's, as `shop.cut_log.CutEntry` keeps them.

    Raises InvalidValue for a figure that is none, a time without zone, a pass through nothing, or through a
    bar twice.
    """

    pass_id: str
    load_id: str
    cuts: tuple[BarCut, ...]
    kind: EntryKind = EntryKind.PIECE
    trim_um: int | None = None
    fewer_why: str = ""
    note: str = ""
    began_at: datetime | None = None
    ended_at: datetime | None = None
    motor_load_percent: float | None = None
    motor_power_kw: float | None = None

    def __post_init__(self) -> None:
        if not self.cuts or len({one.bar_id for one in self.cuts}) < len(self.cuts):
            raise InvalidValue("a pass goes through each bar of its load once")
        check_noted(self.began_at, self.ended_at, self.motor_load_percent, self.motor_power_kw)


@dataclass(frozen=True, slots=True)
class DuePiece:
    """A piece just cut that is to be measured, and why."""

    cut_id: str
    bar_id: str
    kind: InspectionKind


@dataclass(frozen=True, slots=True)
class JudgedPiece:
    """A piece that was measured with the pass, and how it stands to its tolerance."""

    cut_id: str
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class LoadCut:
    """The pass as kept: its entries, bars and lines after it, what is still to cut, what to know.

    ``due`` are pieces to be measured now, ``judged`` those that were. ``notes`` are whole phrases.
    """

    load_id: str
    pass_id: str
    entries: tuple[CutEntry, ...]
    bars: tuple[BarAtSaw, ...]
    lines: tuple[RunLine, ...]
    to_cut: LoadToCut
    due: tuple[DuePiece, ...]
    judged: tuple[JudgedPiece, ...]
    notes: tuple[str, ...] = ()


def cut_load(
    records: Records, told: CutLoad, *, by: Person, at: datetime, event: EventMark | None = None
) -> LoadCut | Refusal:
    """Add one pass to the logs of all bars of a load, in one transaction.

    Refused as a whole: a load that has other bars than told, an entry number that another has taken, pieces
    of unequal length or with mitred ends, a piece longer than what is left of one bar, a load with fewer bars
    than planned and no reason, a saw without a band on record, a good piece while another is held.
    """

    def body(change: Change) -> LoadCut:
        run, load, bars = load_in_saw(change.floor, told.load_id)
        if change.floor.entries_of_pass(told.pass_id):
            raise Refused("id-taken", sentence("a pass is known as {id} already", id=told.pass_id))
        _refuse_other_bars(told, bars)
        noted = Noted(told.note, told.began_at, told.ended_at, told.motor_load_percent, told.motor_power_kw)
        noted.refuse_odd()
        _begin(change.floor, told, run, load, bars)
        if told.kind is EntryKind.PIECE and any(one.scrapped is None for one in told.cuts):
            refuse_past_hold(change.floor, run, at, event)
        mounting = band_on(change, run, at).id
        by_id = {one.bar.id: one for one in bars}
        entries = tuple(
            _log(change, told, one, run, by_id[one.bar_id], (by.name, at, mounting), noted)
            for one in told.cuts
        )
        _refuse_unequal(entries)
        return _answer(change, told, run, entries)

    return act(
        records,
        Verb.CUT_LOAD,
        body,
        answer_as=LoadCut,
        told=told,
        subject=told.load_id,
        by=by,
        at=at,
        event=event,
    )


def _refuse_other_bars(told: CutLoad, bars: Sequence[BarAtSaw]) -> None:
    there = {one.bar.id: one.bar.label for one in bars}
    if set(there) != {one.bar_id for one in told.cuts}:
        raise Refused(
            "load-changed",
            sentence(
                "in this load lie {labels}: the cut was told of others", labels=", ".join(there.values())
            ),
            "Look at the load, then count the cut",
        )


def _begin(floor: Floor, told: CutLoad, run: Run, load: Load, bars: Sequence[BarAtSaw]) -> None:
    """With the first pass no further bar can be laid into the load: with bars missing it has a reason."""
    if len(bars) >= load.at_once or any(one.bar.parts != Parts() for one in bars):
        return
    waiting = 0
    if load.revision == run.revision:
        waiting = sum(one.waiting for one in floor.planned(run.id) if one.position == load.position)
    why = told.fewer_why.strip() or load.fewer_why
    if waiting and not why:
        raise Refused(
            "load-not-full",
            sentence(
                "{there} of {at_once} bars lie in the load, and more are waiting",
                there=len(bars),
                at_once=load.at_once,
            ),
            "Load the others, or say why it is cut with fewer; then dial in the setting for so many",
        )
    if why:
        floor.cut_with_fewer(load.id, why)


def _log(
    change: Change,
    told: CutLoad,
    one: BarCut,
    run: Run,
    at_saw: BarAtSaw,
    made: tuple[str, datetime, str],
    noted: Noted,
) -> CutEntry:
    by, at, mounting = made
    log = change.floor.entries(one.bar_id)
    refuse_if_out_of_step(at_saw, one.number, log)
    refuse_odd_squareness(one.out_of_square_um)
    making = Making(
        run, at_saw, log, one.cut_id, one.number, by, at, mounting, noted, told.load_id, told.pass_id
    )
    if told.kind is EntryKind.PIECE:
        line = line_of(change, run, one.line_id)
        _refuse_mitred(line)
        entry = making.piece(line, one.scrapped)
    else:
        entry = making.waste(told.kind, told.trim_um if one.trim_um is None else one.trim_um)
    change.floor.log(entry)
    return entry


def _refuse_mitred(line: RunLine) -> None:
    if line.angle_a_deg or line.angle_b_deg:
        raise Refused(
            "mitred-load",
            sentence("{mark} has a mitred end, and several bars are cut square alone", mark=line.mark),
            "Take the bars out of the load and cut it from each",
        )


def _refuse_unequal(entries: Sequence[CutEntry]) -> None:
    if len({entry.length_um for entry in entries}) > 1:
        marks = ", ".join(dict.fromkeys(entry.mark for entry in entries))
        raise Refused(
            "unequal-lengths",
            sentence("one pass gives pieces of one length, and {marks} differ", marks=marks),
            "Choose the piece of each bar again",
        )


def _answer(change: Change, told: CutLoad, run: Run, entries: tuple[CutEntry, ...]) -> LoadCut:
    floor = change.floor
    found = {line_id: floor.line(run.id, line_id) for entry in entries if (line_id := entry.line_id)}
    lines = {line_id: line for line_id, line in found.items() if line is not None}
    due, judged = _measures(change, told, entries, lines)
    bars = tuple(one for one in map(floor.bar, (entry.bar_id for entry in entries)) if one is not None)
    return LoadCut(
        told.load_id,
        told.pass_id,
        entries,
        bars,
        tuple(lines.values()),
        load_to_cut([(one, floor.entries(one.bar.id)) for one in bars]),
        due,
        judged,
        notes_on(change, run, entries, tuple(lines.values())),
    )


def _measures(
    change: Change, told: CutLoad, entries: Sequence[CutEntry], lines: Mapping[str, RunLine]
) -> tuple[tuple[DuePiece, ...], tuple[JudgedPiece, ...]]:
    """Pieces to be measured, and the verdict on those that were."""
    if told.kind is not EntryKind.PIECE:
        return (), ()
    due = {entry.id: kind for entry, kind in _due(change, told.load_id, entries)}
    judged = []
    for one, entry in zip(told.cuts, entries, strict=True):
        if one.measured_um is not None:
            found = PieceMeasured(one.measured_um, one.out_of_square_um)
            line = lines[entry.line_id or ""]
            verdict = keep_measure(change, entry, line, found, due.pop(entry.id, None))
            judged.append(JudgedPiece(entry.id, verdict))
    by_id = {entry.id: entry.bar_id for entry in entries}
    return tuple(DuePiece(cut_id, by_id[cut_id], kind) for cut_id, kind in due.items()), tuple(judged)


def _due(
    change: Change, load_id: str, entries: Sequence[CutEntry]
) -> Sequence[tuple[CutEntry, InspectionKind]]:
    """The first piece of every bar of a load and after each set-up, then one whenever one is due in the run.

    Each bar of a load is held by its neighbours: one that isn't held fast or flush shows on its own pieces
    alone, so that no bar's piece speaks for another's. From then on the saw moves them all by one feed.
    """
    good = [entry for entry in entries if entry.outcome is not Outcome.SCRAPPED]
    kind = due_now(change, entries[0])
    measured = change.floor.bars_measured(load_id) if kind is not InspectionKind.FIRST_PIECE else frozenset()
    first = [entry for entry in good if entry.bar_id not in measured]
    if first:
        return [(entry, InspectionKind.FIRST_PIECE) for entry in first]
    return [(entry, kind) for entry in good[:1] if kind is not None]
