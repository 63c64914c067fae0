"""Logging a cut: facing, piece or trim, good or scrapped, with its measured length where one was taken."""

import math
from dataclasses import dataclass, replace
from datetime import datetime

from kerfsmith.errors import InvalidValue
from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome, ScrapReason
from kerfsmith.shop.inspection import Inspection, InspectionKind, Verdict, inspection_due, judge
from kerfsmith.shop.loaded_bar import Parts
from kerfsmith.shop.person import Person
from kerfsmith.shop.run import Run, RunLine
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.told import quantity
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_in_saw, refuse_if_out_of_step, refuse_odd_squareness
from kerfsmith.workflow.bar_progress import alone, angles_of_piece, cut_area_cm2, still_to_cut
from kerfsmith.workflow.cut_checks import band_on, refuse_odd_load, refuse_odd_times, refuse_past_hold
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


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
        if not all(math.isfinite(figure or 0.0) for figure in (self.motor_load_percent, self.motor_power_kw)):
            raise InvalidValue("load and power are finite figures")
        if any(time is not None and time.tzinfo is None for time in (self.began_at, self.ended_at)):
            raise InvalidValue("the times of a cut have a time zone")


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
    isn't in the saw, an entry number that another has taken, a piece longer than what is left of the bar, a
    saw without a band on record, a good piece while another is held. One that was cut while its panel had no
    network, and so could not know of the hold, is counted.
    """

    def body(change: Change) -> CutLogged:
        floor = change.floor
        run, at_saw = bar_in_saw(floor, told.bar_id)
        entries = floor.entries(told.bar_id)
        refuse_if_out_of_step(at_saw, told.number, entries)
        refuse_odd_times(told.began_at, told.ended_at)
        refuse_odd_load(told.motor_load_percent, told.motor_power_kw)
        refuse_odd_squareness(told.out_of_square_um)
        line = None
        if told.kind is EntryKind.PIECE:
            line = _line(change, run, told)
            entry = _piece(told, run, line, at_saw, entries)
        else:
            entry = _waste(told, run, at_saw)
        if entry.outcome in (Outcome.GOOD, Outcome.SURPLUS):
            refuse_past_hold(floor, run, at, event)
        entry = replace(entry, by=by.name, at=at, mounting=band_on(change, run, at).id)
        floor.log(entry)
        if told.measured_um is not None and line is not None:
            _measure(change, told, entry, line, by=by, at=at)
        return _answer(change, told, run, _Before(at_saw, entries, line), entry)

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


def _line(change: Change, run: Run, told: LogCut) -> RunLine:
    line = change.floor.line(run.id, told.line_id) if told.line_id else None
    if line is None:
        raise Refused(
            "unknown-line", f"run {run.id} has no line {told.line_id}", "Choose a piece of this run"
        )
    return line


def _piece(
    told: LogCut, run: Run, line: RunLine, at_saw: BarAtSaw, entries: tuple[CutEntry, ...]
) -> CutEntry:
    piece = _planned_piece(still_to_cut(at_saw, entries), line)
    needed_um = piece.length_um - piece.lap_um
    left_um = at_saw.bar.left_um
    if needed_um > left_um:
        raise Refused(
            "bar-too-short",
            f"{line.mark} is {quantity(um_to_mm(piece.length_um), 'mm')}, of bar {at_saw.bar.label} only"
            f" {quantity(um_to_mm(left_um), 'mm')} are left",
            "If the piece is there, measure what is left of the bar, then log the cut",
        )
    # A piece that ends so near the bar's end that no whole kerf is left takes what there is.
    kerf_um = min(piece.kerf_um, left_um - needed_um)
    if kerf_um == 0:
        piece = replace(piece, far_cut=False)
    outcome = Outcome.GOOD if line.missing > 0 else Outcome.SURPLUS
    if told.scrapped is not None:
        outcome = Outcome.SCRAPPED
        parts = Parts(kerfs_um=kerf_um, scrap_um=needed_um)
    else:
        parts = Parts(kerfs_um=kerf_um, pieces_um=needed_um)
    return _entry(
        told,
        run,
        parts,
        cut_area_cm2(run.area_cm2, angles_of_piece(piece)),
        line_id=line.line_id,
        mark=line.mark,
        length_um=piece.length_um,
        outcome=outcome,
        reason=told.scrapped,
    )


def _planned_piece(remaining: tuple[PlannedPiece, ...], line: RunLine) -> PlannedPiece:
    """The piece as the pattern has it; one that shares cuts only if it is the next in its place."""
    of_line = [piece for piece in remaining if piece.line_id == line.line_id]
    if not of_line or (of_line[0].is_mitred and of_line[0] != remaining[0]):
        return alone(line)
    return of_line[0]


def _waste(told: LogCut, run: Run, at_saw: BarAtSaw) -> CutEntry:
    if not told.kind.is_cut:
        raise Refused("not-a-cut", f"{told.kind} is logged by its own verb")
    if told.kind is EntryKind.TRIM and told.trim_um is None:
        raise Refused("trim-missing", "a trim says how much was cut off", "Key the length cut off")
    trim_um = at_saw.facing_um if told.trim_um is None else told.trim_um
    facing = told.kind is EntryKind.FACING
    kerf_um = at_saw.facing_kerf_um if facing and at_saw.facing_kerf_um else run.kerf_um
    angle_deg = at_saw.pattern[0].ends_deg[0] if facing and at_saw.pattern else 0.0
    if trim_um < 0 or trim_um + kerf_um > at_saw.bar.left_um:
        raise Refused(
            "bar-too-short",
            f"{quantity(um_to_mm(trim_um), 'mm')} and the kerf can't come off "
            + quantity(um_to_mm(at_saw.bar.left_um), "mm"),
            "Key the length cut off",
        )
    return _entry(
        told, run, Parts(trims_um=trim_um, kerfs_um=kerf_um), cut_area_cm2(run.area_cm2, (angle_deg,))
    )


def _entry(
    told: LogCut,
    run: Run,
    parts: Parts,
    area_cm2: float,
    *,
    line_id: str | None = None,
    mark: str = "",
    length_um: int = 0,
    outcome: Outcome | None = None,
    reason: ScrapReason | None = None,
) -> CutEntry:
    return CutEntry(
        id=told.cut_id,
        number=told.number,
        bar_id=told.bar_id,
        run_id=run.id,
        kind=told.kind,
        parts=parts,
        area_cm2=area_cm2,
        saw=run.saw,
        by="",
        at=run.released_at,
        line_id=line_id,
        mark=mark,
        length_um=length_um,
        outcome=outcome,
        reason=reason,
        note=told.note,
        began_at=told.began_at,
        ended_at=told.ended_at,
        motor_load_percent=told.motor_load_percent,
        motor_power_kw=told.motor_power_kw,
    )


def _measure(
    change: Change, told: LogCut, entry: CutEntry, line: RunLine, *, by: Person, at: datetime
) -> None:
    assert told.measured_um is not None, "called for a measured piece"
    since_measured, since_set_up = change.floor.pieces_since(entry.run_id, entry.mounting)
    kind = inspection_due(since_measured, since_set_up, change.rules().inspect_every)
    change.floor.add_inspection(
        Inspection(
            id=f"{entry.id}-m",
            cut_id=entry.id,
            kind=kind or InspectionKind.EXTRA,
            nominal_um=entry.length_um,
            plus_um=line.plus_um,
            minus_um=line.minus_um,
            measured_um=told.measured_um,
            by=by.name,
            at=at,
            out_of_square_um=told.out_of_square_um,
        )
    )


@dataclass(frozen=True, slots=True)
class _Before:
    """Bar, its log and the line, as they were before the entry."""

    at_saw: BarAtSaw
    entries: tuple[CutEntry, ...]
    line: RunLine | None


def _answer(change: Change, told: LogCut, run: Run, before: _Before, entry: CutEntry) -> CutLogged:
    floor = change.floor
    at_saw = replace(before.at_saw, bar=before.at_saw.bar.after(entry.parts))
    line = before.line.with_piece(entry.outcome) if before.line and entry.outcome else None
    due, verdict = None, None
    if line is not None and told.measured_um is not None:
        verdict = judge(told.measured_um - entry.length_um, line.plus_um, line.minus_um)
    elif line is not None:
        due = inspection_due(*floor.pieces_since(run.id, entry.mounting), change.rules().inspect_every)
    notes = []
    if entry.outcome is Outcome.SURPLUS and line is not None:
        notes.append(f"{line.wanted} of {line.mark} are wanted and were there already: this one is surplus")
    if floor.open_stop(run.saw) is not None:
        notes.append(f"saw {run.saw_name} is still recorded as standing")
    remaining = still_to_cut(at_saw, (*before.entries, entry))
    return CutLogged(entry, at_saw, line, remaining, due, verdict, tuple(notes))
