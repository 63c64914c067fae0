"""Corrections laid over a published speed, against MH31 p. 1245 and the identities they rest on."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence
from kerfsmith.errors import InvalidValue

CORRECTIONS = package_tables().corrections
FPM = 0.3048


@pytest.mark.parametrize(("length_in", "fpm"), [(0.25, 287.5), (0.75, 280), (1.25, 275), (4, 250), (8, 220)])
def test_4140_by_length_of_cut(catalog: Catalog, length_in: float, fpm: float) -> None:
    """Machinery's Handbook 31, p. 1245: 4140 at 250 ft/min in 4 in, and the factors for other lengths."""
    speed = catalog.find_grade("4140").band_speed.value
    factor = catalog.corrections.size_factor(length_in * 25.4)
    assert speed * factor.value / FPM == pytest.approx(fpm, abs=0.5)
    assert factor.confidence is Confidence.READ


def test_4140_dry_and_on_a_carbon_band(catalog: Catalog) -> None:
    """Machinery's Handbook 31, p. 1245: dry costs 30 to 50 %, a carbon-steel band half the speed."""
    speed = catalog.find_grade("4140").band_speed.value / FPM
    dry = catalog.corrections.dry
    assert speed * dry.low == pytest.approx(125)
    assert speed * dry.high == pytest.approx(175)
    assert 125 <= speed * dry.value <= 175
    assert speed * catalog.corrections.carbon_edge.value == pytest.approx(125)


def test_carbon_band_agrees_with_1887(catalog: Catalog) -> None:
    """Dinglers Polytechnisches Journal 266 (1887) p. 154: steel at 45 m/min on the bands of the day."""
    speed = catalog.find_grade("1018").band_speed.value * catalog.corrections.carbon_edge.value
    assert speed == pytest.approx(45, rel=0.10)


def test_304_tube_of_the_worked_example(catalog: Catalog) -> None:
    """Machinery's Handbook 31, p. 1245: 304 tube 4 in by 3 in, mean length of cut 1.37 in, 132 ft/min."""
    mean_in = math.pi * (4**2 - 3**2) / 4 / 4
    factor = catalog.corrections.size_factor(mean_in * 25.4).value
    assert catalog.find_grade("304").band_speed.value * factor / FPM == pytest.approx(132, abs=2)


def test_between_two_points_the_factor_is_derived() -> None:
    found = CORRECTIONS.size_factor(2 * 25.4)
    share = math.log(2 / 1.25) / math.log(4 / 1.25)
    assert found.value == pytest.approx(1.10 - 0.10 * share)
    assert found.confidence is Confidence.DERIVED


@given(st.floats(0.1, 5000), st.floats(0.1, 5000))
def test_longer_cuts_are_never_faster(one: float, other: float) -> None:
    short, long = sorted((one, other))
    assert CORRECTIONS.size_factor(short).value >= CORRECTIONS.size_factor(long).value - 1e-12


def test_beyond_the_points_the_factor_is_held_and_says_so() -> None:
    for length_mm, value in ((1.0, 1.15), (1000.0, 0.88)):
        found = CORRECTIONS.size_factor(length_mm)
        assert found.value == value
        assert "held" in found.note
    with pytest.raises(InvalidValue):
        CORRECTIONS.size_factor(0)


def test_hardness_slows_only_what_is_harder_than_published() -> None:
    assert CORRECTIONS.hardness_factor(180, 200).value == 1
    assert CORRECTIONS.hardness_factor(300, 200).value == pytest.approx(0.75)
    assert CORRECTIONS.hardness_factor(300, 300).value == 1
    assert CORRECTIONS.hardness_factor(350, 300).value == pytest.approx(0.6 / 0.75)
    assert "held" in CORRECTIONS.hardness_factor(500, 200).note


@given(st.floats(80, 600), st.floats(80, 400), st.floats(0, 200))
def test_harder_is_never_faster(hb: float, annealed: float, more: float) -> None:
    softer, harder = (CORRECTIONS.hardness_factor(each, annealed) for each in (hb, hb + more))
    assert softer.value >= harder.value - 1e-12
    assert 0 < harder.low <= harder.value <= harder.high <= 1


def test_wall_steps() -> None:
    """Rate factors by wall as earlier handbook editions print them (from memory)."""
    walls_in = {0.125: 0.4, 0.1875: 0.4, 0.25: 0.5, 0.5: 0.6, 1.0: 0.7, 2.0: 1.0}
    for wall_in, factor in walls_in.items():
        assert CORRECTIONS.wall_factor(wall_in * 25.4).value == factor


def test_carbide_runs_faster_where_a_figure_is_known() -> None:
    steel = CORRECTIONS.carbide_factor("steel")
    assert steel is not None
    assert (steel.low, steel.high, steel.confidence) == (1.2, 1.6, Confidence.MEMORY_LOW)
    assert CORRECTIONS.carbide_factor("cast iron") is None
