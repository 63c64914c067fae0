"""How sections lie: sizes from plane geometry, and that every lie rests on the bed."""

import math

import pytest
from tests.geometry.test_scanline import SHAPES

from kerfsmith.errors import UnknownName
from kerfsmith.geometry.lay import lie_called, lies
from kerfsmith.geometry.shapes import (
    Angle,
    Beam,
    Channel,
    Drawn,
    Flat,
    Hexagon,
    RectTube,
    Round,
    Shape,
    Square,
    Tee,
)


@pytest.mark.parametrize(
    "shape", [*SHAPES, Drawn(Tee(60.0, 50.0, 5.0, 6.0).outline(), "rail")], ids=lambda s: s.key()
)
def test_every_lie_rests_on_the_bed_with_the_same_metal(shape: Shape) -> None:
    for lie in lies(shape):
        x0, y0, x1, y1 = lie.outline.bounds
        assert y0 == pytest.approx(0.0, abs=1e-9)
        assert x0 + x1 == pytest.approx(0.0, abs=1e-9)
        assert (lie.width_mm, lie.height_mm) == pytest.approx((x1 - x0, y1 - y0))
        assert lie.outline.area_mm2 == pytest.approx(shape.outline().area_mm2, rel=1e-12)


def test_sizes_of_the_usual_lies() -> None:
    """Widths and heights from the dimensions; diagonals by Pythagoras."""
    assert [(lie.name, lie.width_mm, lie.height_mm) for lie in lies(Flat(10.0, 80.0))] == [
        ("flat", 80.0, 10.0),
        ("on edge", 10.0, 80.0),
    ]
    corner = lie_called(Square(50.0), "on the corner")
    assert (corner.width_mm, corner.height_mm) == pytest.approx((50.0 * math.sqrt(2.0),) * 2)
    hexagon = lie_called(Hexagon(30.0), "on the corner")
    assert (hexagon.width_mm, hexagon.height_mm) == pytest.approx((30.0, 60.0 / math.sqrt(3.0)))
    assert [lie.name for lie in lies(Beam(190.0, 200.0, 6.5, 10.0))] == ["web upright", "web flat"]
    legs_down = lies(Channel(200.0, 75.0, 8.5, 11.5))[0]
    assert (legs_down.name, legs_down.width_mm, legs_down.height_mm) == ("legs down", 200.0, 75.0)
    assert [lie.name for lie in lies(RectTube(50.0, 50.0, 3.0))] == ["flat", "on the corner"]
    assert [lie.name for lie in lies(RectTube(80.0, 50.0, 3.0))] == ["flat", "on edge"]
    assert [lie.name for lie in lies(Round(20.0))] == ["as drawn"]
    assert lies(Tee(60.0, 50.0, 5.0, 6.0))[0].name == "flange down"


def test_an_angle_stands_on_both_toes() -> None:
    """A sharp equal angle as a tent: width a sqrt 2, height (a + t) / sqrt 2 (plane geometry)."""
    tent = lies(Angle(100.0, 100.0, 10.0))[0]
    assert tent.name == "legs down"
    assert tent.width_mm == pytest.approx(100.0 * math.sqrt(2.0), rel=1e-12)
    assert tent.height_mm == pytest.approx(110.0 / math.sqrt(2.0), rel=1e-12)


@pytest.mark.parametrize("angle", [Angle(100.0, 100.0, 10.0, 12.0, 6.0), Angle(150.0, 75.0, 9.0, 12.0, 6.0)])
def test_both_toes_touch_the_bed(angle: Angle) -> None:
    """The lowest point of the left half and of the right half are both at y = 0."""
    outline = lies(angle)[0].outline
    lowest = {"left": math.inf, "right": math.inf}
    middle = outline.centroid[0]
    for piece in outline.loops[0].pieces:
        side = "left" if piece.middle[0] < middle else "right"
        lowest[side] = min(lowest[side], piece.bounds[1])
    assert lowest == pytest.approx({"left": 0.0, "right": 0.0}, abs=1e-9)


def test_an_unknown_lie_names_those_there_are() -> None:
    with pytest.raises(UnknownName) as caught:
        lie_called(Flat(80.0, 10.0), "upside down")
    assert caught.value.near == ("flat", "on edge")
