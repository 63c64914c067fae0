"""Bundles: closed forms of packing, and shapely to see that bars touch and never overlap."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.geometry.polygons import outlines, polygons
from tests.geometry.test_scanline import SHAPES

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.bundle import Bundle, bundle, largest_bundle, patterns_for, usual_patterns
from kerfsmith.geometry.contact import shift_beside_mm, shift_upon_mm
from kerfsmith.geometry.corners import circle
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.scanline import scan
from kerfsmith.geometry.shapes import Angle, Flat, Hexagon, RectTube, Round, RoundTube, Shape, Square, Tee

CASES = [(shape, pattern) for shape in SHAPES for pattern in patterns_for(shape)]


@pytest.mark.parametrize(("shape", "pattern"), CASES, ids=lambda v: v if isinstance(v, str) else v.key())
def test_bars_touch_and_never_overlap(shape: Shape, pattern: str) -> None:
    """shapely 2, arcs as 400 chords: no two bars share area, and every bar touches another."""
    outline = bundle(shape, 7, pattern)
    bars = polygons(outline, 400)
    assert len(bars) == 7
    assert outline.area_mm2 == pytest.approx(7.0 * shape.outline().area_mm2, rel=1e-9)
    size = outline.width_mm
    for i, bar in enumerate(bars):
        others = [other for j, other in enumerate(bars) if j != i]
        assert max(bar.intersection(other).area for other in others) < 1e-7 * size
        # Chords of arcs stand back from the arc by their sag: a tolerance in proportion.
        assert min(bar.distance(other) for other in others) < 1e-4 * size
    nodes = scan(outline).nodes(16)
    assert (nodes.contact_mm * nodes.weight_mm).sum() == pytest.approx(outline.area_mm2, rel=1e-9)


def test_seven_rounds_make_a_hexagon() -> None:
    """2-3-2: three diameters wide, d (1 + sqrt 3) high (packing of equal circles)."""
    outline = bundle(Round(50.0), 7, "hexagonal")
    assert (outline.width_mm, outline.height_mm) == pytest.approx((150.0, 50.0 * (1.0 + math.sqrt(3.0))))
    assert scan(outline).count([10.0, outline.height_mm / 2.0, outline.height_mm - 10.0]).tolist() == [
        2,
        3,
        2,
    ]
    nineteen = bundle(RoundTube(50.0, 3.0), 19, "hexagonal")
    assert (nineteen.width_mm, nineteen.height_mm) == pytest.approx(
        (250.0, 50.0 * (1.0 + 2.0 * math.sqrt(3.0)))
    )


def test_rows_and_hollows_closed_forms() -> None:
    """Row pitch is the height, or sqrt(3) / 2 of the diameter in the hollows (plane geometry)."""
    rows = bundle(Flat(80.0, 10.0), 6, "rows", columns=2)
    assert (rows.width_mm, rows.height_mm) == (160.0, 30.0)
    edge = bundle(Flat(80.0, 10.0), 6, "row", lie="on edge")
    assert (edge.width_mm, edge.height_mm) == (60.0, 80.0)
    five = bundle(Round(40.0), 5, "hexagonal", columns=3)
    assert (five.width_mm, five.height_mm) == pytest.approx((120.0, 40.0 * (1.0 + math.sqrt(3.0) / 2.0)))
    comb = bundle(Hexagon(30.0), 8, "hexagonal", columns=4)
    side = 30.0 / math.sqrt(3.0)
    assert (comb.width_mm, comb.height_mm) == pytest.approx((6.5 * side, 75.0))


def test_nested_angles_closed_form() -> None:
    """Equal angles as tents: pitch t sqrt 2, plus r (sqrt 2 - 1) where the root meets a sharp heel."""
    sharp = Angle(100.0, 100.0, 10.0)
    one, three = bundle(sharp, 1, "nested", columns=1), bundle(sharp, 3, "nested", columns=1)
    assert three.height_mm - one.height_mm == pytest.approx(2.0 * 10.0 * math.sqrt(2.0), rel=1e-9)
    rooted = Angle(100.0, 100.0, 10.0, 12.0)
    pitch = (
        bundle(rooted, 2, "nested", columns=1).height_mm - bundle(rooted, 1, "nested", columns=1).height_mm
    )
    assert pitch == pytest.approx(10.0 * math.sqrt(2.0) + 12.0 * (math.sqrt(2.0) - 1.0), rel=1e-9)


def test_interlocked_angles_save_room() -> None:
    """A sharp equal tent is a sqrt 2 wide and the turned ones stand between, leg on leg."""
    outline = bundle(Angle(100.0, 100.0, 10.0), 5, "interlocked")
    apart = bundle(Angle(100.0, 100.0, 10.0), 5, "row")
    assert outline.height_mm == pytest.approx(apart.height_mm)
    # The legs' outer faces are parallel and touch: horizontal pitch equals the tent's height.
    step = apart.height_mm
    double = max(2.0 * step, 100.0 * math.sqrt(2.0))
    assert outline.width_mm == pytest.approx(2.0 * double + 100.0 * math.sqrt(2.0), rel=1e-9)


@given(outlines(), outlines())
@settings(max_examples=40, deadline=None)
def test_shifted_outlines_touch(left: Outline, right: Outline) -> None:
    """shapely: at the shift found they don't overlap; a thousandth closer they do."""
    left, right = left.seated(), right.seated()
    size = min(left.width_mm, right.width_mm, left.height_mm, right.height_mm)
    shift = shift_beside_mm(left, right)
    [a], [b] = polygons(left, 1000), polygons(right.moved(shift, 0.0), 1000)
    assert a.intersection(b).area < 1e-7 * size * size
    [closer] = polygons(right.moved(shift - 1e-3 * size, 0.0), 1000)
    assert a.intersects(closer)


def test_shift_of_rounds_closed_form() -> None:
    """Two rounds of different size on one bed: centres 2 sqrt(r1 r2) apart (tangent circles on a line)."""
    big, small = Outline.of(circle(80.0)).seated(), Outline.of(circle(20.0)).seated()
    assert shift_beside_mm(big, small) == pytest.approx(2.0 * math.sqrt(40.0 * 10.0), rel=1e-12)
    assert shift_upon_mm(big, small) == pytest.approx(80.0, rel=1e-12)
    assert shift_beside_mm(big, small.moved(0.0, 500.0)) == -math.inf


def test_the_largest_bundle() -> None:
    """Counts by hand: 8 x 6 rounds of 50 in 400 x 300, where hollows give 8 + 7 + 8 + 7 + 8 + 7 = 45."""
    found = largest_bundle(Round(50.0), 400.0, 300.0)
    assert isinstance(found, Bundle)
    assert (found.count, found.pattern, found.columns) == (48, "rows", 8)
    # Ten rows in the hollows are 10 (1 + 9 sqrt(3) / 2) = 87.9 high; square rows give only 8 x 10 in 88.
    narrow = largest_bundle(Round(10.0), 100.0, 88.0)
    assert narrow is not None
    assert (narrow.count, narrow.pattern) == (95, "hexagonal")
    assert narrow.height_mm <= 88.0
    assert narrow.width_mm <= 100.0 + 1e-9
    assert largest_bundle(Square(50.0), 49.0, 200.0) is None
    single = largest_bundle(Tee(60.0, 50.0, 5.0, 6.0), 500.0, 500.0)
    assert single is not None
    assert single.count == 1
    capped = largest_bundle(RectTube(40.0, 20.0, 2.0), 1000.0, 1000.0, most=12)
    assert capped is not None
    assert capped.count == 12


@given(
    st.sampled_from(
        [Round(30.0), Flat(60.0, 12.0), Hexagon(25.0), Angle(60.0, 60.0, 6.0, 7.0, 3.0), Square(20.0)]
    ),
    st.floats(10.0, 260.0),
    st.floats(10.0, 200.0),
)
@settings(max_examples=25, deadline=None)
def test_the_largest_bundle_stays_in_its_box(shape: Shape, width: float, height: float) -> None:
    found = largest_bundle(shape, width, height)
    if found is None:
        lone = shape.outline()
        assert min(lone.width_mm, lone.height_mm) > 0.0
        assert lone.width_mm > width or lone.height_mm > height
        return
    assert found.width_mm <= width * (1.0 + 1e-8)
    assert found.height_mm <= height * (1.0 + 1e-8)
    assert found.count * shape.outline().area_mm2 <= width * height
    assert len(found.outline.bodies) == found.count


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: bundle(Tee(60.0, 50.0, 5.0, 6.0), 2), "isn't bundled"),
        (lambda: bundle(Flat(60.0, 12.0), 2, "hexagonal"), "isn't bundled"),
        (lambda: bundle(Round(60.0), 0), "at least one bar"),
        (lambda: bundle(Round(60.0), 4, "row", columns=3), "one row"),
    ],
)
def test_impossible_bundles_are_refused(make: object, words: str) -> None:
    with pytest.raises(InvalidValue, match=words):
        make()  # type: ignore[operator]  # a table of calls


@pytest.mark.parametrize("pattern", ["hexagonal", "staggered", "rows"])
@pytest.mark.parametrize("count", range(2, 40))
def test_no_round_of_a_bundle_can_roll_off(pattern: str, count: int) -> None:
    """Statics: a round lies on the bed, in a hollow between two, straight on one, or in a hollow at a jaw.

    A row that isn't full has no jaw to lean on, so each of its rounds needs the bed or two below it. Whole
    hexagons larger than seven are strapped and left out.
    """
    if pattern == "hexagonal" and count in (19, 37):
        return
    outline = bundle(Round(10.0), count, pattern)
    spots = [((b[0] + b[2]) / 2, b[1]) for b in (body.outer.bounds for body in outline.bodies)]
    left, right = outline.bounds[0] + 5.0, outline.bounds[2] - 5.0
    assert len(set(spots)) == count
    for x, y in spots:
        below = [(u, v) for u, v in spots if math.isclose(math.hypot(u - x, v - y), 10.0) and v < y - 1.0]
        jaw = math.isclose(x, left, abs_tol=1e-9) or math.isclose(x, right, abs_tol=1e-9)
        row = sorted(u for u, v in spots if math.isclose(v, y, abs_tol=1e-9))
        braced = math.isclose(row[0], left, abs_tol=1e-9) or math.isclose(row[-1], right, abs_tol=1e-9)
        on_bed = math.isclose(y, outline.bounds[1], abs_tol=1e-9)
        assert on_bed or len(below) == 2 or (below and (jaw or braced))


def test_seven_rounds_are_bundled_as_a_hexagon() -> None:
    """2-3-2 between the jaws: common practice for seven."""
    assert usual_patterns(Round(50.0), 7)[0] == "hexagonal"
    assert usual_patterns(RoundTube(50.0, 3.0), 7)[0] == "hexagonal"
    assert usual_patterns(Round(50.0), 6)[0] == "row"
    assert set(usual_patterns(Round(50.0), 7)) == set(patterns_for(Round(50.0)))
