"""Drawings from users: holes found, gaps closed, crossings refused with their place; shapely as the judge."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LinearRing, Point  # type: ignore[import-untyped]  # shapely ships no types
from tests.geometry.polygons import outlines, polygons
from tests.geometry.test_scanline import SHAPES

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.corners import circle, rectangle, rounded
from kerfsmith.geometry.drawing import drawn_outline, inside, joined
from kerfsmith.geometry.meeting import distance_mm
from kerfsmith.geometry.outline import Loop
from kerfsmith.geometry.pieces import Arc, Line, Piece
from kerfsmith.geometry.shapes import Angle, Drawn


def square_loop(side: float) -> Loop:
    return rectangle(side, side)


def test_loops_in_any_order_and_either_way_round() -> None:
    """A ring with an island in its bore: areas pi / 4 (D2 - d2) and the island's own (plane geometry)."""
    found = drawn_outline([circle(60.0), circle(100.0).reversed(), square_loop(20.0).reversed()])
    assert len(found.bodies) == 2
    assert found.area_mm2 == pytest.approx(math.pi / 4.0 * (100.0**2 - 60.0**2) + 400.0, rel=1e-12)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: s.key())
def test_every_section_of_the_catalog_could_have_been_drawn(shape: object) -> None:
    outline = shape.outline()  # type: ignore[attr-defined]  # each of the parameters is a Shape
    again = drawn_outline([loop.reversed() for loop in outline.loops])
    assert again.area_mm2 == pytest.approx(outline.area_mm2, rel=1e-12)


@given(outlines())
@settings(max_examples=40, deadline=None)
def test_sound_drawings_pass(outline: object) -> None:
    assert drawn_outline(outline.loops).area_mm2 > 0.0  # type: ignore[attr-defined]  # an Outline


@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=7, unique=True))
@settings(max_examples=300, deadline=None)
def test_polygons_are_refused_when_shapely_finds_them_crossed(points: list[tuple[int, int]]) -> None:
    """LinearRing.is_simple of shapely 2 on random polygons with whole coordinates."""
    corners = [(float(x), float(y)) for x, y in points]
    ring = LinearRing(corners)
    pieces = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    try:
        drawn_outline([Loop(tuple(pieces))])
    except InvalidValue:
        assert not ring.is_simple or polygons_area(corners) == 0.0
    else:
        assert ring.is_simple


def polygons_area(corners: list[tuple[float, float]]) -> float:
    """Shoelace formula."""
    return (
        sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, corners[1:] + corners[:1], strict=True)) / 2.0
    )


def test_crossings_are_refused_with_their_place() -> None:
    """Places from plane geometry: two circles of radius 50, 60 apart, meet at (30, +-40)."""
    with pytest.raises(InvalidValue, match=r"\(30, -?40\)"):
        drawn_outline([circle(100.0), circle(100.0, (60.0, 0.0))])
    bow_tie = [Line((0, 0), (10, 10)), Line((10, 10), (10, 0)), Line((10, 0), (0, 12)), Line((0, 12), (0, 0))]
    with pytest.raises(InvalidValue, match=r"\(5\.455, 5\.455\)"):
        drawn_outline([Loop(tuple(bow_tie))])
    half = Loop((Arc.by_angles((0, 0), 10.0, 0.0, 180.0), Line((-10.0, 0.0), (10.0, 0.0))))
    with pytest.raises(InvalidValue, match="crosses or touches"):
        drawn_outline([half, square_loop(4.0)])
    with pytest.raises(InvalidValue, match="crosses or touches"):
        drawn_outline([circle(100.0), circle(40.0, (30.0, 0.0))])
    with pytest.raises(InvalidValue, match="no closed loop"):
        drawn_outline([])


def test_small_gaps_are_closed_and_wide_ones_told() -> None:
    a, b, c = (0.0, 0.0), (100.0, 0.0), (100.0, 50.0)
    pieces: list[Piece] = [Line(a, b), Line((100.004, 0.0), c), Arc.by_bulge(c, (0.003, 0.001), 0.3)]
    loop = joined(pieces)
    assert loop.pieces[0].end == (100.004, 0.0)
    assert loop.pieces[-1].end == a
    assert drawn_outline([loop]).area_mm2 == pytest.approx(abs(Loop(loop.pieces).area_mm2))
    with pytest.raises(InvalidValue, match="gap of"):
        joined([Line(a, b), Line((101.0, 0.0), c), Line(c, a)])


@given(outlines(hole=False), st.floats(-1.2, 1.2), st.floats(-1.2, 1.2))
@settings(max_examples=80, deadline=None)
def test_inside_and_distance_against_shapely(outline: object, u: float, v: float) -> None:
    [shape] = polygons(outline, 1000)  # type: ignore[arg-type]  # an Outline
    x0, y0, x1, y1 = shape.bounds
    point = ((x0 + x1) / 2 + u * (x1 - x0) / 2, (y0 + y1) / 2 + v * (y1 - y0) / 2)
    [loop] = outline.loops  # type: ignore[attr-defined]
    distance = min(distance_mm(piece, point) for piece in loop.pieces)
    size = max(x1 - x0, y1 - y0)
    assert distance == pytest.approx(shape.exterior.distance(Point(point)), abs=1e-5 * size)
    if distance > 1e-4 * size:
        assert inside(loop, point) == shape.contains(Point(point))


def test_an_angle_drawn_by_hand_has_the_key_geometry_of_the_rolled_one() -> None:
    corners = [
        (0.0, 0.0, 0.0),
        (60.0, 0.0, 0.0),
        (60.0, 6.0, 3.0),
        (6.0, 6.0, 8.0),
        (6.0, 60.0, 3.0),
        (0.0, 60.0, 0.0),
    ]
    drawn = Drawn(drawn_outline([rounded(corners)]), "by hand")
    rolled = Drawn(Angle(60.0, 60.0, 6.0, 8.0, 3.0).outline(), "rolled")
    assert drawn.key() == rolled.key()
