"""The section on the ticket: to scale, inside its frame, and drawable for every shape."""

import re

import pytest

from kerfsmith.geometry.lay import lies
from kerfsmith.geometry.shapes import Angle, Flat, Hexagon, RectTube, Round, RoundTube, Shape, Square
from kerfsmith.paper.sketch import SCALES, sketch
from kerfsmith.units.length import Measure

SHAPES: list[Shape] = [
    Round(101.6),
    Round(6.0),
    Square(50.0, 4.0),
    Flat(400.0, 10.0),
    Hexagon(30.0),
    RoundTube(114.3, 6.02),
    RectTube(150.0, 100.0, 6.0, 12.0, 6.0),
    Angle(100.0, 65.0, 8.0, 10.0, 5.0),
    Round(1200.0),
]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.key())
def test_every_lie_of_a_shape_stays_inside_its_frame(shape: Shape) -> None:
    for lie in lies(shape):
        drawn = sketch(lie.outline, Measure.METRIC)
        assert drawn.width_mm < 85
        assert drawn.height_mm < 70
        for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", _outline_path(drawn.svg)):
            assert 0 <= float(x) <= drawn.width_mm
            assert 0 <= float(y) <= drawn.height_mm


@pytest.mark.parametrize(
    ("shape", "width_mm"),
    [(Flat(400.0, 10.0), 400.0), (Square(50.0), 50.0), (RectTube(150.0, 100.0, 6.0), 150.0)],
)
def test_corners_stand_as_far_apart_as_the_scale_says(shape: Shape, width_mm: float) -> None:
    drawn = sketch(lies(shape)[0].outline, Measure.METRIC)
    ends = [float(x) for x, _ in re.findall(r"L(-?[\d.]+) (-?[\d.]+)", _outline_path(drawn.svg))]
    assert max(ends) - min(ends) == pytest.approx(width_mm * _scale(drawn.scale), abs=0.01)


@pytest.mark.parametrize("diameter_mm", [6.0, 101.6, 1200.0])
def test_radii_are_as_long_as_the_scale_says(diameter_mm: float) -> None:
    drawn = sketch(Round(diameter_mm).outline(), Measure.METRIC)
    radii = {float(radius) for radius in re.findall(r"A([\d.]+) ", _outline_path(drawn.svg))}
    assert list(radii) == [pytest.approx(diameter_mm / 2 * _scale(drawn.scale), abs=0.001)]


def test_the_dimensions_stand_in_the_readers_measure() -> None:
    drawn = sketch(Round(101.6).outline(), Measure.INCH)
    assert [letter.text for letter in drawn.lettering] == ["4 in", "4 in"]
    assert [letter.turned for letter in drawn.lettering] == [False, True]


def _outline_path(svg: str) -> str:
    """The edges of the section, from its own top left corner."""
    found = re.search(r'<path id="edge" d="([^"]+)"', svg)
    assert found
    return found[1]


def _scale(text: str) -> float:
    """``1 : 5`` as a number, which must be one of ISO 5455's."""
    first, second = (float(part) for part in text.split(" : "))
    assert first / second in SCALES
    return first / second
