"""Sums always add up, a dearer rate never makes a price fall, more pieces never cost less in all."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.costing import shop

from kerfsmith.costing.one_cut import cost_cut
from kerfsmith.costing.plan_cost import PlanCost, cost_plan
from kerfsmith.costing.price import price_line, quantity_costs, quantity_prices
from kerfsmith.costing.rates import Rates, RemnantRule, Span
from kerfsmith.costing.reckoning import Cause, Cost, Kind
from kerfsmith.costing.seconds import part_work
from kerfsmith.costing.shown import apportioned, rounded
from kerfsmith.errors import InvalidValue
from kerfsmith.planning.plan import Plan
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.money import Money

ONE = shop.line("one", 700_000, 6)
TWO = shop.line("two", 333_333, 9)

money = st.decimals(0, 500, places=2)
shares = st.decimals("0", "0.6", places=3)


def two_lines(kind: BarKind = BarKind.BAR) -> Plan:
    bars = [
        shop.laid("B-1", 6_000_000, [(ONE, 3), (TWO, 4)], kind=kind),
        shop.laid("B-1", 6_000_000, [(ONE, 3), (TWO, 5)], kind=kind),
    ]
    return shop.plan(shop.group(*bars))


def costed(rates: Rates, plan: Plan | None = None, price: str | None = "412.37") -> PlanCost:
    rack = [shop.rack_bar("B-1", 6_000_000, price)]
    return cost_plan(plan or two_lines(), [ONE, TWO], shop.catalog(), rates, rack=rack)


@st.composite
def any_rates(draw: st.DrawFn) -> Rates:
    scrap = sorted(draw(st.tuples(shares, shares, shares)))
    metal = sorted(draw(st.tuples(money, money, money)))
    return shop.rates(
        saw_hour={"plain": draw(money)},
        people_hour=draw(money),
        attendance=draw(shares),
        set_up_s=draw(money),
        handling_per_bar=draw(money),
        handling_per_line=draw(money),
        certificate=draw(money),
        label=draw(money),
        scrap=Span(*scrap),
        metal_per_kg={"steel": Span(*metal)},
        margin=draw(shares),
    )


def every(cost: Cost) -> Iterator[Cost]:
    yield cost
    for part in cost.parts:
        yield from every(part)


@given(any_rates(), st.booleans())
@settings(max_examples=60, deadline=None)
def test_lines_add_up_to_the_total_at_every_level(rates: Rates, on_list: bool) -> None:
    found = costed(rates, price="412.37" if on_list else None)
    for line in found.lines:
        price = price_line(line, rates)
        for cost in every(price.reckoning):
            if cost.parts:
                assert sum(part.amount.amount for part in cost.parts) == cost.amount.amount
            elif cost.how is not None:
                product = cost.how.quantity * cost.how.rate.amount * cost.how.share
                assert abs(product - cost.amount.amount) < Decimal("1e-12")
        assert price.each * price.count == price.total
        assert rounded(price.each) == price.each
        # The same leaves added the other way round, by the rate they go with, come to exactly the same.
        assert sum(price.reckoning.by_driver.values()) == price.total.amount
        shown = apportioned(price.total, [part.amount for part in price.reckoning.parts])
        assert sum(one.amount for one in shown) == price.total.amount
    by_order = found.of_orders()
    assert sum(one.amount for one in by_order.values()) == found.total.amount


def test_parting_a_run_loses_and_invents_no_second() -> None:
    plan = two_lines()
    group = plan.groups[0]
    work = part_work(group, shop.saw())
    lines = costed(shop.rates()).lines
    # The plan's own sum of seconds, reckoned bar by bar, plus the set-up of the run.
    assert sum(one.seconds.total_s for one in lines) == pytest.approx(group.times.total_s + 600)
    assert sum(one.seconds.sawing_high_s for one in lines) == pytest.approx(group.times.sawing_high_s)
    assert sum(work.share(one) for one in work.lines) == 1
    assert sum(one.area_cm2 for one in lines) == pytest.approx(80.0 * (6 + 9 + 2))


RATE_NAMES = (
    "people_hour",
    "handling_per_bar",
    "handling_per_line",
    "certificate",
    "label",
    "set_up_s",
    "margin",
)


@given(any_rates(), st.sampled_from(RATE_NAMES), st.decimals("0", "0.39", places=3))
@settings(max_examples=60, deadline=None)
def test_a_higher_rate_never_lowers_a_price(rates: Rates, name: str, more: Decimal) -> None:
    dearer = rates.setting(**{name: getattr(rates, name) + more})
    assert_no_lower(rates, dearer)


@given(any_rates(), money)
@settings(max_examples=40, deadline=None)
def test_dearer_saw_metal_and_scrap_never_lower_a_price(rates: Rates, more: Decimal) -> None:
    assert_no_lower(rates, rates.setting(saw_hour={"plain": rates.saw_hour["plain"] + more}))
    metal = rates.metal_per_kg["steel"]
    assert_no_lower(
        rates,
        rates.setting(metal_per_kg={"steel": Span(metal.low + more, metal.value + more, metal.high + more)}),
        price=None,
    )
    worse = Span(rates.scrap.low, rates.scrap.high, rates.scrap.high)
    assert_no_lower(rates, rates.setting(scrap=worse))


def assert_no_lower(cheap: Rates, dear: Rates, price: str | None = "412.37") -> None:
    for kind in (BarKind.BAR, BarKind.REMNANT):
        plan = two_lines(kind)
        for below, above in zip(
            costed(cheap, plan, price).lines, costed(dear, plan, price).lines, strict=True
        ):
            assert price_line(below, cheap).total <= price_line(above, dear).total


@given(st.integers(1, 3_000_000), st.integers(0, 3_000_000))
def test_a_longer_remnant_is_never_worth_less(length_um: int, more_um: int) -> None:
    rule = RemnantRule()
    assert rule.share(length_um) <= rule.share(length_um + more_um) <= 1
    assert rule.share(rule.least_um - 1) == 0


def test_a_remnant_priced_low_gives_back_no_more_than_it_cost() -> None:
    # By hand: a remnant of 2 m priced 50; its worth by the rule is .3 + .6 x 1.7/3 = .64 of new bar. A metre
    # of new bar so stands at 50/(2 x .64) = 39.0625; 1.286 m are left, worth .3 + .6 x .986/3 = .4972 of it.
    line = shop.line("one", 350_000, 2)
    bar = shop.laid("R-1", 2_000_000, [(line, 2)], kind=BarKind.REMNANT)
    assert bar.remnant_um == 1_286_000
    rack = [shop.rack_bar("R-1", 2_000_000, "50.00", BarKind.REMNANT)]
    rich = shop.rates(metal_per_kg={"steel": Span.sure(Decimal(1000))})
    found = cost_plan(shop.plan(shop.group(bar)), [line], shop.catalog(), rich, rack=rack)
    worth = Decimal("0.3") + Decimal("0.6") * Decimal("0.986") / 3
    left = Decimal(50) / (2 * Decimal("0.64")) * Decimal("1.286") * worth
    material = found.lines[0].cost.part(Kind.MATERIAL).amount
    assert material == pytest.approx(50 - left)
    assert material > 0


def test_a_bar_nobody_priced_is_told_and_not_costed() -> None:
    found = costed(shop.rates(metal_per_kg={}), price=None)
    assert found.lines == ()
    assert {one.line.id: one.count for one in found.uncosted} == {"one": 6, "two": 9}
    assert "no price is known for B-1" in found.uncosted[0].reason


def test_no_band_life_and_no_saw_rate_are_told() -> None:
    bars = [shop.laid("B-1", 6_000_000, [(ONE, 6)])]
    free = shop.saw(rate_per_hour=0.0)
    plan = shop.plan(shop.group(*bars, at=free, cut=shop.setting(life_cm2=None)))
    rack = [shop.rack_bar("B-1", 6_000_000, "400")]
    found = cost_plan(plan, [ONE], shop.catalog(free), shop.rates(), rack=rack)
    assert any("wear of the band isn't in the price" in doubt for doubt in found.doubts)
    assert any("its time isn't in the price" in doubt for doubt in found.doubts)
    assert found.lines[0].bands is None


def test_intervals_are_put_together_as_stated() -> None:
    cost = costed(shop.rates()).lines[0].cost
    sways = cost.sways
    assert {sway.cause for sway in sways} == {
        Cause.SAWING_TIME,
        Cause.BAND_LIFE,
        Cause.BAND_PRICE,
        Cause.SCRAP_SHARE,
    }
    down = sum(float(sway.down) ** 2 for sway in sways) ** 0.5
    assert float(cost.amount.amount - cost.span.low.amount) == pytest.approx(down)
    # All causes at their ends at once reach no less far than independent ones; one alone no farther.
    assert cost.extremes.low <= cost.span.low <= cost.amount <= cost.span.high <= cost.extremes.high
    assert all(cost.span.low.amount <= cost.amount.amount - sway.down for sway in sways)


def test_one_cause_moves_every_line_of_it_at_once() -> None:
    slow = replace(shop.setting(), cut_seconds=240.0)
    at_high = shop.plan(shop.group(*two_lines().groups[0].bars, cut=replace(slow, cut_seconds_low=240.0)))
    for likely, dear in zip(costed(shop.rates()).lines, costed(shop.rates(), at_high).lines, strict=True):
        sway = next(one for one in likely.cost.sways if one.cause is Cause.SAWING_TIME)
        assert dear.cost.amount.amount == pytest.approx(likely.cost.amount.amount + sway.up)


@given(st.lists(st.decimals(-90, 900, places=5), min_size=1, max_size=12))
def test_parts_shown_add_up_and_stand_within_a_cent(amounts: list[Decimal]) -> None:
    parts = [Money(amount, "EUR") for amount in amounts]
    total = rounded(Money.total(parts, "EUR"))
    shown = apportioned(total, parts)
    assert Money.total(shown, "EUR") == total
    assert all(
        abs(one.amount - part.amount) <= Decimal("0.01") for one, part in zip(shown, parts, strict=True)
    )


def test_a_currency_without_parts_is_shown_whole() -> None:
    shown = apportioned(Money(Decimal(100), "JPY"), [Money(Decimal("33.3"), "JPY")] * 3)
    assert [one.amount for one in shown] == [34, 33, 33]
    with pytest.raises(InvalidValue):
        apportioned(Money(Decimal("0.5"), "JPY"), [Money(Decimal(1), "JPY")])


def bars_for(lines: Sequence[OrderLine]) -> Plan:
    """A planner by hand: eight pieces of the one length to a bar of 6 m, the last bar as far as it goes."""
    line = lines[0]
    full, rest = divmod(line.quantity, 8)
    bars = [shop.laid("B-1", 6_000_000, [(line, 8)], times=full)] if full else []
    bars += [shop.laid("B-1", 6_000_000, [(line, rest)])] if rest else []
    return shop.plan(shop.group(*bars))


@given(any_rates(), st.sets(st.integers(1, 60), min_size=2, max_size=6))
@settings(max_examples=40, deadline=None)
def test_no_quantity_costs_more_in_all_than_a_larger_one(rates: Rates, quantities: set[int]) -> None:
    line = shop.line("one", 700_000, 10)
    rack = [shop.rack_bar("B-1", 6_000_000, "3.10")]
    costs = quantity_costs(
        [line],
        "one",
        quantities,
        bars_for,
        lambda plan, lines: cost_plan(plan, lines, shop.catalog(), rates, rack=rack),
    )
    prices = quantity_prices(costs, rates)
    assert [price.count for price in prices] == sorted(quantities)
    totals = [price.total.amount for price in prices]
    assert totals == sorted(totals)
    assert all(price.each * price.count == price.total for price in prices)


def test_one_cut_is_part_of_the_line() -> None:
    rates = shop.rates()
    cut = cost_cut(shop.setting(), shop.saw(), rates)
    # By hand: (180 + 12) s at 1/60 and at half of 0.01, and 80/20000 of a band of 4.5 x 20 + 10 + 6.
    assert float(cut.amount.amount) == pytest.approx(192 / 60 + 192 * 0.005 + 80 / 20_000 * 106)


@pytest.mark.parametrize(
    "wrong",
    [
        {"people_hour": Decimal(-1)},
        {"attendance": Decimal("1.1")},
        {"margin": Decimal(1)},
        {"scrap": Span.sure(Decimal(1))},
        {"currency": "euro"},
    ],
)
def test_impossible_rates_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(InvalidValue):
        Rates().setting(**wrong)
