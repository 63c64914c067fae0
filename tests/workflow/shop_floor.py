"""A small shop floor in round figures: a rack, an order, its plan, and a run of it released."""

from collections import Counter
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from kerfsmith.catalog.saw import Capacity, CycleTimes, FeedControl, SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Round
from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.plan import (
    GroupTimes,
    Plan,
    PlanGroup,
    PlannedBar,
    PlannedPiece,
    PlanStatus,
    Unplanned,
)
from kerfsmith.records.store import Store
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import Run
from kerfsmith.units.told import Told
from kerfsmith.workflow.change_band import ChangeBand, add_band, change_band
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import take_order

AT = datetime(2026, 12, 1, 6, 30, tzinfo=UTC)
ROUND = Section("round 100 mm", Round(100.0))
SQUARE_CM2 = 78.53981633974483
"""Area of a round of 100 mm, cm2: pi/4 x 10^2."""
GRADE = "C45"
KERF_UM = 2_000
FACING_UM = 10_000
GRIP_UM = 80_000
LEAD = Person("Lea", Role.LEAD)
PLANNER = Person("Pia", Role.PLANNER)
OPERATOR = Person("Omar", Role.OPERATOR)
GUEST = Person("Gus", Role.GUEST)

SAW = SawSheet(
    id="north",
    name="North saw",
    capacities=(Capacity(0, 300, 300, 400, 300),),
    band_width_mm=34,
    band_thickness_mm=1.1,
    band_length_mm=4_500,
    band_speed_min_m_per_min=20,
    band_speed_max_m_per_min=120,
    wheel_diameter_mm=500,
    guide_clearance_mm=40,
    guide_span_min_mm=100,
    guide_span_max_mm=500,
    band_tension_mpa=200,
    motor_kw=4,
    drive_efficiency=0.8,
    feed_min_mm_per_min=2,
    feed_max_mm_per_min=400,
    feed_force_max_n=2_500,
    head_travel_mm=350,
    feed_control=FeedControl.FOLLOWS_CUT,
    cant_deg=0,
    shuttle_stroke_mm=500,
    load_limit_kg=2_000,
    least_grip_mm=80,
    facing_mm=10,
    index_accuracy_mm=0.1,
    min_work_mm=10,
    max_bar_length_mm=8_000,
    cycle=CycleTimes(240, 3, 4, 100, 20, 50, 8, 2, 600),
)
BARS = (
    Bar("A-1", GRADE, ROUND, 3_000_000, 3, "H100", "A1", Decimal("90.00")),
    Bar("A-2", GRADE, ROUND, 3_000_000, 1, "H200", "A1", Decimal("90.00")),
    Bar("A-3", GRADE, ROUND, 2_000_000, 1, "H100", "A2", Decimal("60.00")),
    Bar("B-1", "42CrMo4", ROUND, 3_000_000, 2, "H300", "B1", Decimal("150.00")),
    Bar("C-1", GRADE, Section("round 80 mm", Round(80.0)), 3_000_000, 2, "H100", "C1"),
)
LINES = (
    OrderLine(
        "o1:1", "P1", GRADE, ROUND, 500_000, 9, 500, 500, date(2026, 12, 4), order="Gears", customer="Weir"
    ),
    OrderLine("o1:2", "P2", GRADE, ROUND, 400_000, 3, 500, 0, order="Gears", customer="Weir"),
)
ORDER = Order("o1", "Gears", LINES)


class PlainHasher:
    """Stands in for the slow hasher where no secret matters; its hashes look like the real ones'."""

    def hash(self, secret: str) -> str:
        """The secret backwards."""
        return f"$argon2id${secret[::-1]}"

    def fits(self, secret: str, hashed: str | None) -> bool:
        """Whether it is that."""
        return hashed == self.hash(secret)


def later(minutes: float) -> datetime:
    """So many minutes into the shift."""
    return AT + timedelta(minutes=minutes)


def piece(line: OrderLine) -> PlannedPiece:
    """A square piece of a line."""
    return PlannedPiece(line.id, line.mark, line.length_um, KERF_UM)


def planned(bar: Bar, lines: Sequence[OrderLine], times: int = 1) -> PlannedBar:
    """A bar with one piece of each of ``lines``, in their order."""
    pieces = tuple(piece(line) for line in lines)
    used = FACING_UM + KERF_UM + sum(one.taken_um for one in pieces)
    return PlannedBar(
        bar_id=bar.id,
        kind=bar.kind,
        length_um=bar.length_um,
        times=times,
        heat=bar.heat,
        place=bar.place,
        facing_um=FACING_UM,
        facing_kerf_um=KERF_UM,
        pieces=pieces,
        remnant_um=bar.length_um - used,
        keep=True,
    )


def group_of(
    bars: Sequence[PlannedBar], unplanned: Sequence[Unplanned] = (), *, wanted: int = 12
) -> PlanGroup:
    """A plan's group of these bars."""
    return PlanGroup(
        id=f"{GRADE}|{ROUND.key}",
        grade=GRADE,
        section=ROUND,
        saw=SAW.id,
        saw_name=SAW.name,
        status=PlanStatus.BEST,
        settings=(),
        bars=tuple(bars),
        cost=270.0,
        lower_bound=270.0,
        cost_unit="EUR",
        bound_source="columns",
        pieces_wanted=wanted,
        unplanned=tuple(unplanned),
        times=GroupTimes(10.0, 8.0, 14.0, 5.0, 60.0, 4.0),
        mass_kg_per_m=61.7,
        first_due=date(2026, 12, 4),
        tried=(),
    )


P1, P2 = LINES
PLANNED = (planned(BARS[0], (P1, P1, P1, P1, P2), times=2), planned(BARS[2], (P1, P2)))
"""Two bars A-1 with 4 x P1 and P2, then A-3 with P1 and P2."""


def first_fit(task: GroupTask) -> PlanGroup:
    """A plain replanner: longest pieces first, each on the first bar it fits; bars in the order given."""
    rest = Counter({line.id: line.quantity for line in task.work.lines})
    laid: list[PlannedBar] = []
    for bar in task.bars:
        for _ in range(bar.count or 0):
            room = bar.length_um - FACING_UM - KERF_UM - GRIP_UM
            taken: list[OrderLine] = []
            for line in sorted(task.work.lines, key=lambda line: -line.length_um):
                while rest[line.id] and line.length_um + KERF_UM <= room:
                    room -= line.length_um + KERF_UM
                    rest[line.id] -= 1
                    taken.append(line)
            if taken:
                laid.append(planned(bar, taken))
    missing = [
        Unplanned(line.id, line.mark, rest[line.id], Told("no bar left"))
        for line in task.work.lines
        if rest[line.id]
    ]
    return group_of(laid, missing, wanted=task.work.pieces)


def never(_task: GroupTask) -> PlanGroup:
    """A replanner that nobody should call."""
    raise AssertionError("nothing was to be planned")


def stocked(store: Store) -> Store:
    """The records with rack, order and plan."""
    assert not isinstance(stock_rack(store, BARS, by=LEAD, at=AT, source="test"), Refusal)
    assert not isinstance(take_order(store, ORDER, by=LEAD, at=AT, source="test"), Refusal)
    keep_plan(store, group_of(PLANNED))
    return store


def keep_plan(store: Store, group: PlanGroup, plan_id: str = "p1") -> None:
    """Keep a plan of one group as if it had been planned."""
    from kerfsmith.workflow.plan_cuts import plan_cuts

    answer = plan_cuts(
        store,
        (),
        lambda _tasks: [(0, group)],
        order_ids=["o1"],
        plan_id=plan_id,
        name="Week 49",
        seed=1,
        by=LEAD,
        at=AT,
    )
    assert isinstance(answer, Plan)


def released(store: Store, run_id: str = "r1", *, band: bool = True) -> Run:
    """The plan's group, released as a run; with the band S-0 on its saw."""
    told = ReleaseRun(run_id, "p1", group_of(()).id)
    run = release_run(stocked(store), told, saw=SAW, by=PLANNER, at=AT)
    assert isinstance(run, Run)
    if band:
        mount(store, "S-0", "m0")
    return run


def mount(store: Store, label: str, mounting_id: str, saw: str = SAW.id) -> None:
    """A new band, put on the saw."""
    new = ThisBand(label, "bimetal 34 x 1.1")
    assert not isinstance(add_band(store, new, by=OPERATOR, at=AT), Refusal)
    on = ChangeBand(saw, mounting_id, label)
    assert not isinstance(change_band(store, on, by=OPERATOR, at=AT), Refusal)
