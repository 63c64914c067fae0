"""A line cut in part from a substitute has one cost; by hand beside it."""

import itertools
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from tests.tables import package_tables

from kerfsmith.catalog.section import Section
from kerfsmith.costing.plan_cost import PlanCost, cost_plan
from kerfsmith.costing.price import quantity_costs
from kerfsmith.costing.quote import QuoteTerms, make_quote
from kerfsmith.costing.rates import Rates, RemnantRule
from kerfsmith.costing.reckoning import Kind
from kerfsmith.exchange.export.costs import costs_table
from kerfsmith.geometry.shapes import Round
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.nest_group import Effort
from kerfsmith.planning.plan import Plan
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules

TABLES = package_tables()
CATALOG = replace(TABLES, saws=(replace(TABLES.saws[0], least_grip_mm=100.0, facing_mm=10.0),))
ROUND = Section("round 80 mm", Round(80.0))
# Bars of 3000 hold two pieces of 1000 behind facing cut and grip; the third and fourth need the other grade.
LINE = OrderLine("p", "P", "4140", ROUND, 1_000_000, 4, or_grades=("4142",))
BARS = (
    Bar("A", "4140", ROUND, 3_000_000, 1, price=Decimal(90)),
    Bar("B", "4142", ROUND, 3_000_000, 1, price=Decimal(110)),
)
NOTHING_BACK = RemnantRule(least_share=Decimal(0), full_share=Decimal(0))
RATES = replace(Rates(), remnant=NOTHING_BACK, certificate=Decimal(7))
EFFORT = Effort(seconds=1e6, seed=1, now=itertools.repeat(0.0).__next__, should_stop=lambda: False)


def planned(lines: tuple[OrderLine, ...] | list[OrderLine]) -> Plan:
    run = in_turn(CATALOG, ShopRules(), EFFORT)
    return make_plan(tasks_of(lines, Rack(BARS)), run, plan_id="p", name="p", seed=1)


@pytest.fixture(scope="module")
def cost() -> PlanCost:
    return cost_plan(planned((LINE,)), (LINE,), CATALOG, RATES, rack=BARS)


def test_the_line_costs_both_bars_and_the_certificates_of_both_heats(cost: PlanCost) -> None:
    (line,) = cost.lines
    assert (line.pieces, line.missing, line.substitutes) == (4, 0, ("4142 round 80 mm",))
    # Nothing is credited for remnants: 90 + 110. Two heats, each with its certificate of 7; four labels.
    assert line.cost.part(Kind.MATERIAL).amount == Decimal(200)
    assert line.cost.part(Kind.PAPERS).amount == 14 + 4 * RATES.label
    assert cost.uncosted == ()


def test_it_is_the_sum_of_its_parts_each_told_by_what_it_is_cut_from(cost: PlanCost) -> None:
    (line,) = cost.lines
    halves = [
        cost_plan(planned((half,)), (half,), CATALOG, RATES, rack=BARS).lines[0]
        for half in (LINE.cut_from(material, 2) for material in LINE.materials)
    ]
    assert line.cost.amount == halves[0].cost.amount + halves[1].cost.amount
    assert line.seconds.total_s == pytest.approx(sum(half.seconds.total_s for half in halves))
    assert line.area_cm2 == pytest.approx(sum(half.area_cm2 for half in halves))
    told = [part.name for kind in line.cost.parts for part in kind.parts]
    assert any("2 × from 4142 round 80 mm" in name for name in told)
    assert any(
        "ordered in 4140 round 80 mm, are reckoned from 4142 round 80 mm" in one for one in cost.doubts
    )


def test_a_break_point_is_planned_with_what_may_be_cut_instead() -> None:
    def coster(plan: Plan, lines: list[OrderLine]) -> PlanCost:
        return cost_plan(plan, lines, CATALOG, RATES, rack=BARS)

    found = quantity_costs([LINE], "p", [2, 4], planned, coster)  # type: ignore[arg-type]
    assert [found[quantity].substitutes for quantity in (2, 4)] == [(), ("4142 round 80 mm",)]


def test_a_quote_tells_the_customer(cost: PlanCost) -> None:
    day = date(2026, 12, 1)
    quote = make_quote(cost, RATES, QuoteTerms("Q-1", "Weir", day, day))
    assert "P: priced with pieces cut from 4142 round 80 mm, as you allow." in quote.assumptions
    assert [line.line.quantity for line in quote.lines] == [4]


def test_the_table_of_costs_names_the_substitute(cost: PlanCost) -> None:
    table = costs_table(cost)
    (row,) = table.rows
    told = dict(zip((column.name for column in table.columns), row, strict=True))
    assert (told["grade"], told["substitutes"], told["pieces"]) == ("4140", "4142 round 80 mm", 4)
