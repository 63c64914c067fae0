"""A quote says what it offers until when; accepted in time it becomes the order, line for line."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from tests.costing import shop

from kerfsmith.costing.acceptance import NotAccepted, accept, value_of
from kerfsmith.costing.document import quote_document
from kerfsmith.costing.plan_cost import cost_plan
from kerfsmith.costing.price import quantity_costs, quantity_prices
from kerfsmith.costing.quote import Quote, QuoteTerms, make_quote, revised
from kerfsmith.costing.rates import Rates, Span
from kerfsmith.costing.rates_reading import read_rates
from kerfsmith.errors import InvalidValue
from kerfsmith.planning.plan import Plan
from kerfsmith.shop.order import Order, OrderLine

DAY = date(2026, 3, 2)
UNTIL = DAY + timedelta(days=30)
LINE = shop.line(
    "L1",
    700_000,
    6,
    mark="Arm",
    plus_um=500,
    minus_um=0,
    due=date(2026, 4, 1),
    angle_a_deg=0.0,
    notes="Stamp the end.",
    order="Gate 7",
    customer="?",
    row=4,
)


def by_hand(lines: Sequence[OrderLine]) -> Plan:
    return shop.plan(
        shop.group(*(shop.laid(f"B-{one.id}", 60_000_000, [(one, one.quantity)]) for one in lines))
    )


def quote(**terms: object) -> Quote:
    plain: dict[str, object] = {
        "number": "Q-7",
        "customer": "Weir works",
        "day": DAY,
        "valid_until": UNTIL,
        "reference": "R-55",
    }
    rates = shop.rates(metal_per_kg={"steel": Span.sure(Decimal("1.50"))})
    costs = quantity_costs(
        [LINE],
        "L1",
        (6, 20),
        by_hand,
        lambda plan, lines: cost_plan(plan, lines, shop.catalog(), rates),
    )
    found = cost_plan(by_hand([LINE]), [LINE], shop.catalog(), rates)
    return make_quote(
        found,
        rates,
        QuoteTerms(**(plain | terms)),  # type: ignore[arg-type]  # a test names real fields
        breaks={"L1": quantity_prices(costs, rates)},
    )


def test_accepted_it_is_the_order_line_for_line() -> None:
    order = accept(quote(), day=UNTIL, order_id="O-1")
    assert isinstance(order, Order)
    wanted = replace(LINE, id="O-1/1", order="R-55", customer="Weir works", row=None)
    assert order.lines == (wanted,)


def test_another_offered_quantity_is_taken_at_its_price() -> None:
    offered = quote()
    order = accept(offered, day=DAY, order_id="O-1", quantities={"L1": 20})
    assert isinstance(order, Order)
    assert order.pieces == 20
    assert value_of(offered, {"L1": 20}) == offered.lines[0].breaks[1].total
    assert value_of(offered, {}) == offered.total


@pytest.mark.parametrize(
    ("words", "when"),
    [
        ("ended on 2026-04-01", {"day": UNTIL + timedelta(days=1)}),
        ("revision 2", {"day": DAY, "latest_revision": 2}),
        ("weren't offered", {"day": DAY, "quantities": {"L1": 7}}),
        ("no line was taken", {"day": DAY, "quantities": {"L1": 0}}),
    ],
)
def test_what_is_no_order_says_why(words: str, when: dict[str, object]) -> None:
    answer = accept(quote(), order_id="O-1", **when)  # type: ignore[arg-type]  # a test names real arguments
    assert isinstance(answer, NotAccepted)
    assert words in answer.reason


def test_a_revision_keeps_number_and_customer() -> None:
    renewed = revised(quote(), quote(number="other", customer="other"), day=UNTIL, valid_until=UNTIL)
    assert (renewed.terms.number, renewed.terms.customer, renewed.terms.revision) == ("Q-7", "Weir works", 2)
    assert renewed.terms.day == UNTIL


def test_a_quote_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(InvalidValue):
        quote(valid_until=DAY - timedelta(days=1))


def test_the_document_holds_every_digit_and_unfolds() -> None:
    offered = quote()
    document = quote_document(offered)
    line = document["lines"][0]
    assert Decimal(line["each"]) * line["count"] == Decimal(line["total"]) == Decimal(document["total"])

    def check(node: dict[str, object]) -> None:
        parts = node.get("parts")
        if isinstance(parts, list):
            assert sum(Decimal(part["amount"]) for part in parts) == Decimal(str(node["amount"]))
            for part in parts:
                check(part)
        else:
            assert {"quantity", "rate", "share", "basis"} <= node.keys()

    check(line["reckoning"])


def test_rates_are_read_field_by_field() -> None:
    table = {
        "currency": "USD",
        "people_hour": Decimal("55.5"),
        "saw_hour": {"north": 70},
        "scrap": {"low": 0, "likely": Decimal("0.02"), "high": Decimal("0.05")},
        "remnant": {"least_mm": 250},
        "metal_per_kg": {"4140": Decimal("2.1")},
        "margin": 2,
        "coffee": 1,
        "label": "dear",
    }
    rates, findings = read_rates("rates.toml", table)
    assert (rates.currency, rates.people_hour, rates.saw_hour["north"]) == (
        "USD",
        Decimal("55.5"),
        Decimal(70),
    )
    assert rates.remnant.least_um == 250_000
    assert rates.scrap.high == Decimal("0.05")
    assert {finding.field for finding in findings} == {"margin", "coffee", "label"}
    # What couldn't be read stays the house's and is told apart from the shop's own.
    assert (rates.margin, rates.is_own("margin"), rates.is_own("people_hour")) == (
        Rates().margin,
        False,
        True,
    )
