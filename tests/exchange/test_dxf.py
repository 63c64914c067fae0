"""Drawn sections: areas against shapely's polygons and closed forms, and drawings with one fault each."""

import io
import math
from collections.abc import Callable, Iterator

import numpy as np
import pytest
import shapely  # type: ignore[import-untyped]  # the package ships no types
from ezdxf import path as dxf_path
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import BSpline
from tests.exchange.drawings import beam, drawing, ring, two_squares

from kerfsmith.errors import Severity
from kerfsmith.exchange.dxf.read import DrawnRead, read_dxf_section
from kerfsmith.geometry.measures import mass_kg_per_m, second_moments
from kerfsmith.geometry.outline import Outline
from kerfsmith.units.length import Unit

Draw = Callable[[Modelspace], object]


def dxf(draw: Draw, units: int = 4, version: str = "R2010") -> bytes:
    document = new(version, units=units)
    draw(document.modelspace())
    return saved(document)


def saved(document: Drawing) -> bytes:
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8", "surrogateescape")


def read(draw: Draw, units: int = 4, unit: Unit | None = None) -> DrawnRead:
    return read_dxf_section("own.dxf", dxf(draw, units), name="own 1", unit=unit)


def outline(found: DrawnRead) -> Outline:
    assert found.section is not None, [str(finding) for finding in found.findings]
    return found.section.shape.outline()


def codes(found: DrawnRead) -> list[str]:
    return [finding.code for finding in found.findings]


def box(space: Modelspace, x: float, y: float, width: float, height: float) -> None:
    corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
        space.add_line(start, end)


def test_a_tube_of_lines_and_a_circle() -> None:
    def draw(space: Modelspace) -> None:
        box(space, 10, 20, 100, 60)
        space.add_circle((60, 50), 20)

    found = read(draw)
    assert outline(found).area_mm2 == pytest.approx(6000 - math.pi * 400, rel=1e-12)
    assert len(outline(found).bodies[0].holes) == 1
    assert found.findings == ()


def test_bodies_in_holes_in_bodies() -> None:
    def draw(space: Modelspace) -> None:
        for size in (100, 80, 40):
            box(space, -size / 2, -size / 2, size, size)
        box(space, 200, 0, 10, 10)

    drawn = outline(read(draw))
    assert len(drawn.bodies) == 3
    assert drawn.area_mm2 == pytest.approx(100**2 - 80**2 + 40**2 + 100)


@pytest.mark.parametrize("closed", [True, False])
def test_a_slot_of_bulges(closed: bool) -> None:
    # Source: a bulge of 1 is half a circle, by its definition tan(180 / 4 degrees).
    points = [(0.0, 0.0, 0.0), (40.0, 0.0, 1.0), (40.0, 20.0, 0.0), (0.0, 20.0, 1.0)]
    points += [] if closed else [(0.0, 0.0, 0.0)]

    def draw(space: Modelspace) -> None:
        space.add_lwpolyline(points, format="xyb", close=closed)

    def draw_old(space: Modelspace) -> None:
        space.add_polyline2d(points, format="xyb", close=closed)

    for one in (draw, draw_old):
        assert outline(read(one)).area_mm2 == pytest.approx(800 + math.pi * 100, rel=1e-12)


@pytest.mark.parametrize(
    ("units", "mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0), (14, 100.0)]
)
def test_units_of_the_drawing(units: int, mm: float) -> None:
    side = 50 / mm
    drawn = outline(read(lambda space: box(space, 0, 0, side, side), units))
    assert drawn.width_mm == pytest.approx(50)


def test_a_drawing_without_a_unit_asks() -> None:
    def draw(space: Modelspace) -> None:
        box(space, 0, 0, 2, 2)

    found = read(draw, units=0)
    assert found.needs_unit
    assert found.section is None
    assert outline(read(draw, units=0, unit=Unit.INCH)).width_mm == pytest.approx(50.8)


def test_a_small_gap_is_joined_and_told() -> None:
    def draw(space: Modelspace) -> None:
        space.add_line((0, 0), (50, 0))
        space.add_line((50.04, 0), (50, 40))
        space.add_arc((25, 40), 25, 0, 180)
        space.add_line((0, 40), (0, 0))

    found = read(draw)
    assert codes(found) == ["dxf-gap"]
    assert "0.04 mm at (50.00, 0.00)" in found.findings[0].problem
    assert outline(found).area_mm2 == pytest.approx(2000 + math.pi * 312.5, rel=1e-3)


def test_an_open_outline_is_refused_with_its_places() -> None:
    def draw(space: Modelspace) -> None:
        space.add_lwpolyline([(0, 0), (50, 0), (50, 40), (0.5, 40.25)])

    found = read(draw)
    assert codes(found) == ["dxf-open"]
    assert "(0.00, 0.00) mm and (0.50, 40.25) mm" in found.findings[0].problem


def crossing(space: Modelspace) -> None:
    space.add_lwpolyline([(0, 0), (50, 0), (0, 40), (50, 40)], close=True)


def branching(space: Modelspace) -> None:
    box(space, 0, 0, 50, 50)
    space.add_line((0, 0), (50, 50))


def in_space(space: Modelspace) -> None:
    space.add_line((0, 0, 0), (50, 0, 10))


def many(space: Modelspace) -> None:
    for n in range(1_501):
        space.add_line((n, 0), (n, 1))


@pytest.mark.parametrize(
    ("draw", "code"),
    [
        (crossing, "dxf-outline"),
        (branching, "dxf-branch"),
        (in_space, "dxf-not-flat"),
        (many, "dxf-too-many"),
        (lambda space: space.add_text("a word"), "dxf-empty"),
        (lambda space: box(space, 0, 0, 5000, 50), "dxf-size"),
        (lambda space: box(space, 0, 0, 1, 1), "dxf-size"),
    ],
)
def test_what_is_no_section(draw: Draw, code: str) -> None:
    found = read(draw)
    assert found.section is None
    assert found.findings[-1].code == code
    assert found.findings[-1].severity is Severity.ERROR


def test_layers_blocks_mirrored_arcs_and_words() -> None:
    document = new(units=4)
    block = document.blocks.new("half")
    block.add_line((0, -25), (0, 25), dxfattribs={"layer": "hidden"})
    # Seen from behind: an arc about the far axis runs the other way, its x mirrored.
    block.add_arc((0, 0), 25, 90, 270, dxfattribs={"extrusion": (0, 0, -1)})
    space = document.modelspace()
    space.add_blockref("half", (100, 50), dxfattribs={"xscale": 2, "yscale": 2})
    space.add_text("section A-A")
    space.add_linear_dim((0, 0), (0, 0), (10, 0)).render()
    found = read_dxf_section("own.dxf", saved(document), name="half")
    assert outline(found).area_mm2 == pytest.approx(math.pi * 1250, rel=1e-9)
    assert codes(found) == ["dxf-passed"]


def test_doubled_lines_count_once() -> None:
    def draw(space: Modelspace) -> None:
        box(space, 0, 0, 50, 50)
        space.add_line((50, 0), (0, 0))

    found = read(draw)
    assert codes(found) == ["dxf-doubled"]
    assert outline(found).area_mm2 == 2500


def test_an_ellipse_and_a_free_curve() -> None:
    found = read(lambda space: space.add_ellipse((0, 0), (40, 0), 0.5))
    assert outline(found).area_mm2 == pytest.approx(math.pi * 800, rel=1e-3)
    assert codes(found) == ["dxf-curves"]

    def draw(space: Modelspace) -> None:
        spline = space.add_spline([(0, 0), (20, 30), (40, 0)])
        assert spline
        space.add_line((40, 0), (0, 0))

    # Source: the parabola-like arc through three points, flattened by the drawing library on its own.
    document = new()
    spline = document.modelspace().add_spline([(0, 0), (20, 30), (40, 0)])
    polygon = shapely.Polygon([(v.x, v.y) for v in dxf_path.make_path(spline).flattening(0.0001)])
    assert outline(read(draw)).area_mm2 == pytest.approx(polygon.area, rel=1e-3)


def test_a_closed_free_curve_without_clamped_knots() -> None:
    """As many programs write closed curves.

    Source: scipy.interpolate.BSpline over the same knots, its area by Green's formula.
    """
    corners = [(40.0, 0.0), (30.0, 35.0), (-40.0, 10.0), (-20.0, -30.0), (15.0, -38.0)]
    found = read(lambda space: space.add_spline().set_closed([(x, y, 0.0) for x, y in corners], degree=3))
    points = np.array(corners + corners[:3])
    curve = BSpline(np.arange(len(points) + 4.0), points, 3)
    at = np.linspace(3, len(points), 20_001)
    (x, y), (dx, dy) = curve(at).T, curve(at, 1).T
    area_mm2 = abs(np.trapezoid(x * dy - y * dx, at)) / 2
    assert outline(found).area_mm2 == pytest.approx(area_mm2, rel=2e-4)


def hiding(document: Drawing) -> Iterator[dict[str, str | int]]:
    """Ways to hide what is drawn from who looks at the drawing."""
    frozen, off = document.layers.add("construction"), document.layers.add("aids")
    frozen.freeze()
    off.off()
    for name in ("construction", "AIDS", "Defpoints"):
        yield {"layer": name}
    yield {"invisible": 1}


def test_what_is_hidden_is_passed_over() -> None:
    document = new(units=4)
    space = document.modelspace()
    box(space, 0, 0, 50, 50)
    hidden = list(hiding(document))
    for each in hidden:
        space.add_line((0, 0), (70, 70), dxfattribs=each)
    found = read_dxf_section("own.dxf", saved(document), name="own")
    assert outline(found).area_mm2 == 2500
    assert (codes(found), found.findings[0].read) == (["dxf-passed"], f"{len(hidden)} hidden")


def test_a_row_of_holes_put_in_at_once() -> None:
    document = new(units=4)
    document.blocks.new("hole").add_circle((0, 0), 2)
    box(document.modelspace(), 0, 0, 50, 50)
    rows = {"column_count": 3, "column_spacing": 10, "row_count": 2, "row_spacing": 20}
    document.modelspace().add_blockref("hole", (10, 10), dxfattribs=rows)
    found = read_dxf_section("own.dxf", saved(document), name="own")
    assert outline(found).area_mm2 == pytest.approx(2500 - 6 * math.pi * 4, rel=1e-9)


def test_a_polyline_in_space_counts_where_it_lies_flat() -> None:
    corners = [(0.0, 0.0), (50.0, 0.0), (50.0, 30.0)]
    flat = read(lambda space: space.add_polyline3d([(x, y, 7.0) for x, y in corners], close=True))
    steep = read(lambda space: space.add_polyline3d([(x, y, x) for x, y in corners], close=True))
    assert outline(flat).area_mm2 == 750
    assert codes(steep) == ["dxf-not-flat"]


def test_the_drawings_own_unit_the_persons_and_that_of_the_list() -> None:
    def size(units: int, **told: Unit) -> tuple[int, list[str]]:
        data = drawing(lambda space: box(space, 0, 0, 50, 50), units)
        found = read_dxf_section("own.dxf", data, name="own", **told)
        return round(outline(found).width_mm), codes(found)

    assert size(4, bare=Unit.INCH) == (50, [])
    assert size(0, bare=Unit.INCH) == (1270, [])
    assert size(1, unit=Unit.MM) == (50, ["dxf-unit"])
    assert size(4, unit=Unit.MM, bare=Unit.INCH) == (50, [])


@st.composite
def rings(draw: st.DrawFn) -> list[tuple[float, float, float]]:
    """A star-shaped ring of corners with bulges too small to reach a neighbour."""
    count = draw(st.integers(3, 12))
    radii = draw(st.lists(st.floats(30, 200), min_size=count, max_size=count))
    bulges = draw(st.lists(st.floats(-0.08, 0.08), min_size=count, max_size=count))
    turns = [2 * math.pi * n / count for n in range(count)]
    return [
        (radius * math.cos(turn), radius * math.sin(turn), 0.0 if abs(bulge) < 1e-3 else bulge)
        for radius, turn, bulge in zip(radii, turns, bulges, strict=True)
    ]


@settings(max_examples=60)
@given(rings(), st.floats(2, 12), st.sampled_from(["R12", "R2000", "R2018"]))
def test_the_area_is_that_of_the_polygon(
    ring: list[tuple[float, float, float]], hole_mm: float, version: str
) -> None:
    # Source: shapely's area of the polygon into which the drawing library flattens the polyline, 0.0005 mm.
    def draw(space: Modelspace) -> None:
        add = space.add_polyline2d if version == "R12" else space.add_lwpolyline
        add(ring, format="xyb", close=True)
        space.add_circle((0, 0), hole_mm)

    document = new()
    line = document.modelspace().add_lwpolyline(ring, format="xyb", close=True)
    polygon = shapely.Polygon([(v.x, v.y) for v in dxf_path.make_path(line).flattening(0.0005)])
    if not polygon.is_valid or shapely.Point(0, 0).distance(polygon.exterior) <= hole_mm:
        return
    found = read_dxf_section("own.dxf", dxf(draw, version=version), name="own", unit=Unit.MM)
    wanted = polygon.area - math.pi * hole_mm**2
    assert outline(found).area_mm2 == pytest.approx(wanted, abs=0.0005 * polygon.length + 1e-6 * polygon.area)


WHOLE = dxf(lambda space: box(space, 0, 0, 50, 50), version="R12")


@settings(max_examples=60)
@given(st.integers(0, len(WHOLE)), st.integers(0, len(WHOLE)), st.binary(max_size=8))
def test_a_mangled_drawing(cut: int, at: int, put: bytes) -> None:
    found = read_dxf_section("own.dxf", WHOLE[:cut] + put + WHOLE[at:], name="own", unit=Unit.MM)
    assert found.section is not None or any(finding.is_error for finding in found.findings)


@given(st.binary(max_size=300))
def test_any_bytes(data: bytes) -> None:
    found = read_dxf_section("own.dxf", data, name="own")
    assert found.section is None
    assert found.findings[-1].is_error


@pytest.mark.parametrize(
    ("sizes", "unit", "area", "least", "wall"),
    [
        # IPE 200: area 28.48 cm2, EN 10365; HEA 200: 53.83 cm2, EN 10365.
        ((200, 100, 5.6, 8.5, 12), 4, 2848.0, 0.0005, 5.6),
        ((190, 200, 6.5, 10, 18), 4, 5383.0, 0.0005, 6.5),
        # W8X31: area 9.13 in2, tables of ASTM A6 shapes; its fillet from k 0.829: the tables round to 1 %.
        ((8.0, 8.0, 0.285, 0.435, 0.394), 1, 9.13 * 645.16, 0.01, 0.285 * 25.4),
    ],
)
def test_a_drawn_beam_has_the_area_of_the_published_table(
    sizes: tuple[float, float, float, float, float], unit: int, area: float, least: float, wall: float
) -> None:
    found = read_dxf_section("beam.dxf", drawing(beam(*sizes), unit), name="beam")
    assert found.section is not None
    drawn, scale = outline(found), 25.4 if unit == 1 else 1.0
    assert drawn.area_mm2 == pytest.approx(area, rel=least)
    assert (drawn.height_mm, drawn.width_mm) == pytest.approx((sizes[0] * scale, sizes[1] * scale))
    assert found.section.shape.wall_mm == pytest.approx(wall, rel=1e-6)
    assert found.unit_mm == scale
    assert found.findings == ()


def test_a_drawn_ring_weighs_as_pipe_of_that_size_does() -> None:
    # Source: ASME B36.10M, NPS 4 Sch 40: 114.3 x 6.02 mm, 16.07 kg/m at 7850 kg/m3; area by its closed form.
    found = read_dxf_section("pipe.dxf", drawing(ring(114.3, 6.02)), name="pipe")
    area_mm2 = outline(found).area_mm2
    assert area_mm2 == pytest.approx(math.pi * (114.3 - 6.02) * 6.02, rel=1e-12)
    assert mass_kg_per_m(area_mm2, 7850) == pytest.approx(16.07, rel=5e-4)
    moments = second_moments(outline(found))
    assert moments.xx_mm4 == pytest.approx(math.pi / 64 * (114.3**4 - (114.3 - 12.04) ** 4), rel=1e-9)


def test_outlines_that_nothing_joins_are_told() -> None:
    found = read_dxf_section("two.dxf", drawing(two_squares), name="two")
    assert [(one.code, one.severity) for one in found.findings] == [("dxf-apart", Severity.WARNING)]
