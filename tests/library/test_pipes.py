"""Pipe against the package fluids (MIT), which holds ASME B36.10M and B36.19M in metric for itself."""

import math

import pytest
from fluids.piping import nearest_pipe

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.geometry.shapes import RoundTube

STEEL_KG_PER_M3 = 7850


def pipe(catalog: Catalog, name: str) -> RoundTube:
    shape = catalog.find_section(name).shape
    assert isinstance(shape, RoundTube)
    return shape


@pytest.mark.parametrize(
    ("name", "outer", "wall", "area_mm2", "kg_per_m"),
    [
        ("NPS 2 Sch 40", 60.3, 3.91, 692.7, 5.437),
        ("NPS 3 XS", 88.9, 7.62, 1945.8, 15.274),
        ("NPS 3 Sch 80", 88.9, 7.62, 1945.8, 15.274),
        ("NPS 4 Sch 40", 114.3, 6.02, 2047.8, 16.075),
        ("NPS 4 Sch 160", 114.3, 13.49, 4272.3, 33.538),
        ("NPS 6 Sch 80", 168.3, 10.97, 5422.1, 42.564),
        ("NPS 8 Sch 40", 219.1, 8.18, 5420.3, 42.549),
        ("NPS 10 Sch 40", 273.0, 9.27, 7680.5, 60.292),
        ("NPS 12 STD", 323.8, 9.53, 9409.0, 73.861),
    ],
)
def test_sizes_areas_and_weights(
    catalog: Catalog, name: str, outer: float, wall: float, area_mm2: float, kg_per_m: float
) -> None:
    """Dimensions: ASME B36.10M; area pi (D - t) t, 7850 kg/m3."""
    shape = pipe(catalog, name)
    assert (shape.outer_mm, shape.wall_mm) == (outer, wall)
    assert shape.outline().area_mm2 == pytest.approx(area_mm2, abs=0.06)
    assert shape.outline().area_mm2 * STEEL_KG_PER_M3 / 1e6 == pytest.approx(kg_per_m, abs=0.001)


@pytest.mark.parametrize(
    "schedule",
    [
        "5",
        "10",
        "20",
        "30",
        "40",
        "60",
        "80",
        "100",
        "120",
        "140",
        "160",
        "STD",
        "XS",
        "XXS",
        "5S",
        "10S",
        "40S",
        "80S",
    ],
)
def test_every_pipe_is_that_of_fluids(catalog: Catalog, schedule: str) -> None:
    word = schedule if schedule in ("STD", "XS", "XXS") else f"Sch {schedule}"
    seen = 0
    for row in catalog.section_rows:
        for name in (row.name, *row.aliases):
            if not (name.startswith("NPS") and name.endswith(f" {word}")):
                continue
            size = sum(_value(part) for part in name.removeprefix("NPS").removesuffix(word).split())
            _, inner, outer, wall = nearest_pipe(
                NPS=size,  # type: ignore[arg-type]  # its stub says int, its sizes are fractions
                schedule=schedule,
            )
            shape = pipe(catalog, name)
            assert shape.outer_mm == pytest.approx(outer * 1000, abs=1e-6)
            assert shape.wall_mm == pytest.approx(wall * 1000, abs=1e-6)
            assert shape.outer_mm - 2 * shape.wall_mm == pytest.approx(inner * 1000, abs=0.02)
            seen += 1
    assert seen >= 8


def _value(text: str) -> float:
    above, _, below = text.partition("/")
    return float(above) / float(below or 1)


def test_nominal_pipe_not_the_design_wall(catalog: Catalog) -> None:
    """NPS 4 STD is 3.17 in2 and 10.8 lb/ft: the 2.96 in2 of design tables is 0.93 of its wall."""
    area_in2 = pipe(catalog, "NPS 4 STD").outline().area_mm2 / 645.16
    assert area_in2 == pytest.approx(3.17, abs=0.01)
    assert area_in2 * 3.4028 == pytest.approx(10.8, abs=0.05)


def test_dn_names_the_same_pipe(catalog: Catalog) -> None:
    for dn, nps in ((15, "1/2"), (50, "2"), (65, "2 1/2"), (100, "4"), (150, "6"), (300, "12")):
        assert pipe(catalog, f"DN {dn} Sch 40") == pipe(catalog, f"NPS {nps} Sch 40")


def test_walls_leave_a_bore(catalog: Catalog) -> None:
    for row in catalog.section_rows:
        if row.standard.startswith("ASME"):
            shape = pipe(catalog, row.name)
            assert 0 < 2 * shape.wall_mm < shape.outer_mm
            assert shape.outline().area_mm2 == pytest.approx(
                math.pi * (shape.outer_mm - shape.wall_mm) * shape.wall_mm
            )
