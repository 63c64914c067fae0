"""The demo's week before: a small order planned and cut by the same verbs as a real one, so that traces, the
crib, the ledger and what is learned from the log have something behind them.

All of it is invented, drawn with a seed; cut times are off the published ones as in `demo.history`.
"""

import math
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, time, timedelta
from random import Random

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.demo.files import LAST_WEEK, LAST_WEEK_RACK, demo_file
from kerfsmith.demo.history import FIRST_HOUR, LATE_HOUR, PEOPLE, monday_before, saw_ratio
from kerfsmith.planning.make_plan import GroupRunner, tasks_of
from kerfsmith.planning.plan import Plan, PlanGroup, PlannedBar, PlannedPiece
from kerfsmith.records.store import Store
from kerfsmith.shop.band_in_use import RemovalReason, ThisBand
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.shop.inspection import InspectionKind
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import HOUSE, Person, Role
from kerfsmith.shop.rack import Rack
from kerfsmith.wiring.reading import read_order_bytes, read_rack_bytes
from kerfsmith.workflow.change_band import ChangeBand, add_band, change_band
from kerfsmith.workflow.finish_bar import FinishBar, finish_bar
from kerfsmith.workflow.finish_run import FinishRun, finish_run
from kerfsmith.workflow.inspect_piece import InspectPiece, inspect_piece
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import CutLogged, LogCut, log_cut
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.scrap_remnant import ScrapRemnant, scrap_remnant
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import drop_order, take_order

ORDER = "last-week"
SEED = 7
BETWEEN_CUTS = timedelta(seconds=40)
BETWEEN_BARS = timedelta(minutes=6)
"""Index, and loading or changing a band."""


def cut_last_week(store: Store, catalog: Catalog, run: GroupRunner, now: datetime) -> None:
    """Take in, plan and cut the order of the week before ``now``; when it is done it leaves the book."""
    at = monday_before(now)
    read = read_order_bytes(LAST_WEEK, demo_file(LAST_WEEK), catalog).lines
    lines = tuple(replace(line, id=f"{ORDER}:{line.id}") for line in read)
    rack = read_rack_bytes(
        LAST_WEEK_RACK, demo_file(LAST_WEEK_RACK), catalog, currency=store.rules().currency
    )
    _done(stock_rack(store, rack.bars, by=HOUSE, at=at, source=LAST_WEEK_RACK))
    _done(take_order(store, Order(ORDER, "Last week's order", lines), by=HOUSE, at=at, source=LAST_WEEK))
    plan = plan_cuts(
        store,
        tasks_of(lines, Rack(rack.bars)),
        run,
        order_ids=[ORDER],
        plan_id=ORDER,
        name="Last week's order",
        seed=SEED,
        by=HOUSE,
        at=at,
    )
    assert isinstance(plan, Plan), plan
    chance = Random(SEED)
    for number, saw in enumerate(sorted(sheet.id for sheet in catalog.saws)):
        floor = _Saw(store, catalog, saw, saw_ratio(number), chance, at)
        for place, group in enumerate(plan.groups):
            if group.saw == saw:
                floor.cut(f"{ORDER}-{place + 1}", group)
        if floor.mounted:
            floor.leave()
    _done(drop_order(store, ORDER, by=HOUSE, at=at + timedelta(days=5)))


@dataclass(slots=True)
class _Saw:
    """One saw through the week; ``at`` is its time."""

    store: Store
    catalog: Catalog
    saw: str
    ratio: float
    chance: Random
    at: datetime
    mounted: str = ""
    bands: dict[str, str] = field(default_factory=dict)

    @property
    def by(self) -> Person:
        """Who works at that hour."""
        return Person(PEOPLE[self.at.hour >= LATE_HOUR], Role.OPERATOR)

    def cut(self, run_id: str, group: PlanGroup) -> None:
        """Release the group, mount its band, cut its bars, end the run: a run a day."""
        if self.mounted:
            self._to_next_day()
        sheet = self.catalog.find_saw(self.saw)
        _done(release_run(self.store, ReleaseRun(run_id, ORDER, group.id), saw=sheet, by=HOUSE, at=self.at))
        self._mount(group.settings[0].band.id)
        seconds = group.settings[0].cut_seconds * self.ratio
        for bar in group.bars:
            for _ in range(bar.times):
                self._bar(run_id, bar, seconds)
        _done(finish_run(self.store, FinishRun(run_id), by=self.by, at=self.at))

    def leave(self) -> None:
        """The band comes off, fit for more."""
        off = ChangeBand(self.saw, "", None, RemovalReason.OTHER_WORK)
        _done(change_band(self.store, off, by=self.by, at=self.at))

    def _mount(self, kind: str) -> None:
        if self.mounted == kind:
            return
        if kind not in self.bands:
            label = f"D-{self.saw}-{len(self.bands) + 1}"
            new = ThisBand(label, kind, break_in_cm2=self.store.rules().break_in_cm2)
            _done(add_band(self.store, new, by=HOUSE, at=self.at))
            self.bands[kind] = label
        why = RemovalReason.OTHER_WORK if self.mounted else None
        mounting = f"D-{self.saw}-{self.at:%d%H%M}"
        told = ChangeBand(self.saw, mounting, self.bands[kind], why)
        _done(change_band(self.store, told, by=self.by, at=self.at))
        self.mounted = kind
        self.at += BETWEEN_BARS

    def _bar(self, run_id: str, bar: PlannedBar, seconds: float) -> None:
        bar_id = f"D-{self.saw}-{self.at:%d%H%M}"
        _done(load_bar(self.store, LoadBar(bar_id, run_id, bar.bar_id), by=self.by, at=self.at))
        facing = [None] if bar.facing_um or bar.facing_kerf_um else []
        for number, piece in enumerate((*facing, *bar.pieces), start=1):
            self._cut(bar_id, number, piece, seconds)
        _done(finish_bar(self.store, FinishBar(bar_id), by=self.by, at=self.at))
        if bar.remnant_um:
            _done(scrap_remnant(self.store, ScrapRemnant(bar_id), by=self.by, at=self.at))
        self.at += BETWEEN_BARS

    def _cut(self, bar_id: str, number: int, piece: PlannedPiece | None, seconds: float) -> None:
        """One cut with its time and the motor's load; a facing where there is no piece."""
        began = self.at
        self.at += timedelta(seconds=seconds * math.exp(self.chance.gauss(0.0, 0.07)))
        told = LogCut(
            f"{bar_id}-{number}",
            bar_id,
            number,
            EntryKind.FACING if piece is None else EntryKind.PIECE,
            piece.line_id if piece else None,
            began_at=began,
            ended_at=self.at,
            motor_load_percent=round(100 * self.chance.gauss(0.62, 0.05), 1),
        )
        logged = log_cut(self.store, told, by=self.by, at=self.at)
        assert isinstance(logged, CutLogged), logged
        if logged.inspection_due is not None:
            self._measure(logged, logged.inspection_due)
        self.at += BETWEEN_CUTS

    def _measure(self, logged: CutLogged, due: InspectionKind) -> None:
        """A length near the middle of what is allowed."""
        line = logged.line
        assert line is not None
        plus_um, minus_um = line.plus_um or 500, line.minus_um or 0
        middle_um, reach_um = (plus_um - minus_um) / 2, 0.4 * (plus_um + minus_um)
        off_um = middle_um + min(reach_um, max(-reach_um, self.chance.gauss(0.0, 120.0)))
        told = InspectPiece(
            f"{logged.entry.id}-measured",
            logged.entry.id,
            due,
            logged.entry.length_um + round(off_um),
            round(1000 * abs(self.chance.gauss(0.0, 0.1))),
        )
        _done(inspect_piece(self.store, told, by=self.by, at=self.at))

    def _to_next_day(self) -> None:
        """By the early shift or by the late one."""
        hour = self.chance.choice((FIRST_HOUR, LATE_HOUR))
        self.at = datetime.combine(self.at.date() + timedelta(days=1), time(hour), UTC)


def _done(answer: object) -> None:
    """Nothing of the demo's own is refused."""
    if isinstance(answer, Refusal):
        raise AssertionError(f"the demo's week before was refused: {answer}")
