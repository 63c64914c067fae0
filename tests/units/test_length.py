"""Lengths read from text, against an independent units package where it is right, and against exact sums.

Oracle: pint, for single number-and-unit texts only. Pint drops the marks of ``10'-3 1/2"`` without an error,
so feet and inches are checked by exact arithmetic from 1 in = 25.4 mm (NIST SP 811, B.6).
"""

from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfsmith.errors import InvalidValue, UnreadableText
from kerfsmith.units.length import LONGEST_UM, Measure, Unit, mm_to_um, nearest, um_to_mm
from kerfsmith.units.parse import parse_length, unit_named
from kerfsmith.units.show import show_feet_inches, show_length

INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1190 mm", Fraction(1190)),
        ("6 m", Fraction(6000)),
        ("6m", Fraction(6000)),
        ("2,5 m", Fraction(2500)),
        ("119 cm", Fraction(1190)),
        ('46 7/8"', Fraction(375, 8) * INCH),
        ("46-7/8 in", Fraction(375, 8) * INCH),
        ("46⅞″", Fraction(375, 8) * INCH),
        ("6½ inches", Fraction(13, 2) * INCH),
        ("6-½ in.", Fraction(13, 2) * INCH),
        ("7⁄8 in", Fraction(7, 8) * INCH),
        ('.5"', Fraction(1, 2) * INCH),
        ('0.5"', Fraction(1, 2) * INCH),
        ("12'-6 3/8\"", Fraction(1203, 8) * INCH),
        ("12'-6-3/8\"", Fraction(1203, 8) * INCH),
        ("12' 6\"", 150 * INCH),
        ("12’ 6”", 150 * INCH),
        ("12′ - 6″", 150 * INCH),
        ("12' 6''", 150 * INCH),
        ("12´ 6´´", 150 * INCH),
        ("12'6", 150 * INCH),
        ("0'-6\"", 6 * INCH),
        ("3 ft 4 in", 40 * INCH),
        ("3ft. 4in.", 40 * INCH),
        ("12.5 ft", 150 * INCH),
        ("12 1/2'", 150 * INCH),
        ("3 Zoll", 3 * INCH),
        ("1 190 mm", Fraction(1190)),
        ("1\u00a0190,5\u202fmm", Fraction(2381, 2)),
        ("1.190,5 mm", Fraction(2381, 2)),
        ("1,190.5 mm", Fraction(2381, 2)),
        ("1.190.500 mm", Fraction(1190500, 1)),
        ("  1190\tMM ", Fraction(1190)),
        ("１１９０ mm", Fraction(1190)),
    ],
)
def test_lengths_as_people_write_them(text: str, mm: Fraction) -> None:
    if mm * 1000 > LONGEST_UM:
        with pytest.raises(UnreadableText, match="longer than 1 km"):
            parse_length(text, bare=None)
        return
    parsed = parse_length(text, bare=None)
    assert parsed.exact == mm
    assert parsed.um == nearest(mm * 1000)


@pytest.mark.parametrize(
    ("text", "bare", "decimal", "problem"),
    [
        ("", Unit.MM, ".", "is empty"),
        ("1190", None, ".", "no unit"),
        ("46 7/8", None, ".", "no unit"),
        ("46 7/8", Unit.MM, ".", "fraction where plain numbers are mm"),
        ("1,190", Unit.MM, None, "can mean 1190 or 1.190"),
        ("1.190 cm", None, None, "can mean 1.190 or 1190"),
        ('-3/8"', None, ".", "negative"),
        ("-5 mm", None, ".", "negative"),
        ("−5 mm", None, ".", "negative"),
        ("0 mm", None, ".", "not longer than nothing"),
        ("0'-0\"", None, ".", "not longer than nothing"),
        ("0.0001 mm", None, ".", "not longer than nothing"),
        ("1001 m", None, ".", "longer than 1 km"),
        ("12'-14\"", None, ".", "twelve inches or more"),
        ("12.5' 6\"", None, ".", "part of a foot"),
        ("46 9/8 in", None, ".", "less than one"),
        ("46.5 7/8 in", None, ".", "less than one"),
        ("46 7/9 in", None, ".", "no rule"),
        ("1/0 in", None, ".", "no rule"),
        ("12-6 3/8", Unit.INCH, ".", "feet and inches, or a range"),
        ("6 - 8", Unit.INCH, ".", "or a range"),
        ("2 x 1190", Unit.MM, ".", "count times a length"),
        ("12 furlongs", None, ".", "unknown unit 'furlongs'"),
        ("6 m 20 cm", None, ".", "not feet and inches"),
        ("6\" 2'", None, ".", "not feet and inches"),
        ("1.19.5 mm", None, ".", "not a number"),
        ("1,19,500 mm", None, ".", "not a number"),
        ("1e3 mm", None, ".", "not a length"),
        ("10² mm", None, ".", "not a length"),
        ("nan", Unit.MM, ".", "not a length"),
        ("TBD", Unit.MM, ".", "not a length"),
        ("9" * 121, Unit.MM, ".", "121 characters"),
        ("9" * 119, Unit.MM, ".", "longer than 1 km"),
    ],
)
def test_what_cannot_be_read_says_why(
    text: str, bare: Unit | None, decimal: str | None, problem: str
) -> None:
    with pytest.raises(UnreadableText) as fault:
        parse_length(text, bare=bare, decimal=decimal)
    assert problem in fault.value.problem
    assert fault.value.remedy
    assert len(fault.value.read) <= 60


def test_the_decimal_mark_decides_only_where_a_number_has_two_meanings() -> None:
    assert parse_length("1.190 m", bare=None, decimal=".").exact == 1190
    with pytest.raises(UnreadableText, match="1 km"):
        parse_length("1.190 m", bare=None, decimal=",")
    assert parse_length("2,5 m", bare=None, decimal=".").exact == 2500
    assert parse_length("0,125 m", bare=None, decimal=None).exact == 125
    assert parse_length("1.190 m", bare=None, decimal=None).exact == 1190
    assert parse_length("46.875", bare=Unit.INCH, decimal=None).um == 1_190_625
    assert parse_length("1190,500", bare=Unit.MM, decimal=None).exact == Fraction(2381, 2)
    with pytest.raises(InvalidValue):
        parse_length("5", bare=Unit.MM, decimal=";")


@given(
    st.decimals(min_value="0.001", max_value="900", places=3),
    st.sampled_from(["mm", "cm", "m", "in", "inch", "inches", "ft", "foot", "feet", "meter", "millimeter"]),
)
def test_agrees_with_pint_on_a_number_and_a_unit(number: Decimal, unit: str) -> None:
    registry = _registry()
    expected = registry.Quantity(number, unit).to("mm").magnitude
    parsed = parse_length(f"{number} {unit}", bare=None)
    assert parsed.exact == pytest.approx(Fraction(expected), rel=1e-20)
    assert parsed.um == nearest(Fraction(expected) * 1000)


_REGISTRIES: list[pint.UnitRegistry[Decimal]] = []


def _registry() -> "pint.UnitRegistry[Decimal]":
    if not _REGISTRIES:
        _REGISTRIES.append(pint.UnitRegistry(non_int_type=Decimal))
    return _REGISTRIES[0]


LENGTHS = st.integers(min_value=1, max_value=LONGEST_UM)


@given(LENGTHS)
def test_metric_to_three_decimals_comes_back_exactly(um: int) -> None:
    assert parse_length(show_length(um, Measure.METRIC, decimals=3), bare=None).um == um


@given(st.integers(min_value=1, max_value=64 * 12 * 3000))
def test_every_sixty_fourth_of_an_inch_comes_back_exactly(parts: int) -> None:
    um = nearest(Fraction(parts * 25_400, 64))
    shown = show_length(um, Measure.INCH)
    assert "." not in shown
    parsed = parse_length(shown, bare=None)
    assert parsed.um == um
    assert parsed.exact == Fraction(parts, 64) * INCH
    in_feet = parse_length(show_feet_inches(um), bare=None)
    assert (in_feet.um, in_feet.exact) == (um, parsed.exact)


@given(st.integers(min_value=26, max_value=LONGEST_UM - 1000))
def test_shown_inches_are_never_further_off_than_their_last_figure(um: int) -> None:
    half_a_thou = Fraction(127, 10)
    assert abs(parse_length(show_length(um, Measure.INCH), bare=None).exact * 1000 - um) <= half_a_thou
    assert abs(parse_length(show_feet_inches(um), bare=None).exact * 1000 - um) <= half_a_thou


@given(
    st.text(alphabet=st.sampled_from(list("0123456789.,'\"/-+ ½⅞″′’mcftinxX\u00a0\u202f²٣e±")), max_size=24)
    | st.text(max_size=200),
    st.sampled_from([None, *Unit]),
    st.sampled_from([".", ",", None]),
)
def test_any_text_is_a_whole_length_or_unreadable(text: str, bare: Unit | None, decimal: str | None) -> None:
    try:
        parsed = parse_length(text, bare=bare, decimal=decimal)
    except UnreadableText:
        return
    assert 0 < parsed.um <= LONGEST_UM
    assert abs(parsed.exact * 1000 - parsed.um) <= Fraction(1, 2)


def test_units_by_name() -> None:
    assert unit_named("Inches") is Unit.INCH
    assert unit_named("mm.") is Unit.MM
    assert unit_named("″") is Unit.INCH
    assert unit_named("kg") is None
    assert Unit.FOOT.um == 304_800
    assert Unit.FOOT.measure is Measure.INCH


def test_millimetres_to_micrometres() -> None:
    assert mm_to_um(1190.625) == 1_190_625
    assert mm_to_um(Fraction(25_4, 160)) == 1588
    assert mm_to_um(-0.0005) == -1
    assert um_to_mm(1_190_625) == 1190.625
    for impossible in (float("nan"), float("inf"), Decimal("NaN")):
        with pytest.raises(InvalidValue):
            mm_to_um(impossible)
