"""Lines and arcs that make no section, as they were drawn, with the places where they don't close."""

from collections.abc import Sequence

from markupsafe import Markup

from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.pieces import Arc, Piece
from kerfsmith.web.drawing.svg import element, number, picture
from kerfsmith.web.words import say, say_many

WIDTH, HEIGHT, _EDGE = 460.0, 340.0, 24.0
_STEPS = 24
"""Chords in which an arc is sketched."""


def sketch(pieces: Sequence[Piece], amiss: Sequence[Point], *, name: str, key: str) -> Markup:
    """The pieces, of which there is one at least, to fit; a ring round each place that is amiss."""
    ends = [piece.bounds for piece in pieces]
    left, low = min(end[0] for end in ends), min(end[1] for end in ends)
    right, high = max(end[2] for end in ends), max(end[3] for end in ends)
    scale = min((WIDTH - 2 * _EDGE) / max(right - left, 1e-9), (HEIGHT - 2 * _EDGE) / max(high - low, 1e-9))

    def at(point: Point) -> tuple[float, float]:
        return _EDGE + (point[0] - left) * scale, _EDGE + (high - point[1]) * scale

    parts = [
        element("path", d=_way([at(each) for each in _points(piece)]), class_="sketch") for piece in pieces
    ]
    for point in amiss:
        x, y = at(point)
        parts.append(element("circle", cx=x, cy=y, r=9, class_="amiss"))
    words = say_many("{count} line or arc was found.", "{count} lines and arcs were found.", len(pieces))
    words += " " + (
        say_many(
            "{count} place where they don't close is ringed.",
            "{count} places where they don't close are ringed.",
            len(amiss),
        )
        if amiss
        else say("They make no section.")
    )
    return picture(
        name,
        words,
        parts,
        key=key,
        class_="section",
        viewBox=f"0 0 {number(WIDTH)} {number(HEIGHT)}",
        width=WIDTH,
        height=HEIGHT,
    )


def _points(piece: Piece) -> list[Point]:
    steps = _STEPS if isinstance(piece, Arc) else 1
    return [piece.at(step / steps) for step in range(steps + 1)]


def _way(points: Sequence[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)
