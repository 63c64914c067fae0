"""Random dimensions of every kind of section, in every lie: the same laws hold for all of them."""

import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.geometry.polygons import polygons

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.drawing import drawn_outline
from kerfsmith.geometry.lay import lies
from kerfsmith.geometry.mitre import canted, mitred
from kerfsmith.geometry.scanline import scan
from kerfsmith.geometry.shapes import (
    Angle,
    Beam,
    Channel,
    Flat,
    Hexagon,
    RectTube,
    Round,
    RoundTube,
    Shape,
    Square,
    Tee,
)

SIZES = st.floats(3.0, 1000.0)
SHARES = st.floats(0.01, 0.49)


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    """A section of any kind whose dimensions are possible ones."""
    size, other = draw(SIZES), draw(SIZES)
    lesser = min(size, other)
    a, b, c = draw(SHARES), draw(SHARES), draw(SHARES)
    kind = draw(
        st.sampled_from([Round, Square, Flat, Hexagon, RoundTube, RectTube, Angle, Channel, Beam, Tee])
    )
    if kind in (Round, Hexagon):
        return kind(size)
    if kind is Square:
        return Square(size, a * size)
    if kind is Flat:
        return Flat(size, other, a * lesser)
    if kind is RoundTube:
        return RoundTube(size, a * size)
    wall = a * lesser
    if kind is RectTube:
        inner = b * (lesser - 2.0 * wall)
        return RectTube(size, other, wall, min(inner + wall, 0.5 * lesser), inner)
    if kind is Angle:
        return Angle(size, other, wall, b * (lesser - wall), c * wall)
    if kind is Channel:
        # The flange thins by slope x width / 2 to its toe and must leave room between the two.
        slope = draw(st.sampled_from([0.0, 0.05, 1 / 6])) * min(1.0, 0.5 * size / other)
        flange = slope * other / 2.0 + b * (size / 2.0 - slope * other)
        return Channel(size, other, a * other, flange, 0.0, 0.0, slope)
    if kind is Beam:
        flange = b * size / 1.1
        return Beam(
            size, other, a * other, flange, c * min((size - 2.0 * flange) / 2.0, other * (1.0 - a) / 2.0)
        )
    return Tee(size, other, a * other, b * size, c * min(size * (1.0 - b), other * (1.0 - a) / 2.0))


@given(shapes(), st.floats(0.0, 60.0), st.floats(-10.0, 10.0))
@example(Flat(500.0, 3.0, 0.3), 0.0, 1e-9)
@example(Tee(3.0, 845.0, 26.40625, 0.09375, 0.04541015625), 0.0, 0.015625)
@settings(max_examples=150, deadline=None)
def test_area_is_the_integral_of_contact_and_nothing_is_nan(shape: Shape, mitre: float, cant: float) -> None:
    """Green's theorem on the boundary against the slices, square, mitred and canted."""
    for lie in lies(shape):
        for outline in (lie.outline, mitred(lie.outline, mitre), canted(lie.outline, cant)):
            read = scan(outline)
            nodes = read.nodes(16)
            for array in (nodes.contact_mm, nodes.longest_mm, nodes.shortest_mm):
                assert np.isfinite(array).all()
                assert (array > 0.0).all()
            assert (nodes.weight_mm > 0.0).all()
            assert nodes.depth_mm.size % 16 == 0
            assert float((nodes.contact_mm * nodes.weight_mm).sum()) == pytest.approx(
                outline.area_mm2, rel=2e-9
            )
            assert float(read.area_to_depth_mm2(read.depth_mm)) == pytest.approx(outline.area_mm2, rel=1e-9)
            ends = read.contact_mm(read.breakpoints_mm)
            assert np.isfinite(ends).all()
            assert float(ends.max()) <= outline.width_mm * (1.0 + 1e-9)


@given(shapes())
@settings(max_examples=60, deadline=None)
def test_no_section_crosses_itself(shape: Shape) -> None:
    """shapely's is_valid on the polygon, and our own look for crossings as for a user's drawing."""
    assert all(polygon.is_valid for polygon in polygons(shape.outline(), 60))
    assert drawn_outline(shape.outline().loops).area_mm2 == pytest.approx(shape.outline().area_mm2, rel=1e-12)


@given(shapes(), st.floats(0.2, 5.0))
@settings(max_examples=40, deadline=None)
def test_scaling_laws(shape: Shape, factor: float) -> None:
    """All lengths times f: chords times f, area times f squared (similarity)."""
    from kerfsmith.geometry.affine import Affine

    small = shape.outline()
    large = small.mapped(Affine.stretch(factor, factor))
    assert large.area_mm2 == pytest.approx(small.area_mm2 * factor**2, rel=1e-12)
    depth = scan(small).nodes(8).depth_mm
    contact = scan(small).contact_mm(depth)
    scaled = scan(large).contact_mm(depth * factor)
    np.testing.assert_allclose(scaled, contact * factor, rtol=1e-6, atol=1e-6 * large.width_mm)


@given(st.sampled_from([Round, Hexagon, Square]), st.sampled_from([0.0, -1.0, math.nan, math.inf, -math.inf]))
def test_a_size_that_is_none_is_refused(
    kind: type[Round] | type[Hexagon] | type[Square], size: float
) -> None:
    with pytest.raises(InvalidValue):
        kind(size)
