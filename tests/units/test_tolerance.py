"""Tolerances read from text; classes against ISO 2768-1 table 1 (m and c above 30 mm, as printed there)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfsmith.errors import UnreadableText
from kerfsmith.units.iso2768 import ToleranceClass, deviation_um
from kerfsmith.units.length import Unit
from kerfsmith.units.parse import parse_tolerance


@pytest.mark.parametrize(
    ("text", "bare", "plus", "minus"),
    [
        ("+/-0.5", Unit.MM, 500, 500),
        ("+/- 0.5", Unit.MM, 500, 500),
        ("+-0.5", Unit.MM, 500, 500),
        ("±0,5 mm", None, 500, 500),
        ("0.5", Unit.MM, 500, 500),
        ('1/16"', None, 1588, 1588),
        ('±1/16"', None, 1588, 1588),
        ("+1/16 -0", Unit.INCH, 1588, 0),
        ("+1/16/-0", Unit.INCH, 1588, 0),
        ("+2/-0", Unit.MM, 2000, 0),
        ("+2/0", Unit.MM, 2000, 0),
        ("+2 0", Unit.MM, 2000, 0),
        ("0/-2", Unit.MM, 0, 2000),
        ("-0/+2", Unit.MM, 2000, 0),
        ("-0.2 +0.5", Unit.MM, 500, 200),
        ("+0,5-0,2", Unit.MM, 500, 200),
        ('+1/8"-0"', None, 3175, 0),
        ('+1/8" / -1/16"', None, 3175, 1588),
        ("+1 1/8 in -0", None, 28575, 0),
        ("+2 mm -1", None, 2000, 1000),
        ("+2 -1 mm", Unit.INCH, 2000, 1000),
        ('+2 mm -1/16"', None, 2000, 1588),
    ],
)
def test_tolerances_as_people_write_them(text: str, bare: Unit | None, plus: int, minus: int) -> None:
    parsed = parse_tolerance(text, bare=bare)
    assert (parsed.plus_um, parsed.minus_um, parsed.tolerance_class) == (plus, minus, None)


@pytest.mark.parametrize(
    ("text", "bare"),
    [
        ("", Unit.MM),
        ("+2", Unit.MM),
        ("-1", Unit.MM),
        ("+10", Unit.MM),
        ("+2 +1", Unit.MM),
        ("+2 1", Unit.MM),
        ("0", Unit.MM),
        ("+0/-0", Unit.MM),
        ("0.5", None),
        ("+2 -0", None),
        ("tight", Unit.MM),
        ("H7", Unit.MM),
        ("+2 m -0", Unit.MM),
    ],
)
def test_tolerances_that_are_not_guessed(text: str, bare: Unit | None) -> None:
    with pytest.raises(UnreadableText):
        parse_tolerance(text, bare=bare)


@pytest.mark.parametrize(
    ("nominal_mm", "medium_um", "coarse_um"),
    [
        (31, 300, 800),
        (120, 300, 800),
        (121, 500, 1200),
        (400, 500, 1200),
        (1000, 800, 2000),
        (2000, 1200, 3000),
        (2001, 2000, 4000),
        (4000, 2000, 4000),
    ],
)
def test_general_tolerances_of_iso_2768_1(nominal_mm: int, medium_um: int, coarse_um: int) -> None:
    nominal_um = nominal_mm * 1000
    assert deviation_um(ToleranceClass.MEDIUM, nominal_um) == medium_um
    assert deviation_um(ToleranceClass.COARSE, nominal_um) == coarse_um
    parsed = parse_tolerance("ISO 2768-mK", bare=None, nominal_um=nominal_um)
    assert (parsed.plus_um, parsed.minus_um) == (medium_um, medium_um)
    assert parsed.tolerance_class is ToleranceClass.MEDIUM


def test_a_class_needs_a_length_that_its_table_covers() -> None:
    assert parse_tolerance("c", bare=None, nominal_um=500_000).plus_um == 2000
    for nominal_um in (None, 400, 4_000_001):
        with pytest.raises(UnreadableText):
            parse_tolerance("m", bare=None, nominal_um=nominal_um)
    assert deviation_um(ToleranceClass.FINE, 3_000_000) is None
    assert deviation_um(ToleranceClass.VERY_COARSE, 2_000) is None


def test_a_tolerance_as_great_as_the_length_is_a_slip_of_the_unit() -> None:
    with pytest.raises(UnreadableText, match="as great as the length"):
        parse_tolerance("±5", bare=Unit.INCH, nominal_um=100_000)


@given(
    st.text(alphabet=st.sampled_from(list("0123456789.,/+-± mcvfin\"'")), max_size=16) | st.text(max_size=60),
    st.sampled_from([None, Unit.MM, Unit.INCH]),
    st.sampled_from([".", ",", None]),
    st.none() | st.integers(1, 10_000_000),
)
def test_any_text_is_a_whole_tolerance_or_unreadable(
    text: str, bare: Unit | None, decimal: str | None, nominal_um: int | None
) -> None:
    try:
        parsed = parse_tolerance(text, bare=bare, decimal=decimal, nominal_um=nominal_um)
    except UnreadableText:
        return
    assert parsed.plus_um >= 0
    assert parsed.minus_um >= 0
    assert parsed.plus_um + parsed.minus_um > 0
