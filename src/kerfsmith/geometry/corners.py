"""Loops from corner points with a radius at each: how every rolled or drawn profile is described."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.outline import Loop
from kerfsmith.geometry.pieces import Arc, Line, Piece
from kerfsmith.units.told import Told, quantity, sentence

Corner = tuple[float, float, float]
"""x, y and corner radius, all mm."""

_SLACK = 1e-9  # relative: two radii may use up a side to within rounding, as a full round end does


def _unit(a: Corner, b: Corner) -> tuple[float, float, float]:
    """Direction from a to b as a unit vector, and the distance in mm."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy)
    if length == 0.0:
        raise InvalidValue(sentence("two corners coincide at {place}", place=f"({a[0]}, {a[1]})"))
    return dx / length, dy / length, length


def _tangent_length(before: Corner, here: Corner, after: Corner) -> float:
    """How much of each side the radius at a corner uses up: r tan(turn / 2), in mm."""
    if here[2] == 0.0:
        return 0.0
    ux, uy, _ = _unit(before, here)
    vx, vy, _ = _unit(here, after)
    along = 1.0 + ux * vx + uy * vy
    if along <= 1e-12:
        raise InvalidValue(sentence("the boundary doubles back at {place}", place=f"({here[0]}, {here[1]})"))
    return here[2] * abs(ux * vy - uy * vx) / along


def _fillet(before: Corner, here: Corner, after: Corner, start: Point, end: Point) -> Arc:
    """The arc tangent to both sides of a corner."""
    ux, uy, _ = _unit(before, here)
    vx, vy, _ = _unit(here, after)
    left = ux * vy - uy * vx > 0.0
    side = here[2] if left else -here[2]
    # The mean of the centres seen from both ends, for the last digits.
    centre = (
        (start[0] - uy * side + end[0] - vy * side) / 2.0,
        (start[1] + ux * side + end[1] + vx * side) / 2.0,
    )
    return Arc.of_circle(start, end, centre, ccw=left)


def rounded(corners: Sequence[Corner]) -> Loop:
    """A closed loop through corners (x, y, radius), each radius tangent to both its sides.

    Counter-clockwise corners give an outer loop. Raises InvalidValue when a radius is negative or two radii
    don't fit on the side between them.
    """
    count = len(corners)
    if count < 3:
        raise InvalidValue(Told("a boundary needs at least three corners"))
    if any(not (math.isfinite(r) and r >= 0.0) for _, _, r in corners):
        raise InvalidValue(Told("a corner radius can't be negative"))
    trims = [_tangent_length(corners[i - 1], corners[i], corners[(i + 1) % count]) for i in range(count)]
    starts: list[Point] = []
    ends: list[Point] = []
    for i, here in enumerate(corners):
        before, after = corners[i - 1], corners[(i + 1) % count]
        ux, uy, _ = _unit(before, here)
        vx, vy, side = _unit(here, after)
        following = trims[(i + 1) % count]
        if trims[i] + following > side * (1.0 + _SLACK):
            raise InvalidValue(
                sentence(
                    "radii of {first} and {second} don't fit on a side of {side} between them",
                    first=quantity(here[2], "mm"),
                    second=quantity(after[2], "mm"),
                    side=quantity(side, "mm"),
                )
            )
        starts.append((here[0] - ux * trims[i], here[1] - uy * trims[i]))
        ends.append((here[0] + vx * trims[i], here[1] + vy * trims[i]))
    for i, here in enumerate(corners):
        _, _, side = _unit(here, corners[(i + 1) % count])
        if side - trims[i] - trims[(i + 1) % count] <= side * _SLACK:
            starts[(i + 1) % count] = ends[i]
    pieces: list[Piece] = []
    for i, here in enumerate(corners):
        before, after = corners[i - 1], corners[(i + 1) % count]
        if trims[i] > 0.0:
            pieces.append(_fillet(before, here, after, starts[i], ends[i]))
        if ends[i] != starts[(i + 1) % count]:
            pieces.append(Line(ends[i], starts[(i + 1) % count]))
    return Loop(tuple(pieces))


def rectangle(width_mm: float, height_mm: float, radius_mm: float = 0.0) -> Loop:
    """A rectangle about the origin with one radius at all four corners, mm."""
    x, y = width_mm / 2.0, height_mm / 2.0
    return rounded([(-x, -y, radius_mm), (x, -y, radius_mm), (x, y, radius_mm), (-x, y, radius_mm)])


def circle(diameter_mm: float, centre: Point = (0.0, 0.0)) -> Loop:
    """A circle of two half arcs that meet at its lowest and highest points, mm."""
    x, y = centre
    r = diameter_mm / 2.0
    low, high = (x, y - r), (x, y + r)
    return Loop((Arc.of_circle(low, high, centre), Arc.of_circle(high, low, centre)))
