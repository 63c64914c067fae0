"""Pieces cut from a substitute on their way through the shop: kept, allowed, planned, released, told."""

import itertools
from dataclasses import replace

import pytest
from tests.tables import package_tables
from tests.workflow.shop_floor import AT, LEAD, OPERATOR, PLANNER

from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Round
from kerfsmith.planning.check import faults
from kerfsmith.planning.make_plan import in_turn, tasks_of
from kerfsmith.planning.nest_group import Effort
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.records.store import Store
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import ShopRules
from kerfsmith.shop.run import Run, RunLine
from kerfsmith.units.length import Measure
from kerfsmith.web.pages.trace.view import chain_page, heat_page
from kerfsmith.web.reading import Light, Reading
from kerfsmith.workflow.allow_substitutes import AllowSubstitutes, allow_substitutes
from kerfsmith.workflow.change_band import ChangeBand, add_band, change_band
from kerfsmith.workflow.change_run import ChangeRun, RunChanged, change_run
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import LogCut, log_cut
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.replanning import LineChange
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import take_order

TABLES = package_tables()
SAW = replace(TABLES.saws[0], least_grip_mm=100.0, facing_mm=10.0)
CATALOG = replace(TABLES, saws=(SAW,))
ROUND, WIDER = Section("round 80 mm", Round(80.0)), Section("round 85 mm", Round(85.0))
LINE = OrderLine("o1:1", "P1", "4140", ROUND, 1_000_000, 4, order="Gears", customer="Weir")
BARS = (
    Bar("A-1", "4140", ROUND, 3_000_000, 1, "H100"),
    Bar("B-1", "4142", ROUND, 3_000_000, 1, "H300"),
)
EFFORT = Effort(seconds=1e6, seed=1, now=itertools.repeat(0.0).__next__, should_stop=lambda: False)


def taken(store: Store, line: OrderLine = LINE) -> None:
    take_order(store, Order("o1", "Gears", (line,)), by=PLANNER, at=AT, source="test")
    stock_rack(store, BARS, by=PLANNER, at=AT, source="test")


def allow(store: Store, *grades: str, sections: tuple[str, ...] = (), line: str = "o1:1") -> object:
    told = AllowSubstitutes("o1", line, grades, sections)
    return allow_substitutes(store, told, CATALOG, by=PLANNER, at=AT)


def on_book(store: Store) -> OrderLine:
    ((line,),) = (order.lines for order in store.orders())
    return line


def planned(store: Store) -> Plan:
    """A plan of the book: bars of 3000 hold two of the four pieces, so that two need the other grade."""
    plan = plan_cuts(
        store,
        tasks_of((on_book(store),), store.rack()),
        in_turn(CATALOG, ShopRules(), EFFORT),
        order_ids=["o1"],
        plan_id="p1",
        name="p1",
        seed=1,
        by=PLANNER,
        at=AT,
    )
    assert isinstance(plan, Plan)
    assert store.latest_plan() == plan
    assert faults(plan, (on_book(store),), store.rack(), {SAW.id: SAW.least_grip_mm}) == ()
    return plan


def release(store: Store, group: PlanGroup) -> Run | Refusal:
    told = ReleaseRun(f"run {group.grade}", "p1", group.id)
    return release_run(store, told, saw=SAW, by=LEAD, at=AT)


def lines_of(store: Store, run: object) -> tuple[RunLine, ...]:
    assert isinstance(run, Run), run
    with store.look() as look:
        return look.floor.lines(run.id)


def test_what_a_list_allows_is_kept(store: Store) -> None:
    line = replace(LINE, or_grades=("4142", "4340"), or_sections=(WIDER,))
    taken(store, line)
    assert on_book(store) == line


def test_what_is_allowed_is_changed_and_taken_back(store: Store) -> None:
    taken(store)
    assert allow(store, "42CrMo4 ", "4142", sections=("round 85 mm",)) != AllowSubstitutes("o1", "o1:1")
    kept = allow(store, "4142", sections=("85 mm round",))
    assert kept == AllowSubstitutes("o1", "o1:1", ("4142",), (on_book(store).or_sections[0].name,))
    assert on_book(store) == replace(LINE, or_grades=("4142",), or_sections=(WIDER,))
    allow(store)
    assert on_book(store) == LINE


@pytest.mark.parametrize(
    ("grades", "sections", "code"),
    [
        (("Unobtanium",), (), "unknown-name"),
        ((), ("round wide",), "unreadable"),
        (("4140",), (), "named-twice"),
        ((), ("round 80 mm",), "named-twice"),
    ],
)
def test_what_cannot_be_meant_is_refused(
    store: Store, grades: tuple[str, ...], sections: tuple[str, ...], code: str
) -> None:
    taken(store)
    answer = allow(store, *grades, sections=sections)
    assert isinstance(answer, Refusal)
    assert answer.code == code
    assert on_book(store) == LINE


def test_a_line_that_is_not_there_is_refused(store: Store) -> None:
    taken(store)
    answer = allow(store, "4142", line="o1:9")
    assert isinstance(answer, Refusal)
    assert answer.code == "unknown-line"


def test_an_operator_does_not_say_what_a_customer_takes(store: Store) -> None:
    taken(store)
    told = AllowSubstitutes("o1", "o1:1", ("4142",))
    answer = allow_substitutes(store, told, CATALOG, by=OPERATOR, at=AT)
    assert isinstance(answer, Refusal)
    assert on_book(store) == LINE


def test_a_run_says_what_was_ordered(store: Store) -> None:
    taken(store)
    allow(store, "4142")
    plan = planned(store)
    assert [group.grade for group in plan.groups] == ["4140", "4142"]
    ordered = {
        group.grade: [
            (line.line_id, line.wanted, line.ordered) for line in lines_of(store, release(store, group))
        ]
        for group in plan.groups
    }
    assert ordered == {"4140": [("o1:1", 2, "")], "4142": [("o1:1", 2, "4140 round 80 mm")]}


def test_a_run_changed_at_the_saw_stays_with_its_substitute(store: Store) -> None:
    taken(store)
    allow(store, "4142")
    group = planned(store).groups[1]
    run = release(store, group)
    assert isinstance(run, Run)
    change = ChangeRun(run.id, (LineChange("o1:1", quantity=1),))

    def replan(task):  # type: ignore[no-untyped-def]
        assert task.work.grade == "4142"
        return next(iter(in_turn(CATALOG, ShopRules(), EFFORT)([task])))[1]

    changed = change_run(store, change, replan, by=LEAD, at=AT)
    assert isinstance(changed, RunChanged)
    assert [(line.wanted, line.ordered) for line in changed.lines_after] == [(1, "4140 round 80 mm")]


def test_nothing_is_released_that_the_order_no_longer_allows(store: Store) -> None:
    taken(store)
    allow(store, "4142")
    plan = planned(store)
    allow(store)
    answer = release(store, plan.groups[1])
    assert isinstance(answer, Refusal)
    assert answer.code == "not-allowed"
    assert "4142 round 80 mm for P1" in answer.reason
    assert isinstance(release(store, plan.groups[0]), Run)


def test_the_trace_of_a_piece_says_what_was_ordered(store: Store) -> None:
    taken(store)
    allow(store, "4142")
    for group in planned(store).groups:
        run = release(store, group)
        assert isinstance(run, Run)
        name = run.grade
        if name == "4140":
            add_band(store, ThisBand("S-1", "bimetal 34 x 1.1"), by=OPERATOR, at=AT)
            change_band(store, ChangeBand(SAW.id, "m1", "S-1"), by=OPERATOR, at=AT)
        load_bar(store, LoadBar(f"bar {name}", run.id, group.bars[0].bar_id), by=OPERATOR, at=AT)
        log_cut(store, LogCut(f"face {name}", f"bar {name}", 1, EntryKind.FACING), by=OPERATOR, at=AT)
        log_cut(store, LogCut(f"cut {name}", f"bar {name}", 2, line_id="o1:1"), by=OPERATOR, at=AT)
    with store.look() as look:
        told = {piece.heat: (piece.grade, piece.ordered) for piece in look.trace.pieces(line_id="o1:1")}
        heat = look.trace.heat("H300")
        one = look.trace.piece("cut 4142")
    assert told == {"H100": ("4140", ""), "H300": ("4142", "4140 round 80 mm")}
    assert heat is not None
    assert [piece.ordered for piece in heat.pieces] == ["4140 round 80 mm"]
    assert one is not None
    reading = Reading(Measure.METRIC, next(iter(Light)))
    chain = {step.what: step.lines for step in chain_page(one, reading).chain}
    assert "ordered 4140 round 80 mm, cut from 4142 round 80 mm as the order allows" in chain["For"]
    assert "ordered" in heat_page(heat, reading).noted
