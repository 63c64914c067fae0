"""Numbers, counts, angles, dates and money read from text."""

from contextlib import suppress
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfsmith.errors import InvalidValue, UnreadableText
from kerfsmith.units.money import Money
from kerfsmith.units.parse import (
    DateOrder,
    parse_angle,
    parse_date,
    parse_money,
    parse_number,
    parse_quantity,
)
from kerfsmith.units.show import show_money

FIRST_OF_DECEMBER = date(2026, 12, 1)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", 12),
        ("-1.5", Fraction(-3, 2)),
        ("1,190.5", Fraction(2381, 2)),
        ("1.190,5", Fraction(2381, 2)),
        ("+3", 3),
        (".5", Fraction(1, 2)),
        ("1 190", 1190),
    ],
)
def test_numbers(text: str, value: Fraction) -> None:
    assert parse_number(text) == value


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("12", 12),
        ("12.0", 12),
        ("12 pcs", 12),
        ("12pc.", 12),
        ("12 off", 12),
        ("12 Stk", 12),
        ("x12", 12),
        ("1,200", 1200),
        ("1 200", 1200),
        ("1000000", 1000000),
    ],
)
def test_quantities(text: str, pieces: int) -> None:
    assert parse_quantity(text) == pieces


@pytest.mark.parametrize(
    "text", ["", "12.5", "0", "-3", "1000001", "1e3", "12 or 14", "a dozen", "12/2", "½"]
)
def test_quantities_that_are_not_guessed(text: str) -> None:
    with pytest.raises(UnreadableText):
        parse_quantity(text)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("45", 45),
        ("45°", 45),
        ("22.5 deg", 22.5),
        ("22,5°", 22.5),
        ("22°30'", 22.5),
        ("-45", -45),
        ("0", 0),
        ("square", 0),
        ("79.99", 79.99),
        ("-", 0),
    ],
)
def test_angles(text: str, degrees: float) -> None:
    assert parse_angle(text) == degrees


@pytest.mark.parametrize("text", ["", "80", "90", "-90", "45'", "22°75'", "1:1", "forty-five", "9999999"])
def test_angles_that_are_not_guessed(text: str) -> None:
    with pytest.raises(UnreadableText):
        parse_angle(text)


@pytest.mark.parametrize(
    "text",
    [
        "2026-12-01",
        "2026/12/01",
        "20261201",
        "01.12.2026",
        "1.12.26",
        "1 Dec 2026",
        "01-Dec-26",
        "Dec 1, 2026",
        "December 1st, 2026",
        "1. Dezember 2026",
        "1er décembre 2026",
        "1 de diciembre de 2026",
        "2026-12-01T00:00:00",
        "2026-12-01 06:30",
    ],
)
def test_dates_with_one_meaning(text: str) -> None:
    assert parse_date(text) == FIRST_OF_DECEMBER


def test_dates_with_two_meanings_need_an_order() -> None:
    with pytest.raises(UnreadableText, match="day and a month"):
        parse_date("12/01/2026")
    assert parse_date("12/01/2026", order=DateOrder.MONTH_FIRST) == FIRST_OF_DECEMBER
    assert parse_date("12/01/2026", order=DateOrder.DAY_FIRST) == date(2026, 1, 12)
    assert parse_date("12.01.2026", order=DateOrder.MONTH_FIRST) == FIRST_OF_DECEMBER
    assert parse_date("13/01/2026") == parse_date("01/13/2026") == date(2026, 1, 13)
    assert parse_date("05/05/2026") == date(2026, 5, 5)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "31.02.2026",
        "2026-13-01",
        "99/99/2026",
        "1999-12-01",
        "2101-01-01",
        "soon",
        "ASAP",
        "week 49",
        "1 Foo 2026",
        "2026-12",
        "45992",
    ],
)
def test_dates_that_no_calendar_has(text: str) -> None:
    with pytest.raises(UnreadableText):
        parse_date(text)


@given(st.dates(date(2000, 1, 1), date(2100, 12, 31)))
def test_every_day_comes_back_from_each_form(day: date) -> None:
    for form in ("%Y-%m-%d", "%d.%m.%Y", "%d %b %Y", "%B %d, %Y", "%Y%m%d"):
        assert parse_date(day.strftime(form)) == day


@pytest.mark.parametrize(
    ("text", "currency", "money"),
    [
        ("12.50", "EUR", Money(Decimal("12.50"), "EUR")),
        ("€ 12,50", None, Money(Decimal("12.50"), "EUR")),
        ("12,50 €", "USD", Money(Decimal("12.50"), "EUR")),
        ("12.50 usd", "EUR", Money(Decimal("12.50"), "USD")),
        ("$1,234.50", "CAD", Money(Decimal("1234.50"), "CAD")),
        ("0", "EUR", Money(Decimal(0), "EUR")),
    ],
)
def test_money(text: str, currency: str | None, money: Money) -> None:
    assert parse_money(text, currency=currency) == money


@pytest.mark.parametrize(
    ("text", "currency"),
    [
        ("12.50", None),
        ("$12.50", None),
        ("$12.50", "EUR"),
        ("-3", "EUR"),
        ("EUR 5 USD", None),
        ("", "EUR"),
        ("1,234", None),
        ("5e9", "EUR"),
        ("99999999999", "EUR"),
        ("free", "EUR"),
    ],
)
def test_money_that_is_not_guessed(text: str, currency: str | None) -> None:
    with pytest.raises(UnreadableText):
        parse_money(text, currency=currency, decimal=None)


def test_money_keeps_its_currency_and_its_cents() -> None:
    ten, third = Money(Decimal("10.00"), "EUR"), Money(Decimal("0.005"), "EUR")
    assert ten + third - third == ten
    assert (ten * 3).amount == Decimal("30.00")
    assert (0.1 * ten).amount == Decimal("1.000")
    assert ten / 4 == Money(Decimal("2.50"), "EUR")
    assert Money.total([ten, -ten, third], "EUR") == third
    assert third < ten
    assert third <= third
    assert show_money(third) == "0.01 EUR"
    with pytest.raises(InvalidValue):
        ten + Money(Decimal(1), "USD")
    with pytest.raises(InvalidValue):
        ten * float("nan")
    with pytest.raises(InvalidValue):
        ten / 0
    for amount, currency in ((Decimal("NaN"), "EUR"), (Decimal(1), "eur"), (Decimal(1), "EURO")):
        with pytest.raises(InvalidValue):
            Money(amount, currency)


@given(
    st.text(max_size=40) | st.text(alphabet=st.sampled_from(list("0123456789.,-/ °'€$eurdcx")), max_size=14)
)
def test_any_text_is_a_whole_value_or_unreadable(text: str) -> None:
    for decimal in (".", ",", None):
        for read in (parse_number, parse_quantity, parse_angle, parse_money):
            with suppress(UnreadableText):
                assert read(text, decimal=decimal) is not None
    for order in (None, *DateOrder):
        with suppress(UnreadableText):
            assert 2000 <= parse_date(text, order=order).year <= 2100
