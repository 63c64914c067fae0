"""What the band meets at each depth: closed forms, shapely on random sections, laws of integration."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely import MultiPolygon, box  # type: ignore[import-untyped]  # shapely ships no types
from tests.geometry.polygons import chord_lengths, outlines, polygons

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.corners import circle
from kerfsmith.geometry.mitre import canted, kerf_along_bar_mm, mitre_factor, mitred
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.scanline import batch, scan
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

SHAPES: list[Shape] = [
    Round(101.6),
    Square(50.0, 3.0),
    Flat(100.0, 10.0),
    Hexagon(30.0),
    RoundTube(114.3, 6.02),
    RoundTube(500.0, 0.5),
    RectTube(152.4, 101.6, 6.35, 12.7, 6.35),
    Angle(150.0, 90.0, 10.0, 12.0, 6.0),
    Beam(190.0, 200.0, 6.5, 10.0, 18.0),
    Beam(200.0, 90.0, 7.5, 11.3, 7.5, 0.14, 4.5),
    Channel(200.0, 75.0, 8.5, 11.5, 11.5, 6.0, 0.08),
    Tee(100.0, 100.0, 11.0, 11.0, 11.0, 5.5),
]

ANGLES = [0.0, 5.0, 30.0, 45.0, 90.0]


def test_round_closed_form() -> None:
    """Chord 2 sqrt(d (D - d)); area to half depth half the disc; mean chord pi D / 4 (plane geometry)."""
    diameter = 101.6
    read = scan(Round(diameter).outline())
    depth = np.linspace(0.0, diameter, 1001)
    expected = 2.0 * np.sqrt(np.maximum(depth * (diameter - depth), 0.0))
    np.testing.assert_allclose(read.contact_mm(depth), expected, atol=1e-9)
    assert read.mean_chord_mm == pytest.approx(math.pi * diameter / 4.0, rel=1e-14)
    assert read.area_to_depth_mm2(diameter / 2.0) == pytest.approx(math.pi * diameter**2 / 8.0, rel=1e-14)
    # Segment of a circle: r2 acos((r - d) / r) - (r - d) sqrt(2 r d - d2).
    r, d = diameter / 2.0, 7.3
    segment = r * r * math.acos((r - d) / r) - (r - d) * math.sqrt(2.0 * r * d - d * d)
    assert read.area_to_depth_mm2(d) == pytest.approx(segment, rel=1e-12)


def test_square_and_hexagon_closed_forms() -> None:
    square = scan(Square(100.0).outline())
    assert square.contact_mm([0.0, 50.0, 100.0]).tolist() == [100.0, 100.0, 100.0]
    assert square.contact_mm([-0.001, 100.001]).tolist() == [0.0, 0.0]
    hexagon = scan(Hexagon(30.0).outline())
    side = 30.0 / math.sqrt(3.0)
    assert hexagon.contact_mm([0.0, 15.0, 30.0]) == pytest.approx([side, 2.0 * side, side], rel=1e-14)
    assert hexagon.contact_mm(7.5) == pytest.approx(1.5 * side, rel=1e-14)
    assert hexagon.area_mm2 == pytest.approx(30.0**2 * math.sqrt(3.0) / 2.0, rel=1e-14)


def test_tube_closed_form() -> None:
    """Longest chord 2 sqrt(ro2 - ri2) as the bore opens, two walls at mid height (plane geometry)."""
    tube = RoundTube(101.6, 12.7)
    read = scan(tube.outline())
    assert read.longest_chord_mm(12.7) == pytest.approx(2.0 * math.sqrt(50.8**2 - 38.1**2), rel=1e-12)
    assert read.count([5.0, 50.8, 95.0]).tolist() == [1, 2, 1]
    assert read.contact_mm(50.8) == pytest.approx(25.4, rel=1e-12)
    assert read.longest_chord_mm(50.8) == pytest.approx(12.7, rel=1e-12)
    assert read.shortest_chord_mm(50.8) == pytest.approx(12.7, rel=1e-12)


def test_worked_examples_w1_and_w9() -> None:
    """4 in x 3 in tube: 5.498 in2, mean 1.374 in (machinery handbook's tube example, area pi/4 (D2 - d2)).

    A 45 degree mitre of a 100 mm square: 141.4 cm2, and 1.6 mm of kerf takes 2.263 mm (1 / cos 45).
    """
    tube = scan(RoundTube(101.6, 12.7).outline())
    assert tube.area_mm2 / 25.4**2 == pytest.approx(5.498, abs=0.0005)
    assert tube.mean_chord_mm / 25.4 == pytest.approx(1.374, abs=0.0005)
    mitre = mitred(Square(100.0).outline(), 45.0)
    assert mitre.area_mm2 / 100.0 == pytest.approx(141.42, abs=0.005)
    assert kerf_along_bar_mm(1.6, 45.0) == pytest.approx(2.263, abs=0.0005)
    assert [mitre_factor(a) for a in (30.0, 45.0, 60.0)] == pytest.approx([1.1547, 1.41421, 2.0], rel=1e-5)


def test_flat_steps_are_continuous_from_below() -> None:
    """At a flange's flat the contact is the one just below; at the end the one just above; never NaN."""
    read = scan(Beam(190.0, 200.0, 6.5, 10.0).outline())
    assert read.breakpoints_mm.tolist() == [0.0, 10.0, 180.0, 190.0]
    assert read.contact_mm([0.0, 10.0 - 1e-9, 10.0, 180.0, 190.0]) == pytest.approx([200, 200, 6.5, 200, 200])
    assert read.panels() == [(0.0, 10.0), (10.0, 180.0), (180.0, 190.0)]
    every = read.contact_mm(np.concatenate([read.breakpoints_mm, np.nextafter(read.breakpoints_mm, 1e9)]))
    assert np.isfinite(every).all()


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: s.key())
@pytest.mark.parametrize("angle", ANGLES)
def test_area_is_the_integral_of_contact(shape: Shape, angle: float) -> None:
    """Green's theorem against the slices: 1e-9 with 16 nodes a panel, antiderivative to rounding."""
    for outline in (shape.outline().turned(angle), mitred(shape.outline(), 33.0).turned(angle)):
        read = scan(outline)
        nodes = read.nodes(16)
        assert (nodes.contact_mm * nodes.weight_mm).sum() == pytest.approx(outline.area_mm2, rel=1e-9)
        assert nodes.weight_mm.sum() == pytest.approx(read.depth_mm, rel=1e-12)
        assert read.area_to_depth_mm2(read.depth_mm) == pytest.approx(outline.area_mm2, rel=1e-11)
        assert read.area_to_depth_mm2(0.0) == 0.0


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: s.key())
def test_nodes_integrate_powers_of_contact(shape: Shape) -> None:
    """Feed laws bring powers of contact; adaptive quadrature (scipy.integrate.quad) panel by panel agrees."""
    read = scan(shape.outline().turned(20.0))
    nodes = read.nodes(20)
    for power in (0.5, 1.3, 2.0):
        expected = sum(
            quad(lambda d, p=power: float(read.contact_mm(d)) ** p, a, b, limit=200, epsrel=1e-11)[0]
            for a, b in read.panels()
        )
        assert (nodes.contact_mm**power * nodes.weight_mm).sum() == pytest.approx(expected, rel=2e-6)


@given(outlines(arcs=False), st.lists(st.floats(0.01, 0.99), min_size=1, max_size=8))
@settings(max_examples=80, deadline=None)
def test_chords_of_random_polygons_against_shapely(outline: Outline, shares: list[float]) -> None:
    """Without arcs shapely 2 is exact: every chord agrees to rounding."""
    read, shape = scan(outline), MultiPolygon(polygons(outline))
    for depth in (share * read.depth_mm for share in shares):
        if np.abs(read.breakpoints_mm - depth).min() < 1e-6 * read.depth_mm:
            continue
        expected = chord_lengths(shape, outline, depth)
        found = [b - a for a, b in read.chords(depth)]
        assert found == pytest.approx(expected, abs=1e-8 * outline.width_mm)
        assert int(read.count(depth)) == len(expected)
        contact, longest, count = (float(value) for value in read.met(depth))
        assert (contact, longest) == pytest.approx(
            (sum(expected), max(expected)), abs=1e-8 * outline.width_mm
        )
        assert count == len(expected)
        assert float(read.contact_mm(depth)) == pytest.approx(sum(expected), abs=1e-8 * outline.width_mm)
        assert float(read.longest_chord_mm(depth)) == pytest.approx(
            max(expected), abs=1e-8 * outline.width_mm
        )
        assert float(read.shortest_chord_mm(depth)) == pytest.approx(
            min(expected), abs=1e-8 * outline.width_mm
        )


@given(outlines(), st.floats(0.02, 0.98))
@settings(max_examples=80, deadline=None)
def test_contact_and_area_of_random_sections_against_shapely(outline: Outline, share: float) -> None:
    """With arcs shapely has 2000 chords each; below a depth it clips the polygon by a half plane."""
    read = scan(outline)
    depth = share * read.depth_mm
    [shape] = polygons(outline, 2000)
    x0, _, x1, y1 = outline.bounds
    above = shape.intersection(box(x0 - 1.0, y1 - depth, x1 + 1.0, y1 + 1.0)).area
    assert float(read.area_to_depth_mm2(depth)) == pytest.approx(above, abs=2e-6 * outline.area_mm2)
    if np.abs(read.breakpoints_mm - depth).min() > 1e-3 * read.depth_mm:
        expected = sum(chord_lengths(MultiPolygon([shape]), outline, depth))
        assert float(read.contact_mm(depth)) == pytest.approx(expected, abs=1e-4 * outline.width_mm)


@given(outlines())
@settings(max_examples=60, deadline=None)
def test_laws_of_the_scan(outline: Outline) -> None:
    """Area grows with depth, extremes bracket the mean chord, and turned over the same area is left."""
    read = scan(outline)
    depth = read.nodes(8).depth_mm
    area = read.area_to_depth_mm2(depth)
    assert (np.diff(area) > -1e-9 * outline.area_mm2).all()
    contact, count = read.contact_mm(depth), read.count(depth)
    assert np.isfinite(contact).all()
    assert (contact > 0.0).all()
    assert (read.longest_chord_mm(depth) * count >= contact * (1.0 - 1e-12)).all()
    assert (read.shortest_chord_mm(depth) * count <= contact * (1.0 + 1e-12)).all()
    over = scan(outline.turned(180.0))
    left = outline.area_mm2 - over.area_to_depth_mm2(read.depth_mm - depth)
    np.testing.assert_allclose(area, left, atol=1e-9 * outline.area_mm2)
    nodes = read.nodes(16)
    assert (nodes.contact_mm * nodes.weight_mm).sum() == pytest.approx(outline.area_mm2, rel=1e-8)


@given(outlines(), st.floats(0.0, 60.0), st.floats(0.05, 0.95))
@settings(max_examples=40, deadline=None)
def test_a_mitre_multiplies_every_chord(outline: Outline, angle: float, share: float) -> None:
    """The cutting plane stretches the section along the band by 1 / cos (projection)."""
    square, swung = scan(outline), scan(mitred(outline, angle))
    depth = share * square.depth_mm
    assert float(swung.contact_mm(depth)) == pytest.approx(
        float(square.contact_mm(depth)) / math.cos(math.radians(angle)), rel=1e-7, abs=1e-6
    )


def test_a_canted_band_cuts_the_same_metal() -> None:
    """A band canted by 5 degrees meets a 100 x 20 flat at one corner; depth b sin + h cos (projection)."""
    outline = canted(Flat(100.0, 20.0).outline(), 5.0)
    c, s = math.cos(math.radians(5.0)), math.sin(math.radians(5.0))
    read = scan(outline)
    assert read.depth_mm == pytest.approx(100.0 * s + 20.0 * c, rel=1e-12)
    assert read.area_mm2 == pytest.approx(2000.0, rel=1e-12)
    assert float(read.contact_mm(read.depth_mm / 2.0)) == pytest.approx(
        20.0 / s if 20.0 / s < 100.0 / c else 100.0 / c
    )
    # The band's right side is higher, so it comes to the left top corner first.
    assert read.chords(0.01)[0][0] < 0.0


def test_also_at_splits_panels_where_the_integrand_has_a_kink() -> None:
    """Contact above 80 mm of a round: closed form of a circular segment; the kink must be a panel's end."""
    read = scan(Round(100.0).outline())
    kink = 50.0 - math.sqrt(50.0**2 - 40.0**2)
    nodes = read.nodes(16, also_at=(kink, 100.0 - kink))
    above = (np.maximum(nodes.contact_mm - 80.0, 0.0) * nodes.weight_mm).sum()
    half = 50.0 - kink
    exact = 2.0 * (50.0**2 * math.asin(half / 50.0) + half * 40.0) - 2.0 * half * 80.0
    assert above == pytest.approx(exact, rel=1e-10)


def test_a_batch_is_its_parts() -> None:
    """One pass over many sections gives each one's own area (the sections' exact areas)."""
    scans = [scan(shape.outline()) for shape in SHAPES]
    nodes = batch(scans, 16)
    np.testing.assert_allclose(nodes.integral(nodes.contact_mm), [one.area_mm2 for one in scans], rtol=1e-9)
    assert nodes.section.max() == len(scans) - 1


def test_touching_bodies_are_one_chord_and_rounds_are_not() -> None:
    flat = Flat(100.0, 10.0).outline()
    pair = scan(Outline.together(flat, flat.moved(100.0, 0.0)))
    assert pair.count(5.0) == 1
    assert pair.longest_chord_mm(5.0) == pytest.approx(200.0)
    bar = Outline.of(circle(50.0))
    rounds = scan(Outline.together(bar, bar.moved(50.0, 0.0), bar.moved(100.0, 0.0)))
    assert rounds.count(20.0) == 3
    assert rounds.area_to_depth_mm2(50.0) == pytest.approx(3.0 * math.pi * 625.0, rel=1e-12)


def test_bad_depths_and_angles_are_refused() -> None:
    read = scan(Round(50.0).outline())
    with pytest.raises(InvalidValue, match="finite"):
        read.contact_mm(math.nan)
    with pytest.raises(InvalidValue, match="two nodes"):
        read.nodes(1)
    with pytest.raises(InvalidValue, match="at least one section"):
        batch([])
    with pytest.raises(InvalidValue, match="mitre"):
        mitred(Round(50.0).outline(), 90.0)
    with pytest.raises(InvalidValue, match="canted"):
        canted(Round(50.0).outline(), 60.0)
