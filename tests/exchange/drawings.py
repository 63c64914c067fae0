"""Drawings for tests: rolled sections and rings as DXF files, drawn line by line and arc by arc."""

import io
import itertools
from collections.abc import Callable

from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

Draw = Callable[[Modelspace], object]


def drawing(draw: Draw, units: int = 4) -> bytes:
    """A DXF file; ``units`` is $INSUNITS: 1 inch, 4 mm, 0 not said."""
    document = new("R2010", units=units)
    draw(document.modelspace())
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8", "surrogateescape")


def beam(h: float, b: float, tw: float, tf: float, r: float) -> Draw:
    """An I beam with its four root fillets, each side as a draughtsman draws it."""

    def draw(space: Modelspace) -> None:
        half, web, top = b / 2, tw / 2, h / 2
        under = top - tf
        for x in (1, -1):
            for y in (1, -1):
                space.add_line((x * half, y * top), (x * half, y * under))
                space.add_line((x * half, y * under), (x * (web + r), y * under))
                start, end = {(1, 1): (90, 180), (-1, 1): (0, 90), (-1, -1): (270, 360), (1, -1): (180, 270)}[
                    x, y
                ]
                space.add_arc((x * (web + r), y * (under - r)), r, start, end)
            space.add_line((x * web, under - r), (x * web, -(under - r)))
        for y in (1, -1):
            space.add_line((-half, y * top), (half, y * top))

    return draw


def ring(outer: float, wall: float) -> Draw:
    """A round tube by its outer diameter."""

    def draw(space: Modelspace) -> None:
        space.add_circle((5, 7), outer / 2)
        space.add_circle((5, 7), outer / 2 - wall)

    return draw


def with_a_gap(space: Modelspace) -> None:
    """A square whose last corner stays open by 3 mm."""
    corners = [(0, 0), (40, 0), (40, 40), (3, 40)]
    for start, end in itertools.pairwise(corners):
        space.add_line(start, end)
    space.add_line((0, 40), (0, 0))


def two_squares(space: Modelspace) -> None:
    """Two outlines that nothing joins."""
    for x in (0, 50):
        space.add_lwpolyline([(x, 0), (x + 20, 0), (x + 20, 20), (x, 20)], close=True)
