"""Logging a cut: facing, piece or trim, good or scrapped, with its measured length where one was taken."""

from dataclasses import dataclass, replace
from datetime import datetime

from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome, ScrapReason
from kerfsmith.shop.inspection import InspectionKind, Verdict
from kerfsmith.shop.person import Person
from kerfsmith.shop.run import RunLine
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import (
    bar_in_saw,
    refuse_if_out_of_step,
    refuse_in_load,
    refuse_odd_squareness,
)
from kerfsmith.workflow.bar_progress import still_to_cut
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
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class LogCut:
    """The ``number``-th entry of a bar's log (from 1, corrections included), to be known as ``cut_id``.

    ``kind`` is FACING, PIECE or TRIM. A piece names its ``line_id``; a ``scrapped`` one has its reason.
    ``trim_um`` is the waste of a trim, and of a facing other than planned. ``measured_um`` is the piece's
    length as measured, ``out_of_square_um`` how far its face leans over the section's height.

    ``began_at`` and ``ended_at`` are the cut's own, ``motor_load_percent`` and ``motor_power_kw`` the motor's
    highest in it, as `shop.cut_log.CutEntry` keeps them.

    Raises InvalidValue for a figure that is none, or a time without zone.
    """

    cut_id: str
    bar_id: str
    number: int
    kind: EntryKind = EntryKind.PIECE
    line_id: str | None = None
    scrapped: ScrapReason | None = None
    trim_um: int | None = None
    measured_um: int | None = None
    note: str = ""
    out_of_square_um: int | None = None
    began_at: datetime | None = None
    ended_at: datetime | None = None
    motor_load_percent: float | None = None
    motor_power_kw: float | None = None

    def __post_init__(self) -> None:
        check_noted(self.began_at, self.ended_at, self.motor_load_percent, self.motor_power_kw)


@dataclass(frozen=True, slots=True)
class CutLogged:
    """The entry as kept, bar and line after it, and what the operator should know.

    ``inspection_due``: measure the piece just cut. ``verdict`` is that of ``measured_um``. ``notes`` are
    whole phrases, as of a piece that is one more than wanted since the quantity was lowered.
    """

    entry: CutEntry
    bar: BarAtSaw
    line: RunLine | None
    still_to_cut: tuple[PlannedPiece, ...]
    inspection_due: InspectionKind | None
    verdict: Verdict | None
    notes: tuple[str, ...] = ()


def log_cut(
    records: Records, told: LogCut, *, by: Person, at: datetime, event: EventMark | None = None
) -> CutLogged | Refusal:
    """Add one cut to a bar's log.

    A cut is a fact: a piece that is no longer wanted is kept as surplus, not refused. Refused: a bar that
    isn't in the saw or lies in a load with others, an entry number that another has taken, a piece longer
    than what is left of the bar, a saw without a band on record, a good piece while another is held. One that
    was cut while its panel had no network, and so could not know of the hold, is counted.
    """

    def body(change: Change) -> CutLogged:
        floor = change.floor
        run, at_saw = bar_in_saw(floor, told.bar_id)
        refuse_in_load(at_saw)
        entries = floor.entries(told.bar_id)
        refuse_if_out_of_step(at_saw, told.number, entries)
        noted = Noted(told.note, told.began_at, told.ended_at, told.motor_load_percent, told.motor_power_kw)
        noted.refuse_odd()
        refuse_odd_squareness(told.out_of_square_um)
        mounting = band_on(change, run, at).id
        making = Making(run, at_saw, entries, told.cut_id, told.number, by.name, at, mounting, noted)
        line = line_of(change, run, told.line_id) if told.kind is EntryKind.PIECE else None
        if line is not None:
            entry = making.piece(line, told.scrapped)
        else:
            entry = making.waste(told.kind, told.trim_um)
        if entry.outcome in (Outcome.GOOD, Outcome.SURPLUS):
            refuse_past_hold(floor, run, at, event)
        floor.log(entry)
        return _answer(change, told, making, line, entry)

    return act(
        records,
        Verb.LOG_CUT,
        body,
        answer_as=CutLogged,
        told=told,
        subject=told.bar_id,
        by=by,
        at=at,
        event=event,
    )


def _answer(
    change: Change, told: LogCut, making: Making, before: RunLine | None, entry: CutEntry
) -> CutLogged:
    at_saw = replace(making.at_saw, bar=making.at_saw.bar.after(entry.parts))
    line = before.with_piece(entry.outcome) if before is not None and entry.outcome else None
    due = due_now(change, entry) if line is not None else None
    verdict = None
    if line is not None and told.measured_um is not None:
        found = PieceMeasured(told.measured_um, told.out_of_square_um)
        verdict = keep_measure(change, entry, line, found, due)
        due = None
    return CutLogged(
        entry,
        at_saw,
        line,
        still_to_cut(at_saw, (*making.entries, entry)),
        due,
        verdict,
        notes_on(change, making.run, (entry,), (line,) if line is not None else ()),
    )
