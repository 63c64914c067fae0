"""Corner rules of hollow sections, against printed weights and areas."""

import pytest

from kerfsmith.catalog.hollow import CornerRule, hollow_section

LB_PER_FT_PER_IN2 = 3.4028
"""490 lb/ft3, the density that ASTM weights are worked out with."""


@pytest.mark.parametrize(
    ("sides", "wall", "lb_per_ft"), [((6, 6), 0.25, 19.02), ((4, 4), 0.25, 12.21), ((8, 4), 0.375, 27.48)]
)
def test_hss_weighs_what_is_printed(sides: tuple[float, float], wall: float, lb_per_ft: float) -> None:
    """ASTM A500 nominal weights, lb/ft (as printed in US tables of structural tube)."""
    shape = hollow_section(sides[0] * 25.4, sides[1] * 25.4, wall * 25.4, CornerRule.ASTM_A500)
    area_in2 = shape.outline().area_mm2 / 645.16
    assert area_in2 * LB_PER_FT_PER_IN2 == pytest.approx(lb_per_ft, abs=0.01)


@pytest.mark.parametrize(
    ("sides", "wall", "area_cm2"),
    [
        ((100, 100), 5, 18.4),
        ((100, 100), 6, 21.6),
        ((100, 100), 8, 27.2),
        ((120, 80), 5, 18.4),
        ((200, 200), 12.5, 87.0),
    ],
)
def test_en_10219_areas(sides: tuple[float, float], wall: float, area_cm2: float) -> None:
    """EN 10219-2, table of square and rectangular hollow sections, areas in cm2 (from memory)."""
    shape = hollow_section(*sides, wall, CornerRule.EN_10219)
    assert shape.outline().area_mm2 / 100 == pytest.approx(area_cm2, abs=0.06)


def test_en_10210_area() -> None:
    """EN 10210-2: 100 x 100 x 5 is 18.7 cm2 (from memory); hot finishing leaves tighter corners."""
    shape = hollow_section(100, 100, 5, CornerRule.EN_10210)
    assert shape.outline().area_mm2 / 100 == pytest.approx(18.7, abs=0.06)
