"""What the verbs at the saw ask of the records."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Protocol

from kerfsmith.planning.plan import PlanGroup, PlannedBar, PlannedPiece
from kerfsmith.shop.band_in_use import Mounting, RemovalReason, ThisBand
from kerfsmith.shop.cut_log import CutEntry, LoggedCut
from kerfsmith.shop.heat import Certificate, FileKind, Heat
from kerfsmith.shop.hold import Decision, FailedPiece
from kerfsmith.shop.inspection import Inspection
from kerfsmith.shop.load import Load
from kerfsmith.shop.loaded_bar import BarState, LoadedBar
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import Run, RunLine, RunState
from kerfsmith.shop.saw_stop import Stop
from kerfsmith.shop.trace import HeatTrace, PieceTrace, TracedPiece


@dataclass(frozen=True, slots=True)
class BarAtSaw:
    """A loaded bar with what is to be cut from it: the planned facing, and the pieces in their order."""

    bar: LoadedBar
    facing_um: int
    facing_kerf_um: int
    pattern: tuple[PlannedPiece, ...]


@dataclass(frozen=True, slots=True)
class RackEntry:
    """An entry of the rack as it stands: ``count`` there, of which ``promised`` are planned in open runs.

    A used entry stays known with the count 0.
    """

    bar: Bar
    count: int
    promised: int


@dataclass(frozen=True, slots=True)
class PlannedAt:
    """A planned bar of a run: its position in the revision, and how many of its ``times`` were loaded.

    ``free_copy`` counts its equal bars from 1 and names the first of them that isn't loaded.
    """

    position: int
    planned: PlannedBar
    loaded: int
    free_copy: int

    @property
    def waiting(self) -> int:
        """How many are still to be loaded."""
        return self.planned.times - self.loaded

    @property
    def to_come(self) -> tuple[PlannedBar, ...]:
        """Those as planned bars: whole loads, and what makes none any more bar by bar."""
        planned, over = self.planned, self.waiting % self.planned.at_once
        whole = (replace(planned, times=self.waiting - over),) if self.waiting > over else ()
        single = (replace(planned, times=1, at_once=1, pieces=planned.laid(at)) for at in range(over))
        return (*whole, *single)


class FloorReading(Protocol):
    """Runs, bars at the saws and cuts, to be read."""

    def runs(self, saw: str | None = None, state: RunState | None = None) -> tuple[Run, ...]:
        """Runs, oldest first."""

    def run(self, run_id: str) -> Run | None:
        """One run."""

    def run_of_group(self, plan_id: str, group_id: str) -> Run | None:
        """The run that a group of a plan was released as."""

    def plan_group(self, plan_id: str, group_id: str) -> PlanGroup | None:
        """A group of a plan with its bars."""

    def order_lines(self, line_ids: Sequence[str]) -> Mapping[str, tuple[str, OrderLine]]:
        """Lines on the book by their ids, each with the id of its order."""

    def open_runs_of_order(self, order_id: str) -> tuple[str, ...]:
        """Ids of the open runs that cut pieces of an order."""

    def pieces_in_runs(self) -> Mapping[str, int]:
        """Pieces of lines on the book that are wanted in open runs, or came good from finished ones."""

    def promised_bars(self) -> Mapping[str, int]:
        """Entries of the rack that open runs are promised, each with how many they haven't loaded yet."""

    def free_bars(self) -> tuple[Bar, ...]:
        """The rack less the bars that open runs are promised."""

    def known_bars(self) -> tuple[Bar, ...]:
        """Every bar that lies or lay on the rack, with its price; what is used up is told of as one bar."""

    def lines(self, run_id: str) -> tuple[RunLine, ...]:
        """Lines of a run."""

    def line(self, run_id: str, line_id: str) -> RunLine | None:
        """One line of a run."""

    def planned(self, run_id: str) -> tuple[PlannedAt, ...]:
        """Planned bars of a run's present revision, in their order."""

    def bars(self, run_id: str) -> tuple[BarAtSaw, ...]:
        """Bars loaded for a run, first loaded first."""

    def bar(self, bar_id: str) -> BarAtSaw | None:
        """One loaded bar."""

    def load_named(self, load_id: str) -> Load | None:
        """One load."""

    def bars_of_load(self, load_id: str) -> tuple[BarAtSaw, ...]:
        """Bars of a load that weren't taken out of it, in the order they were laid in."""

    def entries_of_pass(self, pass_id: str) -> tuple[CutEntry, ...]:
        """What one pass cut, bar by bar; undos left out."""

    def entries(self, bar_id: str) -> tuple[CutEntry, ...]:
        """Cut log of a bar in its order."""

    def cut_log(self, since: datetime | None = None) -> tuple[LoggedCut, ...]:
        """Every entry of every bar from ``since`` on, oldest first, with its bar."""

    def entry(self, cut_id: str) -> CutEntry | None:
        """One entry of the cut log."""

    def inspections(self, run_id: str) -> tuple[Inspection, ...]:
        """Measured pieces of a run, oldest first."""

    def pieces_since(self, run_id: str, mounting: str | None) -> tuple[int, int]:
        """Pieces cut since one was measured, and since the run was set up.

        It is set up when it begins, when a band is mounted, and anew after a piece that measured out.
        """

    def failed(self, run_ids: Sequence[str]) -> tuple[FailedPiece, ...]:
        """Pieces of these runs that measured out of what is allowed, settled or not, oldest first."""

    def doubtful(self, run_ids: Sequence[str]) -> tuple[CutEntry, ...]:
        """Pieces cut with the same band since the last good measure before one that was out.

        Not those that are scrapped, accepted, or measured themselves.
        """

    def bars_measured(self, load_id: str) -> frozenset[str]:
        """Bars in this load of which a piece that a pass through it gave was measured."""

    def rack_entry(self, label: str) -> RackEntry | None:
        """An entry of the rack by its label, used ones too."""

    def rack_entries(self, grade: str, section_key: str) -> tuple[RackEntry, ...]:
        """Entries of the rack with something left, of one grade and section."""

    def free_remnant_labels(self, count: int) -> tuple[str, ...]:
        """Labels that no bar has or had."""

    def open_stop(self, saw: str) -> Stop | None:
        """The stop that lasts at a saw."""

    def stops(self, saw: str | None = None, limit: int = 100) -> tuple[Stop, ...]:
        """Stops, newest first."""


class Floor(FloorReading, Protocol):
    """Runs, bars at the saws and cuts, to be changed."""

    def hold_saw(self, saw: str) -> None:
        """Keep all others from changing what is at this saw until the transaction ends."""

    def hold_saw_of_run(self, run_id: str) -> None:
        """The same for the saw of a run, whether or not there is such a run."""

    def hold_saw_of_bar(self, bar_id: str) -> None:
        """The same for the saw at which a bar was loaded, whether or not there is such a bar."""

    def hold_saw_of_load(self, load_id: str) -> None:
        """The same for the saw at which a load lies, whether or not there is such a load."""

    def enter_saw(self, saw: str, name: str) -> None:
        """Put a saw on record, unless it is there."""

    def hold_rack(self, grade: str, section_key: str) -> None:
        """Keep all others from taking bars of this grade and section until the transaction ends."""

    def add_run(self, run: Run, lines: Sequence[RunLine], bars: Sequence[PlannedBar]) -> None:
        """Keep a released run."""

    def revise_run(self, run_id: str, revision: int, bars: Sequence[PlannedBar]) -> None:
        """Replace what is planned but not loaded by the bars of a new revision."""

    def put_line(self, line: RunLine) -> None:
        """Keep a line's wanted quantity and length; its counts follow from the cut log alone."""

    def finish_run(self, run_id: str, *, by: str, at: datetime) -> None:
        """Mark a run as finished."""

    def take_from_rack(self, label: str) -> None:
        """One bar less in an entry."""

    def give_back(self, label: str) -> None:
        """One bar more in an entry."""

    def load(self, at_saw: BarAtSaw) -> None:
        """Keep a newly loaded bar."""

    def begin_load(self, load: Load) -> None:
        """Keep a load into which bars are to be laid."""

    def cut_with_fewer(self, load_id: str, why: str) -> None:
        """Keep why a load is cut with fewer bars than were planned."""

    def leave_load(self, bar_id: str) -> None:
        """Keep that a bar no longer lies with the others of its load."""

    def set_pattern(self, bar_id: str, pattern: Sequence[PlannedPiece]) -> None:
        """Keep what is to be cut from a bar."""

    def set_bar(
        self, bar_id: str, *, state: BarState, length_um: int, left_um: int, by: str, at: datetime
    ) -> None:
        """Keep a bar's state and its lengths as found."""

    def log(self, entry: CutEntry) -> None:
        """Add an entry to the cut log; the bar's parts and the line's counts follow from it."""

    def add_inspection(self, inspection: Inspection) -> None:
        """Keep a measured piece."""

    def add_decision(self, decision: Decision) -> None:
        """Keep what was decided on a piece."""

    def put_remnant(self, bar_id: str, remnant: Bar, *, by: str, at: datetime) -> None:
        """Put what is left of a loaded bar on the rack."""

    def begin_stop(self, stop: Stop) -> None:
        """Keep that a saw stands."""

    def end_stop(self, stop_id: str, *, by: str, at: datetime) -> None:
        """Keep that it runs again."""


class CribReading(Protocol):
    """Bands, to be read."""

    def bands(self) -> tuple[ThisBand, ...]:
        """All bands, those in use first."""

    def band(self, band_id: str) -> ThisBand | None:
        """One band."""

    def mounted(self, saw: str) -> Mounting | None:
        """What is on a saw now."""

    def mounted_at(self, saw: str, at: datetime) -> Mounting | None:
        """What was on a saw at that moment; what is on it now when nothing is known of then."""

    def mountings(self, band_id: str) -> tuple[Mounting, ...]:
        """A band's history, oldest first."""


class Crib(CribReading, Protocol):
    """Bands, to be changed."""

    def add_band(self, band: ThisBand, *, by: str, at: datetime) -> None:
        """Keep a band that has arrived."""

    def mount(self, mounting: Mounting) -> None:
        """Keep that a band is on a saw."""

    def remove(self, mounting_id: str, *, by: str, at: datetime, why: RemovalReason, note: str) -> None:
        """Keep that it came off."""

    def retire(self, band_id: str, why: RemovalReason, *, at: datetime) -> None:
        """Keep that a band will not be used again."""


class HeatBook(Protocol):
    """Heats and their certificates, to be changed."""

    def heat(self, number: str) -> Heat | None:
        """One heat."""

    def put_heat(self, heat: Heat) -> None:
        """Keep a heat, or what is newly known of it."""

    def keep_file(self, digest: str, kind: FileKind, content: bytes) -> None:
        """Keep a file once, by the SHA-256 of its content."""

    def attach(self, certificate: Certificate) -> None:
        """Keep a certificate of a heat."""


class Tracing(Protocol):
    """From pieces back and from heats on; each is one query, with one more for certificates and for holds."""

    def piece(self, cut_id: str) -> PieceTrace | None:
        """All that led to one piece."""

    def heat(self, number: str) -> HeatTrace | None:
        """Every piece that a heat became, and for whom."""

    def pieces(
        self, *, line_id: str | None = None, label: str | None = None, mark: str | None = None
    ) -> tuple[TracedPiece, ...]:
        """Pieces of an order line, of a bar by its label, or of all lines with a mark, capitals apart."""

    def certificates(self, heat: str) -> tuple[Certificate, ...]:
        """Certificates of a heat, oldest first."""

    def certificate(self, certificate_id: str) -> Certificate | None:
        """One certificate."""
