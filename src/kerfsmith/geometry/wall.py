"""The thinnest wall of any outline: what may strip teeth or give way in the vise."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.pieces import Arc, Line, Piece

Floats = npt.NDArray[np.float64]

_SAMPLES = 65
_FACING = math.cos(math.pi / 4.0)
"""A wall has two faces within 45 degrees of parallel; a wider wedge is a corner, not a wall."""


@lru_cache(maxsize=512)
def thinnest_wall_mm(outline: Outline) -> float:
    """Least thickness in mm between two faces of metal, measured square to one of them.

    Read at 65 points of each piece: exact for parallel and concentric faces, to about 0.1 % elsewhere. For a
    solid section it is about its lesser side.
    """
    pieces = [piece for loop in outline.loops for piece in loop.pieces]
    points, inward = _faces(pieces)
    thinnest = np.full(len(points), math.inf)
    least = 1e-7 * max(outline.width_mm, outline.height_mm)
    for piece in pieces:
        hit = (
            _line_hits(piece, points, inward) if isinstance(piece, Line) else _arc_hits(piece, points, inward)
        )
        for distance, facing in hit:
            seen = (distance > least) & (facing > _FACING)
            thinnest = np.where(seen & (distance < thinnest), distance, thinnest)
    return float(min(thinnest.min(), outline.width_mm, outline.height_mm))


def _faces(pieces: list[Piece]) -> tuple[Floats, Floats]:
    """Sample points of the boundary and the unit direction into the metal at each."""
    shares = (np.arange(_SAMPLES) + 0.5) / _SAMPLES
    points: list[tuple[float, float]] = []
    inward: list[tuple[float, float]] = []
    for piece in pieces:
        for share in shares:
            dx, dy = _direction(piece, float(share))
            points.append(piece.at(float(share)))
            inward.append((-dy, dx))
    return np.array(points), np.array(inward)


def _direction(piece: Piece, share: float) -> tuple[float, float]:
    """Unit direction of travel at a fraction of the way."""
    if isinstance(piece, Line):
        dx, dy = piece.end[0] - piece.start[0], piece.end[1] - piece.start[1]
    else:
        t = piece.start_rad + share * piece.sweep_rad
        way = 1.0 if piece.ccw else -1.0
        dx = way * (piece.q[0] * math.cos(t) - piece.p[0] * math.sin(t))
        dy = way * (piece.q[1] * math.cos(t) - piece.p[1] * math.sin(t))
    length = math.hypot(dx, dy)
    return dx / length, dy / length


def _line_hits(line: Line, points: Floats, ray: Floats) -> list[tuple[Floats, Floats]]:
    """Distance along each ray to the line (inf where it misses) and how squarely the ray leaves there."""
    dx, dy = line.end[0] - line.start[0], line.end[1] - line.start[1]
    length = math.hypot(dx, dy)
    cross = ray[:, 0] * dy - ray[:, 1] * dx
    ok = np.abs(cross) > 1e-12 * length
    safe = np.where(ok, cross, 1.0)
    ax, ay = line.start[0] - points[:, 0], line.start[1] - points[:, 1]
    distance = (ax * dy - ay * dx) / safe
    share = (ax * ray[:, 1] - ay * ray[:, 0]) / safe
    hit = ok & (share >= 0.0) & (share <= 1.0)
    return [(np.where(hit, distance, math.inf), cross / length)]


def _arc_hits(arc: Arc, points: Floats, ray: Floats) -> list[tuple[Floats, Floats]]:
    """As for a line, for both places where a ray may meet the arc's curve."""
    (px, py), (qx, qy), cross = arc.p, arc.q, arc.cross_mm2
    vx, vy = points[:, 0] - arc.centre[0], points[:, 1] - arc.centre[1]
    # In the frame where the curve is the unit circle.
    u, v = (vx * qy - vy * qx) / cross, (px * vy - py * vx) / cross
    du, dv = (ray[:, 0] * qy - ray[:, 1] * qx) / cross, (px * ray[:, 1] - py * ray[:, 0]) / cross
    a, b, c = du * du + dv * dv, u * du + v * dv, u * u + v * v - 1.0
    under = b * b - a * c
    found = []
    for way in (-1.0, 1.0):
        distance = (-b + way * np.sqrt(np.maximum(under, 0.0))) / a
        t = np.arctan2(v + distance * dv, u + distance * du)
        walked = (t - arc.start_rad) if arc.ccw else (arc.start_rad - t)
        hit = (under >= 0.0) & (np.mod(walked, 2.0 * math.pi) <= abs(arc.sweep_rad))
        tx, ty = qx * np.cos(t) - px * np.sin(t), qy * np.cos(t) - py * np.sin(t)
        out = (1.0 if arc.ccw else -1.0) / np.hypot(tx, ty)
        found.append((np.where(hit, distance, math.inf), (ray[:, 0] * ty - ray[:, 1] * tx) * out))
    return found
