"""Values shown, with conversions checked against pint (its constants are CODATA and NIST SP 811's)."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfsmith.errors import InvalidValue
from kerfsmith.units import show
from kerfsmith.units.length import Measure
from kerfsmith.units.money import Money

METRIC, INCH = Measure.METRIC, Measure.INCH


@pytest.mark.parametrize(
    ("um", "metric", "inch", "feet"),
    [
        (1_190_625, "1190.6 mm", "46 7/8 in", "3'-10 7/8\""),
        (1_190_000, "1190 mm", "46.850 in", "3'-10.850\""),
        (3_819_525, "3819.5 mm", "150 3/8 in", "12'-6 3/8\""),
        (25_400, "25.4 mm", "1 in", "0'-1\""),
        (1_588, "1.6 mm", "1/16 in", "0'-1/16\""),
        (397, "0.4 mm", "1/64 in", "0'-1/64\""),
        (304_800, "304.8 mm", "12 in", "1'-0\""),
        (304_799, "304.8 mm", "12.000 in", "1'-0\""),
        (0, "0 mm", "0 in", "0'-0\""),
        (1, "0 mm", "0.000 in", "0'-0.000\""),
        (-25_400, "-25.4 mm", "-1 in", "-0'-1\""),
    ],
)
def test_lengths(um: int, metric: str, inch: str, feet: str) -> None:
    assert show.show_length(um, METRIC) == metric
    assert show.show_length(um, INCH) == inch
    assert show.show_feet_inches(um) == feet


def test_a_coarser_rule_shows_decimals_where_it_has_no_line() -> None:
    assert show.show_length(397, INCH, denominator=16) == "0.016 in"
    assert show.show_length(1_588, INCH, denominator=16) == "1/16 in"
    with pytest.raises(InvalidValue):
        show.show_length(397, INCH, denominator=10)


def test_metric_length_to_a_hundredth() -> None:
    assert show.show_length(1_190_625, METRIC, decimals=2) == "1190.63 mm"
    assert show.show_length(1_190_600, METRIC, decimals=2) == "1190.6 mm"


@pytest.mark.parametrize(
    ("factor", "from_unit", "to_unit"),
    [
        (show.M_PER_FOOT, "foot", "m"),
        (show.MM_PER_INCH, "inch", "mm"),
        (show.KG_PER_LB, "pound", "kg"),
        (show.N_PER_LBF, "pound_force", "N"),
        (show.KW_PER_HP, "horsepower", "kW"),
        (show.CM2_PER_IN2, "inch**2", "cm**2"),
    ],
)
def test_conversion_factors_agree_with_pint(factor: float, from_unit: str, to_unit: str) -> None:
    assert factor == pytest.approx(
        pint.UnitRegistry().Quantity(1.0, from_unit).to(to_unit).magnitude, rel=1e-12
    )


def test_figures_in_both_measures() -> None:
    assert show.show_speed(76.2, METRIC) == "76 m/min"
    assert show.show_speed(76.2, INCH) == "250 ft/min"
    assert show.show_speed(4.57, METRIC) == "4.6 m/min"
    assert show.show_feed(36.5, METRIC) == "36.5 mm/min"
    assert show.show_feed(36.5, INCH) == "1.44 in/min"
    assert show.show_area(81.07, METRIC) == "81.1 cm²"
    assert show.show_area(81.07, INCH) == "12.6 in²"
    assert show.show_area_rate(64.516, INCH) == "10.0 in²/min"
    assert show.show_area_rate(64.516, METRIC) == "64.5 cm²/min"
    assert show.show_mass(16.075, METRIC) == "16.1 kg"
    assert show.show_mass(2268.0, INCH) == "5000 lb"
    assert show.show_power(7.457, METRIC) == "7.46 kW"
    assert show.show_power(7.457, INCH) == "10.0 hp"
    assert show.show_force(850.0, METRIC) == "850 N"
    assert show.show_force(1201.0, METRIC) == "1.20 kN"
    assert show.show_force(1201.0, INCH) == "270 lbf"
    assert show.show_force(-1201.0, METRIC) == "-1.20 kN"
    assert show.show_mass(0.0, METRIC) == "0 kg"


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0, "0 s"),
        (8.54, "8.5 s"),
        (9.97, "10 s"),
        (34, "34 s"),
        (59.4, "59 s"),
        (59.6, "1 min 00 s"),
        (94, "1 min 34 s"),
        (3599.4, "59 min 59 s"),
        (3599.6, "1 h 00 min"),
        (7500, "2 h 05 min"),
        (-94, "-1 min 34 s"),
        (400000, "111 h 07 min"),
    ],
)
def test_seconds(seconds: float, text: str) -> None:
    assert show.show_seconds(seconds) == text


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        ("1234.5", "EUR", "1234.50 EUR"),
        ("12345.675", "USD", "12\u00a0345.68 USD"),
        ("-0.004", "EUR", "0.00 EUR"),
        ("-2", "EUR", "-2.00 EUR"),
        ("1234.5", "JPY", "1235 JPY"),
    ],
)
def test_money(amount: str, currency: str, text: str) -> None:
    assert show.show_money(Money(Decimal(amount), currency)) == text


@given(st.floats())
def test_every_finite_figure_is_shown_in_plain_digits(figure: float) -> None:
    shows = (
        show.show_speed,
        show.show_feed,
        show.show_area,
        show.show_area_rate,
        show.show_mass,
        show.show_power,
        show.show_force,
    )
    for measure in Measure:
        for function in shows:
            if figure != figure or abs(figure) == float("inf"):
                with pytest.raises(InvalidValue):
                    function(figure, measure)
            elif abs(figure) < 1e300:
                number = function(figure, measure).split()[0]
                assert set(number) <= set("-0123456789.")
                assert number != "-0"
