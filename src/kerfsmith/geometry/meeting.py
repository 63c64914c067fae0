"""Where two pieces of a boundary meet or cross, exact for lines and the arcs of circles."""

from __future__ import annotations

import math

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.pieces import Arc, Line, Piece


def meetings(first: Piece, second: Piece, near_mm: float) -> list[Point]:
    """Points (mm) within ``near_mm`` of both pieces; pieces that run together give their ends.

    Raises InvalidValue for the arc of an ellipse: drawings have arcs of circles.
    """
    found = list(_crossings(first, second))
    for piece, other in ((first, second), (second, first)):
        found += [end for end in (piece.start, piece.end) if distance_mm(other, end) <= near_mm]
    return [p for p in found if distance_mm(first, p) <= near_mm and distance_mm(second, p) <= near_mm]


def distance_mm(piece: Piece, point: Point) -> float:
    """Least distance from a point to a piece, mm."""
    ends = min(math.dist(piece.start, point), math.dist(piece.end, point))
    if isinstance(piece, Line):
        (x0, y0), (x1, y1) = piece.start, piece.end
        share = ((point[0] - x0) * (x1 - x0) + (point[1] - y0) * (y1 - y0)) / piece.length_mm**2
        return math.dist(piece.at(share), point) if 0.0 < share < 1.0 else ends
    _need_circle(piece)
    dx, dy = point[0] - piece.centre[0], point[1] - piece.centre[1]
    if piece.passes_rad(math.atan2(dy, dx) - math.atan2(piece.p[1], piece.p[0])):
        return min(ends, abs(math.hypot(dx, dy) - piece.radius_mm))
    return ends


def _need_circle(arc: Arc) -> None:
    if not arc.is_circular:
        raise InvalidValue("crossings are looked for between lines and arcs of circles only")


def _crossings(first: Piece, second: Piece) -> list[Point]:
    """Where the whole lines and circles of two pieces cross, whether or not the pieces reach there."""
    match first, second:
        case Line(), Line():
            return _line_line(first, second)
        case Line(), Arc():
            return _line_circle(first, second)
        case Arc(), Line():
            return _line_circle(second, first)
        case Arc(), Arc():
            return _circle_circle(first, second)
    raise TypeError("a piece is a line or an arc")


def _line_line(first: Line, second: Line) -> list[Point]:
    ux, uy = first.end[0] - first.start[0], first.end[1] - first.start[1]
    vx, vy = second.end[0] - second.start[0], second.end[1] - second.start[1]
    cross = ux * vy - uy * vx
    if abs(cross) <= 1e-12 * math.hypot(ux, uy) * math.hypot(vx, vy):
        return []
    wx, wy = second.start[0] - first.start[0], second.start[1] - first.start[1]
    return [first.at((wx * vy - wy * vx) / cross)]


def _line_circle(line: Line, arc: Arc) -> list[Point]:
    _need_circle(arc)
    ux, uy = line.end[0] - line.start[0], line.end[1] - line.start[1]
    length = math.hypot(ux, uy)
    ux, uy = ux / length, uy / length
    wx, wy = arc.centre[0] - line.start[0], arc.centre[1] - line.start[1]
    along, off = wx * ux + wy * uy, wx * uy - wy * ux
    half = math.sqrt(max(arc.radius_mm**2 - off * off, 0.0))
    return [line.at((along + way * half) / length) for way in (-1.0, 1.0)]


def _circle_circle(first: Arc, second: Arc) -> list[Point]:
    _need_circle(first)
    _need_circle(second)
    (x0, y0), (x1, y1) = first.centre, second.centre
    apart = math.hypot(x1 - x0, y1 - y0)
    if apart <= 1e-12 * (first.radius_mm + second.radius_mm):
        return []
    ux, uy = (x1 - x0) / apart, (y1 - y0) / apart
    along = (apart**2 + first.radius_mm**2 - second.radius_mm**2) / (2.0 * apart)
    half = math.sqrt(max(first.radius_mm**2 - along * along, 0.0))
    return [(x0 + along * ux - way * half * uy, y0 + along * uy + way * half * ux) for way in (-1.0, 1.0)]
