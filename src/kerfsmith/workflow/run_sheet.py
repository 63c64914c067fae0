"""The run sheet: all that a panel shows of a run, at one moment."""

from dataclasses import dataclass

from kerfsmith.planning.plan import PlanGroup, PlannedPiece
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.cut_log import CutEntry, last_standing, pieces_standing, rejected_ids
from kerfsmith.shop.hold import FailedPiece
from kerfsmith.shop.inspection import Inspection, InspectionKind, inspection_due
from kerfsmith.shop.run import Run, RunLine
from kerfsmith.shop.saw_stop import Stop
from kerfsmith.workflow.bar_progress import facing_due, still_to_cut
from kerfsmith.workflow.floor_ports import BarAtSaw, PlannedAt
from kerfsmith.workflow.ports import Look


@dataclass(frozen=True, slots=True)
class BarSheet:
    """A bar that isn't closed: its log, what to cut next, and what an undo would take back."""

    at_saw: BarAtSaw
    entries: tuple[CutEntry, ...]
    facing_due: bool
    still_to_cut: tuple[PlannedPiece, ...]
    last: CutEntry | None

    @property
    def next_number(self) -> int:
        """The number that the next entry of its log must have."""
        return self.at_saw.bar.entries + 1


@dataclass(frozen=True, slots=True)
class RunSheet:
    """A run with its lines and setting, the bars to load, the bars in work, band, stop and inspections.

    ``group`` is the plan's group as released; its ``settings`` are what is dialled in. ``failed`` are pieces
    that measured out of what is allowed, settled or not; ``doubtful`` those cut before them that may be so.
    """

    run: Run
    group: PlanGroup
    lines: tuple[RunLine, ...]
    to_load: tuple[PlannedAt, ...]
    bars: tuple[BarSheet, ...]
    closed: tuple[BarAtSaw, ...]
    band: ThisBand | None
    stop: Stop | None
    inspections: tuple[Inspection, ...]
    inspection_due: InspectionKind | None
    last_piece: CutEntry | None
    failed: tuple[FailedPiece, ...] = ()
    doubtful: tuple[CutEntry, ...] = ()

    @property
    def held(self) -> tuple[FailedPiece, ...]:
        """Pieces that measured wrong and wait for a decision; no further good piece is counted until then."""
        return tuple(one for one in self.failed if one.is_held)


def run_sheet(look: Look, run_id: str) -> RunSheet | None:
    """The sheet of a run, None for a run that isn't known."""
    floor = look.floor
    run = floor.run(run_id)
    group = floor.plan_group(run.plan_id, run.group_id) if run is not None else None
    if run is None or group is None:
        return None
    at_saw = floor.bars(run_id)
    mounted = look.crib.mounted(run.saw)
    sheets = tuple(_bar_sheet(look, one) for one in at_saw if not one.bar.state.is_closed)
    pieces = [
        entry
        for sheet in sheets
        for entry in pieces_standing(sheet.entries)
        if entry.id not in rejected_ids(sheet.entries)
    ]
    inspections = floor.inspections(run_id)
    failed = floor.failed((run_id,))
    since_measured, since_set_up = floor.pieces_since(run_id, mounted.id if mounted else None)
    due = inspection_due(since_measured, since_set_up, look.rules().inspect_every)
    return RunSheet(
        run=run,
        group=group,
        lines=floor.lines(run_id),
        to_load=tuple(one for one in floor.planned(run_id) if one.waiting > 0),
        bars=sheets,
        closed=tuple(one for one in at_saw if one.bar.state.is_closed),
        band=look.crib.band(mounted.band_id) if mounted is not None else None,
        stop=floor.open_stop(run.saw),
        inspections=inspections,
        inspection_due=due,
        last_piece=max(pieces, key=lambda entry: entry.at, default=None),
        failed=failed,
        doubtful=floor.doubtful((run_id,)) if failed else (),
    )


def _bar_sheet(look: Look, at_saw: BarAtSaw) -> BarSheet:
    entries = look.floor.entries(at_saw.bar.id)
    return BarSheet(
        at_saw, entries, facing_due(at_saw, entries), still_to_cut(at_saw, entries), last_standing(entries)
    )
