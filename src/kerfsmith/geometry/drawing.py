"""From a user's drawing to an outline: loops in any order and either way round, checked for crossings.

drawn_outline(loops) -> Outline          loops of pieces end to end, mm
joined(pieces, gap_mm=0.01) -> Loop      closes small gaps between a drawing's pieces
inside(loop, point) -> bool
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.meeting import meetings
from kerfsmith.geometry.outline import Body, Loop, Outline
from kerfsmith.geometry.pieces import Arc, Line, Piece
from kerfsmith.geometry.scanline import scan
from kerfsmith.units.told import Told, quantity, sentence

_NEAR = 1e-9
"""Relative to the drawing's size: nearer than this is touching."""


def joined(pieces: Sequence[Piece], gap_mm: float = 0.01) -> Loop:
    """A loop from pieces that meet to within ``gap_mm``: each piece is led to where the next one starts.

    An arc so led keeps the angle it sweeps. Raises InvalidValue when a gap is wider.
    """
    closed: list[Piece] = []
    for here, after in zip(pieces, (*pieces[1:], *pieces[:1]), strict=True):
        gap = math.dist(here.end, after.start)
        if gap > gap_mm:
            raise InvalidValue(
                sentence(
                    "the drawing has a gap of {gap} between {here} and {after}",
                    gap=quantity(gap, "mm"),
                    here=f"({here.end[0]:g}, {here.end[1]:g})",
                    after=f"({after.start[0]:g}, {after.start[1]:g})",
                )
            )
        closed.append(here if gap == 0.0 else _led_to(here, after.start))
    return Loop(tuple(closed))


def _led_to(piece: Piece, end: Point) -> Piece:
    if isinstance(piece, Line):
        return replace(piece, end=end)
    # The same swept angle between the new ends: bulge = tan(sweep / 4).
    return Arc.by_bulge(piece.start, end, math.tan(piece.sweep_rad / 4.0))


def drawn_outline(loops: Sequence[Loop]) -> Outline:
    """The outline a drawing means: loops within loops are holes, loops within holes are bodies again.

    Raises InvalidValue when a loop crosses or touches itself or another, saying where.
    """
    if not loops:
        raise InvalidValue(Told("the drawing holds no closed loop"))
    _refuse_crossings(loops)
    around = [
        [j for j, other in enumerate(loops) if j != i and inside(other, loop.pieces[0].start)]
        for i, loop in enumerate(loops)
    ]
    bodies = []
    for i, loop in enumerate(loops):
        if len(around[i]) % 2 == 1:
            continue
        holes = [h for h in range(len(loops)) if i in around[h] and len(around[h]) == len(around[i]) + 1]
        bodies.append(Body(_walked(loop, ccw=True), tuple(_walked(loops[h], ccw=False) for h in holes)))
    return Outline(tuple(bodies))


def _walked(loop: Loop, *, ccw: bool) -> Loop:
    return loop if (loop.area_mm2 > 0.0) == ccw else loop.reversed()


def _refuse_crossings(loops: Sequence[Loop]) -> None:
    """Raise InvalidValue where two pieces meet other than as neighbours at their common end."""
    size = max(max(abs(value) for value in loop.bounds) for loop in loops)
    near = _NEAR * max(size, 1.0)
    rows = [(piece, n, i) for n, loop in enumerate(loops) for i, piece in enumerate(loop.pieces)]
    for place, (first, loop_of_first, i) in enumerate(rows):
        for second, loop_of_second, j in rows[place + 1 :]:
            if _apart(first, second, near):
                continue
            shared: list[Point] = []
            if loop_of_first == loop_of_second:
                count = len(loops[loop_of_first].pieces)
                shared = [first.end] if (i + 1) % count == j else []
                shared += [first.start] if (j + 1) % count == i else []
            for point in meetings(first, second, near):
                if all(math.dist(point, end) > _room(first, second, near) for end in shared):
                    raise InvalidValue(
                        sentence(
                            "the drawing crosses or touches itself at {place}",
                            place=f"({point[0]:.4g}, {point[1]:.4g})",
                        )
                    )


def _room(first: Piece, second: Piece, near: float) -> float:
    """How far from a common end two neighbours may count as one: tangent curves part slowly."""
    bend = max([piece.radius_mm for piece in (first, second) if isinstance(piece, Arc)], default=0.0)
    return max(10.0 * near, 4.0 * math.sqrt(near * bend))


def _apart(first: Piece, second: Piece, near: float) -> bool:
    a, b = first.bounds, second.bounds
    return a[2] < b[0] - near or b[2] < a[0] - near or a[3] < b[1] - near or b[3] < a[1] - near


def inside(loop: Loop, point: Point) -> bool:
    """Whether a point lies within a loop that doesn't cross itself."""
    depth_mm = loop.bounds[3] - point[1]
    chords = scan(Outline.of(_walked(loop, ccw=True))).chords(depth_mm)
    return any(x0 < point[0] < x1 for x0, x1 in chords)
