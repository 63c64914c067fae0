"""The drawing of a section: its path read back by the rules of SVG, its hatching by shapely."""

import math
import re

import pytest
from hypothesis import given, settings
from shapely import LineString, MultiLineString, MultiPolygon, Polygon  # type: ignore[import-untyped]  # shapely ships no types
from tests.geometry.polygons import outlines, polygons

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.draw import centre_lines, chord_lines, dimensions, drawing, frame, hatching, path
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.shapes import Angle, Beam, Hexagon, Round, RoundTube

Point = tuple[float, float]


def arc_points(start: Point, command: list[float], count: int) -> list[Point]:
    """Points of an elliptical arc command, by the conversion to a centre of SVG 1.1, appendix F.6.5."""
    rx, ry, tilt, large, sweep, x, y = command
    phi = math.radians(tilt)
    c, s = math.cos(phi), math.sin(phi)
    dx, dy = (start[0] - x) / 2.0, (start[1] - y) / 2.0
    u, v = c * dx + s * dy, -s * dx + c * dy
    over = u * u / rx**2 + v * v / ry**2
    if over > 1.0:
        rx, ry = rx * math.sqrt(over), ry * math.sqrt(over)
    top = max(rx**2 * ry**2 - rx**2 * v * v - ry**2 * u * u, 0.0)
    factor = math.sqrt(top / (rx**2 * v * v + ry**2 * u * u)) * (-1.0 if large == sweep else 1.0)
    cu, cv = factor * rx * v / ry, -factor * ry * u / rx
    cx, cy = c * cu - s * cv + (start[0] + x) / 2.0, s * cu + c * cv + (start[1] + y) / 2.0
    first = math.atan2((v - cv) / ry, (u - cu) / rx)
    turn = math.atan2((-v - cv) / ry, (-u - cu) / rx) - first
    turn = turn % (2.0 * math.pi) if sweep else -((-turn) % (2.0 * math.pi))
    found = []
    for k in range(1, count + 1):
        t = first + turn * k / count
        a, b = rx * math.cos(t), ry * math.sin(t)
        found.append((cx + c * a - s * b, cy + s * a + c * b))
    return found


def read_path(data: str) -> list[Polygon]:
    """The rings of an SVG path as polygons."""
    rings: list[list[Point]] = []
    for letter, body in re.findall(r"([MLAZ])([^MLAZ]*)", data):
        numbers = [float(text) for text in body.split()]
        if letter == "M":
            rings.append([(numbers[0], numbers[1])])
        elif letter == "L":
            rings[-1].append((numbers[0], numbers[1]))
        elif letter == "A":
            rings[-1] += arc_points(rings[-1][-1], numbers, 300)
    return [Polygon(ring) for ring in rings]


@given(outlines())
@settings(max_examples=60, deadline=None)
def test_the_path_is_the_section(outline: Outline) -> None:
    """Read back by the rules of the open standard, the path covers what shapely sees, to scale."""
    for one in (outline, outline.scaled_x(1.7).turned(12.0)):
        at = frame(one, 3.0, margin=10.0)
        rings = read_path(path(one, at))
        drawn = rings[0]
        for hole in rings[1:]:
            drawn = drawn.difference(hole)
        [shape] = polygons(one, 300)
        expected = Polygon(
            [at.point((x, y)) for x, y in shape.exterior.coords],
            [[at.point((x, y)) for x, y in ring.coords] for ring in shape.interiors],
        )
        assert drawn.symmetric_difference(expected).area < 2e-4 * expected.area + 1e-3
        left, top, right, low = drawn.bounds
        assert (left, top) == pytest.approx((10.0, 10.0), abs=2e-5 * at.width)
        assert (right, low) == pytest.approx((at.width - 10.0, at.height - 10.0), abs=2e-5 * at.width)


def test_the_path_of_a_round_and_of_a_tube_uses_arcs() -> None:
    """SVG: two half-circle arcs a circle; y runs down, so the outer loop has sweep flag 0, the bore 1."""
    bar = Round(50.0).outline()
    assert path(bar, frame(bar, 2.0)) == "M50 100 A50 50 0 0 0 50 0 A50 50 0 0 0 50 100 Z"
    tube = RoundTube(50.0, 5.0).outline()
    assert path(tube, frame(tube, 1.0)).endswith("M25 45 A20 20 0 0 1 25 5 A20 20 0 0 1 25 45 Z")


@given(outlines())
@settings(max_examples=40, deadline=None)
def test_hatching_lies_in_the_metal_and_fills_it(outline: Outline) -> None:
    """shapely: every line lies within the section; total length times spacing is about the area."""
    spacing = max(outline.width_mm, outline.height_mm) / 80.0
    lines = hatching(outline, spacing)
    shape = MultiPolygon(polygons(outline, 400)).buffer(1e-4 * outline.width_mm)
    assert MultiLineString(lines).difference(shape).length < 1e-3 * outline.width_mm
    total = sum(LineString(line).length for line in lines)
    assert total * spacing == pytest.approx(outline.area_mm2, rel=0.05)
    for (x0, y0), (x1, y1) in lines:
        assert y1 - y0 == pytest.approx(x1 - x0, abs=1e-9 * outline.width_mm)


def test_centre_lines_only_where_there_is_symmetry() -> None:
    """A beam has two, a tee-like angle none, a round two at its middle (by their symmetry)."""
    assert len(centre_lines(Beam(190.0, 200.0, 6.5, 10.0, 18.0).outline(), 5.0)) == 2
    assert centre_lines(Angle(100.0, 60.0, 8.0).outline(), 5.0) == ()
    upright, level = centre_lines(Round(50.0).outline(), 5.0)
    assert upright == ((0.0, -5.0), (0.0, 55.0))
    assert level == ((-30.0, 25.0), (30.0, 25.0))
    assert len(centre_lines(Hexagon(30.0).outline().turned(10.0), 5.0)) == 0


def test_dimensions_and_the_line_of_the_band() -> None:
    outline = RoundTube(100.0, 10.0).outline()
    width, height = dimensions(outline, 12.0)
    assert (width.value_mm, height.value_mm) == (100.0, 100.0)
    assert width.line == ((-50.0, -12.0), (50.0, -12.0))
    assert height.upright
    left, right = chord_lines(outline, 50.0)
    assert [*left[0], *left[1]] == pytest.approx([-50.0, 50.0, -40.0, 50.0])
    assert [*right[0], *right[1]] == pytest.approx([40.0, 50.0, 50.0, 50.0])


def test_a_whole_drawing_stays_in_its_frame() -> None:
    whole = drawing(Beam(190.0, 200.0, 6.5, 10.0, 18.0).outline(), 1.5, margin=40.0)
    points = [p for line in (*whole.hatching, *whole.centre_lines) for p in line]
    points += [p for d in whole.dimensions for line in (d.line, *d.extensions) for p in line]
    assert all(0.0 <= x <= whole.frame.width and 0.0 <= y <= whole.frame.height for x, y in points)
    assert whole.frame.depth_y(190.0) == pytest.approx(whole.frame.height - 40.0)
    assert [d.value_mm for d in whole.dimensions] == [200.0, 190.0]
    with pytest.raises(InvalidValue, match="scale"):
        frame(Round(5.0).outline(), 0.0)
    with pytest.raises(InvalidValue, match="spacing"):
        hatching(Round(5.0).outline(), 0.0)
