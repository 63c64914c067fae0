"""The run sheet: all that a panel shows of a run, at one moment."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kerfsmith.planning.plan import PlanGroup, PlannedPiece
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.cut_log import CutEntry, Outcome, last_standing, pieces_standing, rejected_ids
from kerfsmith.shop.hold import FailedPiece
from kerfsmith.shop.inspection import Inspection, InspectionKind, inspection_due
from kerfsmith.shop.load import Load
from kerfsmith.shop.loaded_bar import BarState, Parts
from kerfsmith.shop.run import Run, RunLine
from kerfsmith.shop.saw_stop import Stop
from kerfsmith.workflow.bar_progress import facing_due, still_to_cut
from kerfsmith.workflow.floor_ports import BarAtSaw, PlannedAt
from kerfsmith.workflow.load_progress import LoadToCut, load_to_cut
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
class PassOfLoad:
    """A pass that stands, as an undo would take it back: its entries, bar by bar."""

    pass_id: str
    entries: tuple[CutEntry, ...]


@dataclass(frozen=True, slots=True)
class LoadSheet:
    """A load with bars in the saw: how many more are waiting for it, what to cut next, what to measure.

    ``is_open`` says whether further bars may be laid into it. ``last`` is the pass that an undo would take
    back, None where there is none or one bar has a later entry of its own. ``to_measure`` are newest pieces
    of bars of which none was measured in this load.
    """

    load: Load
    bars: tuple[BarSheet, ...]
    is_open: bool
    waiting: int
    facing_due: bool
    to_cut: LoadToCut
    last: PassOfLoad | None
    to_measure: tuple[CutEntry, ...]


@dataclass(frozen=True, slots=True)
class RunSheet:
    """A run with its lines and setting, the bars to load, the bars in work, band, stop and inspections.

    ``group`` is the plan's group as released; its ``settings`` are what is dialled in for bars cut alone, its
    ``bundle_settings`` for so many at once. ``bars`` are all that aren't closed, those of ``loads`` among
    them. ``failed`` are pieces that measured out of what is allowed, settled or not; ``doubtful`` those cut
    before them that may be so.
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
    loads: tuple[LoadSheet, ...] = ()

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
    planned = floor.planned(run_id)
    return RunSheet(
        run=run,
        group=group,
        lines=floor.lines(run_id),
        to_load=tuple(one for one in planned if one.waiting > 0),
        bars=sheets,
        closed=tuple(one for one in at_saw if one.bar.state.is_closed),
        band=look.crib.band(mounted.band_id) if mounted is not None else None,
        stop=floor.open_stop(run.saw),
        inspections=inspections,
        inspection_due=due,
        last_piece=max(pieces, key=lambda entry: entry.at, default=None),
        failed=failed,
        doubtful=floor.doubtful((run_id,)) if failed else (),
        loads=tuple(_loads(look, run, planned, sheets)),
    )


def _bar_sheet(look: Look, at_saw: BarAtSaw) -> BarSheet:
    entries = look.floor.entries(at_saw.bar.id)
    return BarSheet(
        at_saw, entries, facing_due(at_saw, entries), still_to_cut(at_saw, entries), last_standing(entries)
    )


def _loads(
    look: Look, run: Run, planned: Sequence[PlannedAt], sheets: Sequence[BarSheet]
) -> Iterator[LoadSheet]:
    of_load: dict[str, list[BarSheet]] = {}
    for sheet in sheets:
        bar = sheet.at_saw.bar
        if bar.load_id and bar.state is BarState.LOADED:
            of_load.setdefault(bar.load_id, []).append(sheet)
    for load_id, bars in of_load.items():
        load = look.floor.load_named(load_id)
        assert load is not None, "its bars name it"
        waiting = sum(one.waiting for one in planned if one.position == load.position)
        waiting = min(waiting, load.at_once - len(bars)) if load.revision == run.revision else 0
        uncut = all(one.at_saw.bar.parts == Parts() for one in bars)
        yield LoadSheet(
            load=load,
            bars=tuple(bars),
            is_open=uncut and waiting > 0,
            waiting=waiting if uncut else 0,
            facing_due=all(one.facing_due for one in bars),
            to_cut=load_to_cut([(one.at_saw, one.entries) for one in bars]),
            last=_last_pass(look, bars),
            to_measure=_to_measure(look, load, bars),
        )


def _last_pass(look: Look, bars: Sequence[BarSheet]) -> PassOfLoad | None:
    newest = {one.last.pass_id if one.last is not None else "" for one in bars}
    pass_id = next(iter(newest))
    if len(newest) > 1 or not pass_id:
        return None
    return PassOfLoad(pass_id, look.floor.entries_of_pass(pass_id))


def _to_measure(look: Look, load: Load, bars: Sequence[BarSheet]) -> tuple[CutEntry, ...]:
    measured = look.floor.bars_measured(load.id)
    newest = []
    for one in bars:
        good = [piece for piece in pieces_standing(one.entries) if piece.outcome is not Outcome.SCRAPPED]
        if good and one.at_saw.bar.id not in measured:
            newest.append(good[-1])
    return tuple(newest)
