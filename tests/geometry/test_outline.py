"""Outlines against closed forms of plane geometry and against shapely."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate  # type: ignore[import-untyped]  # shapely ships no types
from tests.geometry.polygons import outlines, polygons

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.affine import Affine
from kerfsmith.geometry.corners import circle, rectangle, rounded
from kerfsmith.geometry.measures import mass_kg_per_m, second_moments
from kerfsmith.geometry.outline import Body, Loop, Outline
from kerfsmith.geometry.pieces import Arc, Line


def half_disc(radius: float) -> Outline:
    return Outline.of(
        Loop((Arc.by_angles((0.0, 0.0), radius, 0.0, 180.0), Line((-radius, 0.0), (radius, 0.0))))
    )


def test_half_disc_closed_forms() -> None:
    """Area pi r2 / 2, centroid 4 r / (3 pi), perimeter (pi + 2) r, I about the base pi r4 / 8 (textbook)."""
    r = 37.0
    outline = half_disc(r)
    assert outline.area_mm2 == pytest.approx(math.pi * r * r / 2.0, rel=1e-14)
    assert outline.centroid == pytest.approx((0.0, 4.0 * r / (3.0 * math.pi)), abs=1e-12)
    assert outline.perimeter_mm == pytest.approx((math.pi + 2.0) * r, rel=1e-14)
    moments = second_moments(outline)
    about_base = moments.xx_mm4 + outline.area_mm2 * outline.centroid[1] ** 2
    assert about_base == pytest.approx(math.pi * r**4 / 8.0, rel=1e-12)
    assert moments.yy_mm4 == pytest.approx(math.pi * r**4 / 8.0, rel=1e-12)
    assert moments.xy_mm4 == pytest.approx(0.0, abs=1e-7)


def test_moments_of_a_rectangle_and_a_tube() -> None:
    """b h3 / 12 and pi (D4 - d4) / 64 (textbook), also far from the origin."""
    plate = second_moments(Outline.of(rectangle(120.0, 40.0)).moved(5000.0, -3000.0))
    assert plate.xx_mm4 == pytest.approx(120.0 * 40.0**3 / 12.0, rel=1e-9)
    assert plate.yy_mm4 == pytest.approx(40.0 * 120.0**3 / 12.0, rel=1e-9)
    tube = second_moments(Outline.of(circle(100.0), circle(80.0).reversed()))
    assert tube.xx_mm4 == pytest.approx(math.pi * (100.0**4 - 80.0**4) / 64.0, rel=1e-12)


def test_ellipse_from_a_stretched_circle() -> None:
    """Area pi a b; perimeter of the ellipse 2 : 1 is 9.688448220547675 b (elliptic integral, tables)."""
    ellipse = Outline.of(circle(2.0)).scaled_x(2.0).turned(31.0)
    assert ellipse.area_mm2 == pytest.approx(2.0 * math.pi, rel=1e-14)
    assert ellipse.perimeter_mm == pytest.approx(9.688448220547675, rel=1e-13)
    major, minor, tilt = ellipse.loops[0].pieces[0].half_axes  # type: ignore[union-attr]  # a circle's are arcs
    assert (major, minor) == pytest.approx((2.0, 1.0), rel=1e-12)
    assert math.cos(math.radians(tilt - 31.0)) ** 2 == pytest.approx(1.0, rel=1e-12)


@given(outlines())
@settings(max_examples=80, deadline=None)
def test_area_bounds_and_centroid_against_shapely(outline: Outline) -> None:
    """shapely 2 with 2000 chords an arc: the sag error of its area is below 1e-6 of it."""
    [shape] = polygons(outline, 2000)
    size = max(outline.width_mm, outline.height_mm)
    assert outline.area_mm2 == pytest.approx(shape.area, rel=1e-6)
    assert outline.bounds == pytest.approx(shape.bounds, abs=1e-5 * size)
    assert outline.centroid == pytest.approx((shape.centroid.x, shape.centroid.y), abs=1e-5 * size)
    assert outline.perimeter_mm == pytest.approx(shape.length, rel=1e-6)


@given(outlines(), st.floats(-360.0, 360.0), st.floats(0.3, 3.0))
@settings(max_examples=60, deadline=None)
def test_maps_keep_what_they_must(outline: Outline, angle: float, factor: float) -> None:
    """Turning and mirroring keep area and perimeter, stretching multiplies area; shapely turns too."""
    turned = outline.turned(angle)
    assert turned.area_mm2 == pytest.approx(outline.area_mm2, rel=1e-12)
    assert turned.mirrored().area_mm2 == pytest.approx(outline.area_mm2, rel=1e-12)
    assert turned.perimeter_mm == pytest.approx(outline.perimeter_mm, rel=1e-12)
    assert turned.scaled_x(factor).area_mm2 == pytest.approx(outline.area_mm2 * factor, rel=1e-12)
    size = max(outline.width_mm, outline.height_mm)
    [shape], [expected] = polygons(turned, 50), (rotate(p, angle, (0, 0)) for p in polygons(outline, 50))
    assert shape.symmetric_difference(expected).area < 1e-9 * size * size


def test_quarter_turns_are_exact() -> None:
    outline = Outline.of(rectangle(100.0, 60.0, 7.0))
    around = outline.turned(90.0).turned(90.0).turned(90.0).turned(90.0)
    assert around == outline
    assert outline.turned(90.0).bounds == (-30.0, -50.0, 30.0, 50.0)
    seated = outline.turned(270.0).seated()
    assert seated.bounds == (-30.0, 0.0, 30.0, 100.0)


def test_arc_by_bulge_and_by_angles_agree() -> None:
    """Bulge is tan(sweep / 4): 1 for a half circle, sqrt(2) - 1 for a quarter (drawing exchange)."""
    quarter = Arc.by_bulge((10.0, 0.0), (0.0, 10.0), math.sqrt(2.0) - 1.0)
    assert quarter.centre == pytest.approx((0.0, 0.0), abs=1e-12)
    assert quarter.radius_mm == pytest.approx(10.0, rel=1e-12)
    assert quarter.sweep_rad == pytest.approx(math.pi / 2.0, rel=1e-12)
    other = Arc.by_bulge((0.0, 10.0), (10.0, 0.0), 1.0 - math.sqrt(2.0))
    assert other.sweep_rad == pytest.approx(-math.pi / 2.0, rel=1e-12)
    large = Arc.by_bulge((10.0, 0.0), (0.0, 10.0), -(math.sqrt(2.0) + 1.0))
    assert large.sweep_rad == pytest.approx(-1.5 * math.pi, rel=1e-12)
    assert large.centre == pytest.approx((0.0, 0.0), abs=1e-12)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Line((0.0, 0.0), (0.0, 0.0)), "without length"),
        (lambda: Line((0.0, math.nan), (1.0, 0.0)), "finite"),
        (lambda: Arc.of_circle((1.0, 0.0), (1.0, 0.0), (0.0, 0.0)), "two arcs"),
        (lambda: Arc((1.0, 0.0), (0.0, 2.0), (0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), "doesn't lie"),
        (lambda: Arc((1.0, 0.0), (0.0, 1.0), (0.0, 0.0), (1.0, 0.0), (0.0, -1.0)), "counter-clockwise"),
        (lambda: Loop((Line((0.0, 0.0), (1.0, 0.0)), Line((1.0, 1.0), (0.0, 0.0)))), "isn't closed"),
        (lambda: Loop((Line((0.0, 0.0), (1.0, 0.0)), Line((1.0, 0.0), (0.0, 0.0)))), "no area"),
        (lambda: Body(circle(10.0).reversed()), "counter-clockwise"),
        (lambda: Body(circle(10.0), (circle(5.0),)), "clockwise"),
        (lambda: Body(circle(10.0), (circle(12.0).reversed(),)), "reaches beyond"),
        (lambda: Outline(()), "at least one body"),
        (lambda: rounded([(0, 0, 0), (10, 0, 6), (10, 10, 6), (0, 10, 0)]), "don't fit"),
        (lambda: rounded([(0, 0, 0), (10, 0, -1), (10, 10, 0)]), "negative"),
        (lambda: Outline.of(circle(10.0)).scaled_x(0.0), "stretched"),
        (lambda: mass_kg_per_m(0.0, 7850.0), "no mass"),
    ],
)
def test_nonsense_is_refused(make: object, words: str) -> None:
    with pytest.raises(InvalidValue, match=words):
        make()  # type: ignore[operator]  # a table of calls


def test_mirroring_keeps_orientation() -> None:
    tube = Outline.of(circle(50.0), circle(40.0).reversed())
    flipped = tube.mapped(Affine.stretch(-1.0, 1.0))
    assert flipped.bodies[0].outer.area_mm2 > 0.0
    assert flipped.bodies[0].holes[0].area_mm2 < 0.0
