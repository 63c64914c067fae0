"""The floor changed in the tables. Triggers book each cut on its bar and line; neither is summed up here."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import and_, func, insert, select, update

from kerfsmith.planning.plan import PlannedBar, PlannedPiece
from kerfsmith.records import floor_tables as t
from kerfsmith.records import tables
from kerfsmith.records.codec import to_document
from kerfsmith.records.floor import FloorRead
from kerfsmith.records.floor_rows import (
    cut_row,
    load_row,
    loaded_row,
    run_bar_row,
    run_line_row,
    run_row,
)
from kerfsmith.records.hold_tables import decisions
from kerfsmith.records.locks import hold, hold_found
from kerfsmith.records.rows import bar_row
from kerfsmith.records.stop_tables import stops
from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome
from kerfsmith.shop.hold import Decision
from kerfsmith.shop.inspection import Inspection
from kerfsmith.shop.load import Load
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import Run, RunLine, RunState
from kerfsmith.shop.saw_stop import Stop
from kerfsmith.workflow.floor_ports import BarAtSaw


class FloorWrite(FloorRead):
    """`workflow.floor_ports.Floor` over the connection of one open change."""

    def hold_saw(self, saw: str) -> None:
        """Keep all others from changing what is at this saw until the transaction ends."""
        hold(self._run, "saw", saw)

    def hold_saw_of_run(self, run_id: str) -> None:
        """The same for the saw of a run, whether or not there is such a run."""
        hold_found(self._run, "saw", select(t.runs.c.saw_id).where(t.runs.c.id == run_id))

    def hold_saw_of_bar(self, bar_id: str) -> None:
        """The same for the saw at which a bar was loaded, whether or not there is such a bar."""
        hold_found(self._run, "saw", select(t.loaded_bars.c.saw_id).where(t.loaded_bars.c.id == bar_id))

    def hold_saw_of_load(self, load_id: str) -> None:
        """The same for the saw at which a load lies, whether or not there is such a load."""
        of_load = select(t.runs.c.saw_id).join(t.loads, t.loads.c.run_id == t.runs.c.id)
        hold_found(self._run, "saw", of_load.where(t.loads.c.id == load_id))

    def enter_saw(self, saw: str, name: str) -> None:
        """Put a saw on record, unless it is there."""
        if self._run.scalar(select(t.saws.c.id).where(t.saws.c.id == saw)) is None:
            self._run.execute(insert(t.saws).values(id=saw, name=name))

    def hold_rack(self, grade: str, section_key: str) -> None:
        """Keep all others from taking bars of this grade and section until the transaction ends."""
        hold(self._run, "rack", f"{grade} {section_key}")

    def add_run(self, run: Run, lines: Sequence[RunLine], bars: Sequence[PlannedBar]) -> None:
        """Keep a released run."""
        self._run.execute(insert(t.runs).values(**run_row(run)))
        self._run.execute(insert(t.run_lines), [run_line_row(line, at) for at, line in enumerate(lines)])
        self._plan(run.id, run.revision, bars)

    def revise_run(self, run_id: str, revision: int, bars: Sequence[PlannedBar]) -> None:
        """Replace what is planned but not loaded by the bars of a new revision."""
        self._run.execute(update(t.runs).where(t.runs.c.id == run_id).values(revision=revision))
        self._plan(run_id, revision, bars)

    def _plan(self, run_id: str, revision: int, bars: Sequence[PlannedBar]) -> None:
        if bars:
            rows = [run_bar_row(run_id, revision, place, bar) for place, bar in enumerate(bars)]
            self._run.execute(insert(t.run_bars), rows)

    def put_line(self, line: RunLine) -> None:
        """Keep a line's wanted quantity and length."""
        lines = t.run_lines
        self._run.execute(
            update(lines)
            .where(lines.c.run_id == line.run_id, lines.c.line_id == line.line_id)
            .values(wanted=line.wanted, length_um=line.length_um)
        )

    def finish_run(self, run_id: str, *, by: str, at: datetime) -> None:
        """Mark a run as finished."""
        finished = {"state": RunState.FINISHED.value, "finished_at": at, "finished_by": by}
        self._run.execute(update(t.runs).where(t.runs.c.id == run_id).values(**finished))

    def take_from_rack(self, label: str) -> None:
        """One bar less in an entry."""
        bars = tables.bars
        self._run.execute(update(bars).where(bars.c.id == label).values(count=bars.c.count - 1))

    def give_back(self, label: str) -> None:
        """One bar more in an entry."""
        bars = tables.bars
        self._run.execute(update(bars).where(bars.c.id == label).values(count=bars.c.count + 1))

    def load(self, at_saw: BarAtSaw) -> None:
        """Keep a newly loaded bar."""
        bar, planned = at_saw.bar, t.run_bars
        of_planned = and_(
            planned.c.run_id == bar.run_id,
            planned.c.revision == bar.revision,
            planned.c.position == bar.position,
        )
        times = self._run.scalars(select(planned.c.times).where(of_planned)).one()
        kind = self._run.execute(
            select(t.runs.c.grade, t.runs.c.section_key).where(t.runs.c.id == bar.run_id)
        ).one()
        self._run.execute(
            insert(t.loaded_bars).values(**loaded_row(at_saw, kind.grade, kind.section_key, times))
        )

    def begin_load(self, load: Load) -> None:
        """Keep a load into which bars are to be laid."""
        self._run.execute(insert(t.loads).values(**load_row(load)))

    def cut_with_fewer(self, load_id: str, why: str) -> None:
        """Keep why a load is cut with fewer bars than were planned."""
        self._run.execute(update(t.loads).where(t.loads.c.id == load_id).values(fewer_why=why))

    def leave_load(self, bar_id: str) -> None:
        """Keep that a bar no longer lies with the others of its load."""
        self._run.execute(update(t.loaded_bars).where(t.loaded_bars.c.id == bar_id).values(load_id=None))

    def set_pattern(self, bar_id: str, pattern: Sequence[PlannedPiece]) -> None:
        """Keep what is to be cut from a bar."""
        document = to_document(tuple(pattern), tuple[PlannedPiece, ...])
        self._run.execute(update(t.loaded_bars).where(t.loaded_bars.c.id == bar_id).values(pattern=document))

    def set_bar(
        self, bar_id: str, *, state: BarState, length_um: int, left_um: int, by: str, at: datetime
    ) -> None:
        """Keep a bar's state and its lengths as found."""
        values: dict[str, object] = {"state": state.value, "length_um": length_um, "left_um": left_um}
        if state.is_closed:
            values |= {"closed_at": at, "closed_by": by}
        self._run.execute(update(t.loaded_bars).where(t.loaded_bars.c.id == bar_id).values(**values))

    def log(self, entry: CutEntry) -> None:
        """Add an entry to the cut log; triggers book it on the bar and the line."""
        self._run.execute(insert(t.cuts).values(**cut_row(entry, self._counts(entry))))

    def _counts(self, entry: CutEntry) -> tuple[int, int, int]:
        """What an entry changes of good, surplus and scrapped pieces."""
        if entry.kind is EntryKind.PIECE:
            outcome = entry.outcome
            return (
                int(outcome is Outcome.GOOD),
                int(outcome is Outcome.SURPLUS),
                int(outcome is Outcome.SCRAPPED),
            )
        if entry.corrects is None:
            return 0, 0, 0
        cuts = t.cuts
        columns = cuts.c.good, cuts.c.surplus, cuts.c.scrapped
        good, surplus, scrapped = self._run.execute(select(*columns).where(cuts.c.id == entry.corrects)).one()
        if entry.kind is EntryKind.REJECT:
            return -good, -surplus, 1
        return -good, -surplus, -scrapped

    def add_inspection(self, inspection: Inspection) -> None:
        """Keep a measured piece."""
        self._run.execute(
            insert(t.inspections).values(
                id=inspection.id,
                cut_id=inspection.cut_id,
                kind=inspection.kind.value,
                nominal_um=inspection.nominal_um,
                plus_um=inspection.plus_um,
                minus_um=inspection.minus_um,
                measured_um=inspection.measured_um,
                by=inspection.by,
                at=inspection.at,
                out_of_square_um=inspection.out_of_square_um,
            )
        )

    def add_decision(self, decision: Decision) -> None:
        """Keep what was decided on a piece."""
        self._run.execute(
            insert(decisions).values(
                id=decision.id,
                cut_id=decision.cut_id,
                inspection_id=decision.inspection_id,
                kind=decision.kind.value,
                reason=decision.reason,
                by=decision.by,
                at=decision.at,
            )
        )

    def put_remnant(self, bar_id: str, remnant: Bar, *, by: str, at: datetime) -> None:
        """Put what is left of a loaded bar on the rack."""
        place = self._run.scalar(select(func.max(tables.bars.c.row))) or 0
        self._run.execute(insert(tables.bars).values(**bar_row(remnant) | {"row": place + 1}))
        self.set_bar_state(bar_id, BarState.PUT_AWAY, by=by, at=at)
        self._run.execute(
            insert(t.remnants).values(
                label=remnant.id,
                bar_id=bar_id,
                length_um=remnant.length_um,
                place=remnant.place,
                put_at=at,
                put_by=by,
            )
        )

    def set_bar_state(self, bar_id: str, state: BarState, *, by: str, at: datetime) -> None:
        """Close a bar with its lengths as they are."""
        values = {"state": state.value, "closed_at": at, "closed_by": by}
        self._run.execute(update(t.loaded_bars).where(t.loaded_bars.c.id == bar_id).values(**values))

    def begin_stop(self, stop: Stop) -> None:
        """Keep that a saw stands."""
        self._run.execute(
            insert(stops).values(
                id=stop.id,
                saw_id=stop.saw,
                run_id=stop.run_id,
                reason=stop.reason.value,
                note=stop.note,
                began_at=stop.began_at,
                began_by=stop.began_by,
                ended_by="",
            )
        )

    def end_stop(self, stop_id: str, *, by: str, at: datetime) -> None:
        """Keep that it runs again."""
        self._run.execute(update(stops).where(stops.c.id == stop_id).values(ended_at=at, ended_by=by))
