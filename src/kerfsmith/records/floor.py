"""The floor read from the tables: runs, bars at the saws, cuts, the rack as it is promised."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from types import SimpleNamespace
from typing import Any

from sqlalchemy import (
    ColumnElement,
    MappingResult,
    RowMapping,
    ScalarSelect,
    Select,
    String,
    and_,
    bindparam,
    case,
    func,
    literal,
    select,
)

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.records import floor_tables as t
from kerfsmith.records import tables
from kerfsmith.records.codec import from_document
from kerfsmith.records.floor_rows import (
    read_cut,
    read_inspection,
    read_load,
    read_loaded,
    read_run,
    read_run_bar,
    read_run_line,
    read_stop,
)
from kerfsmith.records.holds import HoldRead, failed_place, is_no_undo, is_undone
from kerfsmith.records.rows import read_bar, read_line, read_planned_bar
from kerfsmith.records.stop_tables import stops
from kerfsmith.shop.cut_log import CutEntry, LoggedCut
from kerfsmith.shop.inspection import Inspection
from kerfsmith.shop.load import Load
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import Run, RunLine, RunState
from kerfsmith.shop.saw_stop import Stop
from kerfsmith.workflow.floor_ports import BarAtSaw, PlannedAt, RackEntry

REMNANT_LABEL = "R-{:05d}"


class FloorRead(HoldRead):
    """`workflow.floor_ports.FloorReading` over one connection."""

    def runs(self, saw: str | None = None, state: RunState | None = None) -> tuple[Run, ...]:
        """Runs, oldest first."""
        wanted = select(t.runs).order_by(t.runs.c.number)
        if saw is not None:
            wanted = wanted.where(t.runs.c.saw_id == saw)
        if state is not None:
            wanted = wanted.where(t.runs.c.state == state.value)
        return tuple(read_run(row) for row in self._run.execute(wanted))

    def run(self, run_id: str) -> Run | None:
        """One run."""
        row = self._run.execute(select(t.runs).where(t.runs.c.id == run_id)).first()
        return read_run(row) if row is not None else None

    def run_of_group(self, plan_id: str, group_id: str) -> Run | None:
        """The run that a group of a plan was released as."""
        of_group = and_(t.runs.c.plan_id == plan_id, t.runs.c.group_id == group_id)
        row = self._run.execute(select(t.runs).where(of_group)).first()
        return read_run(row) if row is not None else None

    def plan_group(self, plan_id: str, group_id: str) -> PlanGroup | None:
        """A group of a plan with its bars."""
        groups, bars = tables.plan_groups, tables.plan_bars
        row = self._run.execute(
            select(groups.c.document).where(groups.c.plan_id == plan_id, groups.c.id == group_id)
        ).first()
        if row is None:
            return None
        wanted = select(bars).where(bars.c.plan_id == plan_id, bars.c.group_id == group_id)
        planned = tuple(read_planned_bar(one) for one in self._run.execute(wanted.order_by(bars.c.position)))
        return replace(from_document(row.document, PlanGroup), bars=planned)

    def order_lines(self, line_ids: Sequence[str]) -> Mapping[str, tuple[str, OrderLine]]:
        """Lines on the book by their ids, each with the id of its order."""
        lines = tables.order_lines
        rows = self._run.execute(select(lines).where(lines.c.id.in_(line_ids)))
        return {row.id: (row.order_id, read_line(row)) for row in rows}

    def open_runs_of_order(self, order_id: str) -> tuple[str, ...]:
        """Ids of the open runs that cut pieces of an order."""
        wanted = (
            select(t.runs.c.id)
            .join(t.run_lines, t.run_lines.c.run_id == t.runs.c.id)
            .where(t.run_lines.c.order_id == order_id, t.runs.c.state == RunState.RELEASED.value)
            .distinct()
        )
        return tuple(sorted(self._run.scalars(wanted)))

    def pieces_in_runs(self) -> Mapping[str, int]:
        """Pieces of lines on the book that are wanted in open runs, or came good from finished ones."""
        line = t.run_lines
        is_open = t.runs.c.state == RunState.RELEASED.value
        pieces = func.sum(case((is_open, line.c.wanted), else_=line.c.good))
        # Only what is on the book: the runs of years are not added up for every plan.
        on_book = line.c.line_id.in_(select(tables.order_lines.c.id))
        wanted = select(line.c.line_id, pieces.label("pieces")).join(t.runs, t.runs.c.id == line.c.run_id)
        rows = self._run.execute(wanted.where(on_book).group_by(line.c.line_id))
        return {row.line_id: int(row.pieces) for row in rows}

    def promised_bars(self) -> Mapping[str, int]:
        """Entries of the rack that open runs are promised, each with how many they haven't loaded yet."""
        rows = self._on_rack()
        return {
            row["id"]: min(row["count"], int(row["promised"]))
            for row in rows
            if row["count"] and row["promised"]
        }

    def free_bars(self) -> tuple[Bar, ...]:
        """The rack less the bars that open runs are promised."""
        rows = self._on_rack()
        return tuple(_free_bar(row) for row in rows if row["count"] is None or row["count"] > row["promised"])

    def _on_rack(self) -> MappingResult:
        bars = tables.bars
        there = _rack_entries().where(bars.c.count.is_distinct_from(0)).order_by(bars.c.row, bars.c.id)
        return self._run.execute(there).mappings()

    def known_bars(self) -> tuple[Bar, ...]:
        """Every bar that lies or lay on the rack, with its price; what is used up is told of as one bar."""
        known = select(tables.bars).order_by(tables.bars.c.row, tables.bars.c.id)
        rows = self._run.execute(known).mappings()
        return tuple(read_bar(SimpleNamespace(**row), count=1 if row["count"] == 0 else None) for row in rows)

    def lines(self, run_id: str) -> tuple[RunLine, ...]:
        """Lines of a run."""
        wanted = select(t.run_lines).where(t.run_lines.c.run_id == run_id).order_by(t.run_lines.c.position)
        return tuple(read_run_line(row) for row in self._run.execute(wanted))

    def line(self, run_id: str, line_id: str) -> RunLine | None:
        """One line of a run."""
        lines = t.run_lines
        wanted = select(lines).where(lines.c.run_id == run_id, lines.c.line_id == line_id)
        row = self._run.execute(wanted).first()
        return read_run_line(row) if row is not None else None

    def planned(self, run_id: str) -> tuple[PlannedAt, ...]:
        """Planned bars of a run's present revision, in their order."""
        planned = t.run_bars
        wanted = (
            select(planned, _was_loaded().label("loaded"), _highest_copy().label("highest"))
            .join(t.runs, and_(t.runs.c.id == planned.c.run_id, t.runs.c.revision == planned.c.revision))
            .where(planned.c.run_id == run_id)
            .order_by(planned.c.position)
        )
        rows = self._run.execute(wanted).all()
        return tuple(
            PlannedAt(row.position, read_run_bar(row), row.loaded, self._free_copy(row)) for row in rows
        )

    def _free_copy(self, row: Any) -> int:
        """The lowest copy of a planned bar that isn't loaded."""
        if row.loaded == row.highest:
            return int(row.highest) + 1
        # Only where a bar was returned is there a gap to be filled.
        there = t.loaded_bars.c
        taken = set(
            self._run.scalars(
                select(there.copy).where(
                    there.run_id == row.run_id,
                    there.revision == row.revision,
                    there.position == row.position,
                    there.state != "returned uncut",
                )
            )
        )
        return next(number for number in range(1, len(taken) + 2) if number not in taken)

    def bars(self, run_id: str) -> tuple[BarAtSaw, ...]:
        """Bars loaded for a run, first loaded first."""
        bars = t.loaded_bars
        wanted = select(bars).where(bars.c.run_id == run_id).order_by(bars.c.number)
        return tuple(read_loaded(row) for row in self._run.execute(wanted))

    def bar(self, bar_id: str) -> BarAtSaw | None:
        """One loaded bar."""
        row = self._run.execute(select(t.loaded_bars).where(t.loaded_bars.c.id == bar_id)).first()
        return read_loaded(row) if row is not None else None

    def load_named(self, load_id: str) -> Load | None:
        """One load."""
        row = self._run.execute(select(t.loads).where(t.loads.c.id == load_id)).first()
        return read_load(row) if row is not None else None

    def bars_of_load(self, load_id: str) -> tuple[BarAtSaw, ...]:
        """Bars of a load that weren't taken out of it, in the order they were laid in."""
        bars = t.loaded_bars
        rows = self._run.execute(select(bars).where(bars.c.load_id == load_id).order_by(bars.c.number))
        return tuple(read_loaded(row) for row in rows)

    def entries_of_pass(self, pass_id: str) -> tuple[CutEntry, ...]:
        """What one pass cut, bar by bar; undos left out."""
        wanted = select(t.cuts).where(t.cuts.c.pass_id == pass_id, is_no_undo(t.cuts))
        return tuple(read_cut(row) for row in self._run.execute(wanted.order_by(t.cuts.c.number)))

    def entries(self, bar_id: str) -> tuple[CutEntry, ...]:
        """Cut log of a bar in its order."""
        wanted = select(t.cuts).where(t.cuts.c.bar_id == bar_id).order_by(t.cuts.c.entry)
        return tuple(read_cut(row) for row in self._run.execute(wanted))

    def cut_log(self, since: datetime | None = None) -> tuple[LoggedCut, ...]:
        """Every entry of every bar from ``since`` on, oldest first, with its bar."""
        cuts, bars = t.cuts, t.loaded_bars
        wanted = (
            select(cuts, bars.c.label, bars.c.grade, bars.c.heat, t.runs.c.section)
            .join(bars, bars.c.id == cuts.c.bar_id)
            .join(t.runs, t.runs.c.id == cuts.c.run_id)
            .order_by(cuts.c.number)
        )
        if since is not None:
            wanted = wanted.where(cuts.c.at >= since)
        return tuple(
            LoggedCut(read_cut(row), row.label, row.grade, str(row.section["name"]), row.heat or "")
            for row in self._run.execute(wanted)
        )

    def entry(self, cut_id: str) -> CutEntry | None:
        """One entry of the cut log."""
        row = self._run.execute(select(t.cuts).where(t.cuts.c.id == cut_id)).first()
        return read_cut(row) if row is not None else None

    def inspections(self, run_id: str) -> tuple[Inspection, ...]:
        """Measured pieces of a run, oldest first."""
        wanted = (
            select(t.inspections)
            .join(t.cuts, t.cuts.c.id == t.inspections.c.cut_id)
            .where(t.cuts.c.run_id == run_id)
            .order_by(t.inspections.c.number)
        )
        return tuple(read_inspection(row) for row in self._run.execute(wanted))

    def pieces_since(self, run_id: str, mounting: str | None) -> tuple[int, int]:
        """Pieces cut since one was measured, and since the run was set up."""
        found = self._run.execute(_PIECES_SINCE, {"run": run_id, "mounting": mounting}).one()
        return found[0], found[1]

    def bars_measured(self, load_id: str) -> frozenset[str]:
        """Bars in this load of which a piece that a pass through it gave was measured."""
        there = select(t.loaded_bars.c.id).where(t.loaded_bars.c.load_id == load_id)
        wanted = (
            select(t.cuts.c.bar_id)
            .join(t.inspections, t.inspections.c.cut_id == t.cuts.c.id)
            .where(t.cuts.c.load_id == load_id, t.cuts.c.bar_id.in_(there), ~is_undone(t.cuts))
        )
        return frozenset(self._run.scalars(wanted))

    def rack_entry(self, label: str) -> RackEntry | None:
        """An entry of the rack by its label, used ones too."""
        found = self._rack(tables.bars.c.id == label)
        return found[0] if found else None

    def rack_entries(self, grade: str, section_key: str) -> tuple[RackEntry, ...]:
        """Entries of the rack with something left, of one grade and section."""
        bars = tables.bars
        of_kind = and_(bars.c.grade == grade, bars.c.section_key == section_key)
        return self._rack(and_(of_kind, bars.c.kind != "to buy", bars.c.count > 0))

    def _rack(self, wanted: ColumnElement[bool]) -> tuple[RackEntry, ...]:
        rows = self._run.execute(_rack_entries().where(wanted).order_by(tables.bars.c.id)).mappings()
        return tuple(_rack_entry(row) for row in rows)

    def free_remnant_labels(self, count: int) -> tuple[str, ...]:
        """Labels that no bar has or had."""
        number = self._run.scalar(select(func.count()).select_from(t.remnants)) or 0
        free: list[str] = []
        while len(free) < count:
            number += 1
            label = REMNANT_LABEL.format(number)
            taken = select(literal(1)).where(tables.bars.c.id == label)
            if self._run.execute(taken).first() is None:
                free.append(label)
        return tuple(free)

    def open_stop(self, saw: str) -> Stop | None:
        """The stop that lasts at a saw."""
        lasting = select(stops).where(stops.c.saw_id == saw, stops.c.ended_at.is_(None))
        row = self._run.execute(lasting).first()
        return read_stop(row) if row is not None else None

    def stops(self, saw: str | None = None, limit: int = 100) -> tuple[Stop, ...]:
        """Stops, newest first."""
        wanted = select(stops).order_by(stops.c.number.desc()).limit(limit)
        if saw is not None:
            wanted = wanted.where(stops.c.saw_id == saw)
        return tuple(read_stop(row) for row in self._run.execute(wanted))


def _rack_entry(row: RowMapping) -> RackEntry:
    count = row["count"] or 0
    # A bar that is used up is told of as one bar: the value knows no empty entries.
    bar = read_bar(SimpleNamespace(**row), count=max(1, count))
    return RackEntry(bar, count, int(row["promised"]))


def _free_bar(row: RowMapping) -> Bar:
    entry = SimpleNamespace(**row)
    return read_bar(entry) if entry.count is None else read_bar(entry, count=entry.count - entry.promised)


_LOADED_OF_PLANNED = and_(
    t.loaded_bars.c.run_id == t.run_bars.c.run_id,
    t.loaded_bars.c.revision == t.run_bars.c.revision,
    t.loaded_bars.c.position == t.run_bars.c.position,
    t.loaded_bars.c.state != "returned uncut",
)
"""A bar that was loaded, and not returned, of a planned bar."""


def _was_loaded() -> ScalarSelect[int]:
    """How many bars were loaded, and not returned, of a planned bar."""
    planned, loaded = t.run_bars, t.loaded_bars
    return (
        select(func.count())
        .select_from(loaded)
        .where(_LOADED_OF_PLANNED)
        .correlate(planned)
        .scalar_subquery()
    )


def _highest_copy() -> ScalarSelect[int]:
    """The highest copy of a planned bar that was loaded, and not returned."""
    planned, loaded = t.run_bars, t.loaded_bars
    return (
        select(func.coalesce(func.max(loaded.c.copy), 0))
        .where(_LOADED_OF_PLANNED)
        .correlate(planned)
        .scalar_subquery()
    )


def _rack_entries() -> Select[Any]:
    """Rack entries, each with how many of it are planned in open runs and not loaded yet."""
    planned, bars = t.run_bars, tables.bars
    in_open_run = and_(t.runs.c.id == planned.c.run_id, t.runs.c.revision == planned.c.revision)
    promised = (
        select(func.coalesce(func.sum(planned.c.times - _was_loaded()), 0))
        .select_from(planned.join(t.runs, in_open_run))
        .where(planned.c.label == bars.c.id, planned.c.kind != "to buy", t.runs.c.state == "released")
        .correlate(bars)
        .scalar_subquery()
    )
    return select(bars, promised.label("promised"))


def _pieces_since() -> Select[Any]:
    cuts, run, mounting = t.cuts, bindparam("run", type_=String), bindparam("mounting", type_=String)
    undone = select(cuts.c.corrects).where(cuts.c.run_id == run, cuts.c.kind == "undo")
    pieces = (
        select(func.count())
        .select_from(cuts)
        .where(cuts.c.run_id == run, cuts.c.kind == "piece", cuts.c.id.not_in(undone))
    )
    measured = (
        select(func.max(cuts.c.number))
        .join(t.inspections, t.inspections.c.cut_id == cuts.c.id)
        .where(cuts.c.run_id == run)
        .scalar_subquery()
    )
    since_measured = pieces.where(cuts.c.number > func.coalesce(measured, 0))
    with_band = pieces.where(
        cuts.c.mounting_id.is_not_distinct_from(mounting),
        cuts.c.number > func.coalesce(failed_place(run), 0),
    )
    return select(since_measured.scalar_subquery(), with_band.scalar_subquery())


_PIECES_SINCE = _pieces_since()
"""Put together once: it is asked for at every piece."""
