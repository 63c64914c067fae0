"""What the shop's own rules make of a plan; each case is worked by hand beside it."""

import itertools
from dataclasses import replace
from datetime import date

import pytest
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.shapes import Round
from kerfsmith.planning.make_plan import GroupTask, in_turn, make_plan, tasks_of
from kerfsmith.planning.nest_group import Effort
from kerfsmith.planning.plan import PlanGroup, PlannedBar, PlanStatus
from kerfsmith.planning.what_if import DUE_KEPT, what_if
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import NextAim, ShopRules

ROUND = Section("round 80 mm", Round(80.0))
EFFORT = Effort(seconds=1e6, seed=1, now=itertools.repeat(0.0).__next__, should_stop=lambda: False)
"""A clock that stands still: every search runs to its end."""
DAYS = [date(2026, 12, day) for day in (1, 2, 3)]


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    # One saw with a grip of 100 mm and a facing cut of 10 mm: round figures to reckon with.
    tables = package_tables()
    saw = replace(tables.saws[0], least_grip_mm=100.0, facing_mm=10.0, max_bar_length_mm=12_000.0)
    return replace(tables, saws=(saw,))


def group(lines: list[OrderLine], bars: list[Bar], catalog: Catalog, rules: ShopRules) -> PlanGroup:
    tasks = tasks_of(lines, Rack(tuple(bars)))
    run = in_turn(catalog, rules, EFFORT)
    return make_plan(tasks, run, plan_id="p", name="p", seed=1).groups[0]


def line(name: str, length_mm: int, quantity: int, due: date | None = None, order: str = "") -> OrderLine:
    return OrderLine(name, name, "1045", ROUND, length_mm * 1000, quantity, due=due, order=order)


def bar(name: str, length_mm: int, count: int, heat: str = "") -> Bar:
    return Bar(name, "1045", ROUND, length_mm * 1000, count, heat=heat)


def bars_with(mark: str, group: PlanGroup) -> list[PlannedBar]:
    return [bar for bar in group.bars if any(piece.mark == mark for piece in bar.pieces)]


def test_one_long_remnant_rather_than_two_short_ones(catalog: Catalog) -> None:
    # Bars of 3000 leave 2890 to cut from less a kerf a piece. Two of 1200 and two of 500 need two bars (3400
    # together). 1200 + 500 twice leaves about 1290 twice, 1200 + 1200 and 500 + 500 leave about 590 and 1990,
    # 1200 + 500 + 500 and 1200 leave about 790 and 1790. From 1000 mm a remnant is worth half a metre's price
    # a metre: two of 1290 are worth most. From 1500 mm on the one of 1990 is.
    lines = [line("a", 1200, 2), line("c", 500, 2)]
    bars = [bar("b", 3000, 2)]
    both = group(lines, bars, catalog, ShopRules(long_remnant_um=1_000_000))
    assert [len(one.pieces) for one in both.bars for _ in range(one.times)] == [2, 2]
    assert [one.times for one in both.bars] == [2]
    one_long = group(lines, bars, catalog, ShopRules(long_remnant_um=1_500_000))
    assert sorted(len({piece.mark for piece in one.pieces}) for one in one_long.bars) == [1, 1]
    worth = {aim.aim: aim for aim in one_long.next_aims}[NextAim.REMNANT_WORTH]
    kept = max(one.remnant_um for one in one_long.bars)
    assert worth.value == pytest.approx(0.5 * kept / 1e6, abs=2e-6)
    assert worth.is_proven
    assert both.cost == one_long.cost == 6.0


def test_few_different_bars(catalog: Catalog) -> None:
    # Four pieces of 2000 and four of 700 on bars of 3000 (2890 less kerfs): 2000 + 700 four times is one
    # pattern; 700 x 4 on one bar and 2000 alone four times takes five bars. Two of each on a 6000 bar
    # (5890): 2000 + 2000 + 700 + 700 twice, or 2000 x 2 + 700 x 1 and 2000 x 2 + 700 x 3 = 6100: too long.
    lines = [line("a", 2000, 4), line("c", 700, 4)]
    found = group(lines, [bar("b", 6000, 2)], catalog, ShopRules(next_aims=(NextAim.FEW_PATTERNS,)))
    assert [one.times for one in found.bars] == [2]
    assert found.next_aims[0].value == 1
    assert found.next_aims[0].is_proven


def test_few_new_remnants_makes_scrap_of_the_rest(catalog: Catalog) -> None:
    # Three pieces of 2000 on bars of 3000, one a bar: three leftovers of about 990, of which one may stay.
    rules = ShopRules(most_new_remnants=1)
    found = group([line("a", 2000, 3)], [bar("b", 3000, 3)], catalog, rules)
    assert [(one.times, one.keep) for one in found.bars] == [(1, True), (2, False)]
    free = group([line("a", 2000, 3)], [bar("b", 3000, 3)], catalog, ShopRules())
    assert [(one.times, one.keep) for one in free.bars] == [(3, True)]


def test_later_work_fills_bars_but_never_spreads_earlier_work(catalog: Catalog) -> None:
    # Bars of 6000 (5890 less kerfs). Due first: two of 2000; later: four of 3500. By the metre the least is
    # 4 bars either way: 3500 + 2000 twice and 3500 twice, or 2000 + 2000 and 3500 four times: 5. Four bars
    # need the early pieces on two bars, though one would hold both: kept together they cost a fifth bar.
    lines = [line("early", 2000, 2, DAYS[0]), line("late", 3500, 4, DAYS[1])]
    bars = [bar("b", 6000, 9)]
    kept = group(lines, bars, catalog, ShopRules())
    assert kept.status is PlanStatus.BEST
    assert (kept.bars_used, sum(one.times for one in bars_with("early", kept))) == (5, 1)
    free = group(lines, bars, catalog, ShopRules(keep_due_order=False))
    assert (free.bars_used, sum(one.times for one in bars_with("early", free))) == (4, 2)
    # Where the rest of the early bar holds later work, it is filled with it: 2000 x 2 + 1500.
    fills = [line("early", 2000, 2, DAYS[0]), line("late", 1500, 1, DAYS[1])]
    filled = group(fills, bars, catalog, ShopRules())
    # On that bar the early pieces are cut first, though a later one may be longer.
    assert [piece.mark for one in filled.bars for piece in one.pieces] == ["early", "early", "late"]
    longer = [line("early", 900, 2, DAYS[0]), line("late", 3500, 1, DAYS[1])]
    (one,) = group(longer, bars, catalog, ShopRules()).bars
    assert [piece.mark for piece in one.pieces] == ["early", "early", "late"]


def test_what_keeping_days_together_costs(catalog: Catalog) -> None:
    # The bars of the case above: a fifth bar of 6 m.
    lines = [line("early", 2000, 2, DAYS[0]), line("late", 3500, 4, DAYS[1])]
    (task,) = tasks_of(lines, Rack((bar("b", 6000, 9),)))
    assert isinstance(task, GroupTask)
    saw = catalog.saws[0].id
    taken = {str(one.change): one for one in what_if(task, saw, catalog, ShopRules(), EFFORT)}
    answer = taken[f"without {DUE_KEPT}"]
    assert (answer.taken_away, answer.bars, answer.cost, answer.is_proven) == (True, -1, -6.0, True)
    loose = ShopRules(keep_due_order=False)
    wished = {one.change: one for one in what_if(task, saw, catalog, loose, EFFORT)}
    answer = wished[DUE_KEPT]
    assert (answer.taken_away, answer.bars, answer.cost) == (False, 1, 6.0)


def test_a_short_rack_lets_days_go_before_anything_is_bought(catalog: Catalog) -> None:
    # The same with four bars on the rack: with the days kept together a fifth would have to be bought.
    lines = [line("early", 2000, 2, DAYS[0]), line("late", 3500, 4, DAYS[1])]
    found = group(lines, [bar("b", 6000, 4)], catalog, ShopRules())
    assert found.status is PlanStatus.BEST
    assert found.bars_used == 4
    assert any("due first" in note for note in found.notes)


def test_three_days_each_keep_the_days_before(catalog: Catalog) -> None:
    # Each day's pieces (two of 2000) alone need one bar of 6000, two days together (four of 2000: two a bar)
    # need two, all three need three: day by day.
    lines = [line(f"day {n}", 2000, 2, day) for n, day in enumerate(DAYS)]
    found = group(lines, [bar("b", 6000, 9)], catalog, ShopRules())
    marks = [sorted({piece.mark for piece in one.pieces}) for one in found.bars]
    assert marks == [["day 0"], ["day 1"], ["day 2"]]


def test_one_heat_for_an_order_as_the_shop_s_rule(catalog: Catalog) -> None:
    # Six pieces of 2 m, two on a 6 m bar: three bars mixed. Each order's three from one heat: two bars each.
    lines = [line(f"o{n}", 2000, 3, order=f"order {n}") for n in (1, 2)]
    bars = [bar(f"b{heat}", 6000, 2, heat) for heat in ("P", "Q")]
    assert group(lines, bars, catalog, ShopRules()).bars_used == 3
    apart = group(lines, bars, catalog, ShopRules(one_heat_an_order=True))
    assert apart.bars_used == 4
    for name in ("o1", "o2"):
        assert len({one.heat for one in bars_with(name, apart)}) == 1
    # Heat Q has one bar only: the second order's third piece needs a bar that is bought, and with it all
    # three, for they are to come from one heat.
    short = group(lines, [bars[0], replace(bars[1], count=1)], catalog, ShopRules(one_heat_an_order=True))
    assert short.status is PlanStatus.SHORT
    assert short.bars_to_buy == 2
    assert short.pieces_planned == 6


def test_rules_that_contradict_themselves_cannot_be() -> None:
    with pytest.raises(InvalidValue):
        ShopRules(long_remnant_percent=101)
    with pytest.raises(InvalidValue):
        ShopRules(most_new_remnants=-1)
    with pytest.raises(InvalidValue):
        ShopRules(next_aims=(NextAim.FEW_CUTS, NextAim.FEW_CUTS))
