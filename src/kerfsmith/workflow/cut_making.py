"""What a cut does to one bar: the entry it makes, whether it goes through that bar alone or a whole load."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome, ScrapReason
from kerfsmith.shop.inspection import Inspection, InspectionKind, Verdict, inspection_due
from kerfsmith.shop.loaded_bar import Parts
from kerfsmith.shop.run import Run, RunLine
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.told import how_many, quantity, sentence
from kerfsmith.workflow.bar_progress import alone, angles_of_piece, cut_area_cm2, still_to_cut
from kerfsmith.workflow.cut_checks import refuse_odd_load, refuse_odd_times
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.ports import Change
from kerfsmith.workflow.refusal import Refused

LONGEST_ID = 80


@dataclass(frozen=True, slots=True)
class Noted:
    """What was noted of the cut itself, as `shop.cut_log.CutEntry` keeps it."""

    note: str = ""
    began_at: datetime | None = None
    ended_at: datetime | None = None
    motor_load_percent: float | None = None
    motor_power_kw: float | None = None

    def refuse_odd(self) -> None:
        """Raise Refused for what no cut can have been."""
        refuse_odd_times(self.began_at, self.ended_at)
        refuse_odd_load(self.motor_load_percent, self.motor_power_kw)


@dataclass(frozen=True, slots=True)
class Making:
    """The cut that is being logged in one bar: who, when, which band, through which load ("" for none)."""

    run: Run
    at_saw: BarAtSaw
    entries: tuple[CutEntry, ...]
    cut_id: str
    number: int
    by: str
    at: datetime
    mounting: str
    noted: Noted
    load_id: str = ""
    pass_id: str = ""

    def piece(self, line: RunLine, scrapped: ScrapReason | None) -> CutEntry:
        """The entry of a piece of ``line``. Raises Refused where the bar hasn't that much left."""
        piece = piece_as_planned(still_to_cut(self.at_saw, self.entries), line)
        needed_um = piece.length_um - piece.lap_um
        left_um = self.at_saw.bar.left_um
        if needed_um > left_um:
            raise Refused(
                "bar-too-short",
                sentence(
                    "{mark} is {length}, of bar {label} only {left} are left",
                    mark=line.mark,
                    length=quantity(um_to_mm(piece.length_um), "mm"),
                    label=self.at_saw.bar.label,
                    left=quantity(um_to_mm(left_um), "mm"),
                ),
                "If the piece is there, measure what is left of the bar, then log the cut",
            )
        # A piece that ends so near the bar's end that no whole kerf is left takes what there is.
        kerf_um = min(piece.kerf_um, left_um - needed_um)
        if kerf_um == 0:
            piece = replace(piece, far_cut=False)
        outcome = Outcome.GOOD if line.missing > 0 else Outcome.SURPLUS
        parts = Parts(kerfs_um=kerf_um, pieces_um=needed_um)
        if scrapped is not None:
            outcome, parts = Outcome.SCRAPPED, Parts(kerfs_um=kerf_um, scrap_um=needed_um)
        area_cm2 = cut_area_cm2(self.run.area_cm2, angles_of_piece(piece))
        return replace(
            self._entry(EntryKind.PIECE, parts, area_cm2, outcome, scrapped),
            line_id=line.line_id,
            mark=line.mark,
            length_um=piece.length_um,
        )

    def waste(self, kind: EntryKind, trim_um: int | None) -> CutEntry:
        """The entry of a facing or a trim. Raises Refused for more than can come off, or an unknown trim."""
        if not kind.is_cut:
            raise Refused("not-a-cut", sentence("{kind} is logged by its own verb", kind=kind))
        if kind is EntryKind.TRIM and trim_um is None:
            raise Refused("trim-missing", "a trim says how much was cut off", "Key the length cut off")
        at_saw, facing = self.at_saw, kind is EntryKind.FACING
        off_um = at_saw.facing_um if trim_um is None else trim_um
        kerf_um = at_saw.facing_kerf_um if facing and at_saw.facing_kerf_um else self.run.kerf_um
        angle_deg = at_saw.pattern[0].ends_deg[0] if facing and at_saw.pattern else 0.0
        if off_um < 0 or off_um + kerf_um > at_saw.bar.left_um:
            raise Refused(
                "bar-too-short",
                sentence(
                    "{trim} and the kerf can't come off {left}",
                    trim=quantity(um_to_mm(off_um), "mm"),
                    left=quantity(um_to_mm(at_saw.bar.left_um), "mm"),
                ),
                "Key the length cut off",
            )
        area_cm2 = cut_area_cm2(self.run.area_cm2, (angle_deg,))
        return self._entry(kind, Parts(trims_um=off_um, kerfs_um=kerf_um), area_cm2)

    def _entry(
        self,
        kind: EntryKind,
        parts: Parts,
        area_cm2: float,
        outcome: Outcome | None = None,
        reason: ScrapReason | None = None,
    ) -> CutEntry:
        noted = self.noted
        return CutEntry(
            id=self.cut_id,
            number=self.number,
            bar_id=self.at_saw.bar.id,
            run_id=self.run.id,
            kind=kind,
            parts=parts,
            area_cm2=area_cm2,
            saw=self.run.saw,
            by=self.by,
            at=self.at,
            outcome=outcome,
            reason=reason,
            mounting=self.mounting,
            note=noted.note,
            began_at=noted.began_at,
            ended_at=noted.ended_at,
            motor_load_percent=noted.motor_load_percent,
            motor_power_kw=noted.motor_power_kw,
            load_id=self.load_id,
            pass_id=self.pass_id,
        )


@dataclass(frozen=True, slots=True)
class PieceMeasured:
    """What was measured of the piece just cut: its length, and how far its face leans over the height."""

    measured_um: int
    out_of_square_um: int | None = None


def keep_measure(
    change: Change, entry: CutEntry, line: RunLine, found: PieceMeasured, kind: InspectionKind | None
) -> Verdict:
    """Keep the measure of the piece just logged, which was due as ``kind`` (None: it wasn't)."""
    inspection = Inspection(
        id=_id_of_measure(entry.id),
        cut_id=entry.id,
        kind=kind or InspectionKind.EXTRA,
        nominal_um=entry.length_um,
        plus_um=line.plus_um,
        minus_um=line.minus_um,
        measured_um=found.measured_um,
        by=entry.by,
        at=entry.at,
        out_of_square_um=found.out_of_square_um,
    )
    change.floor.add_inspection(inspection)
    return inspection.verdict


def _id_of_measure(cut_id: str) -> str:
    """The same whenever it is asked for, and no longer than an id may be."""
    made = f"{cut_id}-m"
    return made if len(made) <= LONGEST_ID else hashlib.sha256(made.encode()).hexdigest()


def due_now(change: Change, entry: CutEntry) -> InspectionKind | None:
    """Whether the piece just logged is to be measured."""
    counts = change.floor.pieces_since(entry.run_id, entry.mounting)
    return inspection_due(*counts, change.rules().inspect_every)


def line_of(change: Change, run: Run, line_id: str | None) -> RunLine:
    """The run's line of that id. Raises Refused where there is none."""
    line = change.floor.line(run.id, line_id) if line_id else None
    if line is None:
        raise Refused(
            "unknown-line",
            sentence("run {run} has no line {line}", run=run.id, line=line_id),
            "Choose a piece of this run",
        )
    return line


def piece_as_planned(remaining: Sequence[PlannedPiece], line: RunLine) -> PlannedPiece:
    """The piece as the pattern has it; one that shares cuts only if it is the next in its place."""
    of_line = [piece for piece in remaining if piece.line_id == line.line_id]
    if not of_line or (of_line[0].is_mitred and of_line[0] != remaining[0]):
        return alone(line)
    return of_line[0]


def notes_on(
    change: Change, run: Run, entries: Sequence[CutEntry], lines: Sequence[RunLine]
) -> tuple[str, ...]:
    """What who logged these should know: pieces that are more than wanted, a saw that is told to stand."""
    notes = []
    for line in lines:
        over = sum(one.line_id == line.line_id and one.outcome is Outcome.SURPLUS for one in entries)
        if over:
            notes.append(
                how_many(
                    "{wanted} of {mark} are wanted and were there already: this one is surplus",
                    "{wanted} of {mark} are wanted and were there already: {count} of these are surplus",
                    over,
                    wanted=line.wanted,
                    mark=line.mark,
                )
            )
    if change.floor.open_stop(run.saw) is not None:
        notes.append(sentence("saw {saw} is still recorded as standing", saw=run.saw_name))
    return tuple(notes)
