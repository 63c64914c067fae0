"""Outlines as shapely polygons, the outside measure of these tests, and random outlines to measure."""

import math

from hypothesis import strategies as st
from shapely import LineString, MultiPolygon, Polygon  # type: ignore[import-untyped]  # shapely ships no types

from kerfsmith.geometry.corners import rounded
from kerfsmith.geometry.outline import Loop, Outline
from kerfsmith.geometry.pieces import Line


def ring(loop: Loop, per_arc: int) -> list[tuple[float, float]]:
    """The loop's corners, with points along each arc."""
    points: list[tuple[float, float]] = []
    for piece in loop.pieces:
        count = 1 if isinstance(piece, Line) else per_arc
        points += [piece.start, *(piece.at(k / count) for k in range(1, count))]
    return points


def polygons(outline: Outline, per_arc: int = 200) -> list[Polygon]:
    """One shapely polygon a body, arcs as chords."""
    return [Polygon(ring(b.outer, per_arc), [ring(h, per_arc) for h in b.holes]) for b in outline.bodies]


def chord_lengths(shape: MultiPolygon, outline: Outline, depth_mm: float) -> list[float]:
    """Lengths of the pieces of a level line that lie in a shapely shape, left to right."""
    x0, _, x1, y1 = outline.bounds
    y = y1 - depth_mm
    cut = shape.intersection(LineString([(x0 - 1.0, y), (x1 + 1.0, y)]))
    parts = getattr(cut, "geoms", [cut])
    return [part.length for part in sorted(parts, key=lambda part: part.bounds[0]) if part.length > 0.0]


@st.composite
def outlines(draw: st.DrawFn, *, arcs: bool = True, hole: bool = True) -> Outline:
    """A random star-shaped section, corners rounded by a part of what fits, perhaps with a hole, turned."""
    count = draw(st.integers(3, 9))
    gaps = [draw(st.floats(0.6, 1.0)) for _ in range(count)]
    reach = [draw(st.floats(0.5, 1.0)) for _ in range(count)]
    size = draw(st.floats(5.0, 600.0))
    share = draw(st.floats(0.05, 0.95)) if arcs else 0.0
    total = sum(gaps)
    angles = [2.0 * math.pi * sum(gaps[:k]) / total for k in range(count)]
    points = [(size * r * math.cos(a), size * r * math.sin(a)) for r, a in zip(reach, angles, strict=True)]

    def loop(factor: float) -> Loop:
        scaled = [(x * factor, y * factor) for x, y in points]
        radii = [share * _largest_radius(scaled, k) for k in range(count)]
        return rounded([(x, y, r) for (x, y), r in zip(scaled, radii, strict=True)])

    holes = (loop(draw(st.floats(0.1, 0.6))).reversed(),) if hole and draw(st.booleans()) else ()
    return Outline.of(loop(1.0), *holes).turned(draw(st.sampled_from([0.0, 90.0, 17.0, 45.0, 203.5])))


def _largest_radius(points: list[tuple[float, float]], k: int) -> float:
    """The radius whose tangents take half of the shorter neighbouring side."""
    (ax, ay), (bx, by), (cx, cy) = points[k - 1], points[k], points[(k + 1) % len(points)]
    before, after = math.hypot(bx - ax, by - ay), math.hypot(cx - bx, cy - by)
    turn = abs(
        math.atan2(
            (bx - ax) * (cy - by) - (by - ay) * (cx - bx), (bx - ax) * (cx - bx) + (by - ay) * (cy - by)
        )
    )
    return min(before, after) / 2.0 / max(math.tan(turn / 2.0), 0.2)
