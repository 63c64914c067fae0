"""Entities of a drawing as lines and arcs in mm, and what among them was passed over."""

import itertools
import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from ezdxf import path as dxf_path
from ezdxf.entities.arc import Arc as DxfArc
from ezdxf.entities.circle import Circle as DxfCircle
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.insert import Insert
from ezdxf.entities.line import Line as DxfLine
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.polyline import Polyline
from ezdxf.entities.spline import Spline
from ezdxf.math import BSpline, Vec3
from ezdxf.upright import upright

from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.pieces import Arc, Line, Piece

CURVE_MM = 0.005
"""Ellipses and free curves are taken as chords that stand off them by no more than this."""
MOST_PIECES = 1_500
"""Each piece is compared with every other for crossings: a section has some tens."""
_DEEPEST = 8
_QUARTERS = (0.25, 0.5, 0.75)
_MOST_HALVINGS = 12
_WORDS = frozenset(
    {"TEXT", "MTEXT", "DIMENSION", "LEADER", "MLEADER", "MULTILEADER", "HATCH", "POINT", "ATTDEF", "ATTRIB",
     "TOLERANCE", "VIEWPORT", "XLINE", "RAY", "ARC_DIMENSION"}
)  # fmt: skip
"""Entities that speak about an outline and are none."""


class TooManyPiecesError(Exception):
    """The drawing holds more pieces than a section has."""


class NotFlatError(Exception):
    """An entity lies out of the plane of the drawing; ``args`` hold its kind."""


@dataclass(slots=True)
class Found:
    """Pieces of a drawing, ``scale`` mm to one of its units.

    ``passed`` counts entities that hold no outline, ``strange`` those that can't be understood; ``curves``
    are how many free curves became chords. What lies on a layer of ``hidden`` (folded names) isn't seen by
    who looks at the drawing, and is passed over.
    """

    scale: float
    hidden: frozenset[str] = frozenset()
    pieces: list[Piece] = field(default_factory=list)
    passed: Counter[str] = field(default_factory=Counter)
    strange: Counter[str] = field(default_factory=Counter)
    curves: int = 0

    def add(self, piece: Piece) -> None:
        """Keep a piece. Raises TooManyPiecesError."""
        self.pieces.append(piece)
        if len(self.pieces) > MOST_PIECES:
            raise TooManyPiecesError


def collect(entities: Iterable[DXFEntity], found: Found, depth: int = 0) -> None:
    """Take the outline out of ``entities``, blocks put in among them opened, on every layer that is seen.

    Raises TooManyPiecesError, NotFlatError.
    """
    for entity in entities:
        kind = entity.dxftype()
        if entity.dxf.get("layer", "0").casefold() in found.hidden or entity.dxf.get("invisible", 0):
            found.passed["hidden"] += 1
        elif isinstance(entity, Insert):
            if depth >= _DEEPEST:
                found.strange[kind] += 1
                continue
            for each in entity.multi_insert() if entity.mcount > 1 else (entity,):
                collect(each.virtual_entities(), found, depth + 1)
        elif kind in _WORDS:
            found.passed[kind] += 1
        else:
            _take(entity, kind, found)


def _take(entity: DXFEntity, kind: str, found: Found) -> None:
    if kind in ("ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "ELLIPSE"):
        upright(entity)  # type: ignore[arg-type]  # takes any graphic entity
        if entity.dxf.get("extrusion") is not None and abs(abs(entity.dxf.extrusion.z) - 1.0) > 1e-9:
            raise NotFlatError(kind)
    if isinstance(entity, DxfLine):
        start, end = entity.dxf.start, entity.dxf.end
        if abs(start.z - end.z) > 1e-6:
            raise NotFlatError(kind)
        _add_line(found, (start.x, start.y), (end.x, end.y))
    elif isinstance(entity, DxfArc):
        _add_arc(found, entity)
    elif isinstance(entity, DxfCircle):
        _add_circle(found, entity.dxf.center.x, entity.dxf.center.y, entity.dxf.radius)
    elif isinstance(entity, LWPolyline):
        _add_polyline(found, list(entity.get_points("xyb")), closed=entity.closed)
    elif isinstance(entity, Polyline) and entity.is_2d_polyline:
        points = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
        _add_polyline(found, points, closed=entity.is_closed)
    elif isinstance(entity, Polyline) and entity.is_3d_polyline:
        _add_flat(found, [vertex.dxf.location for vertex in entity.vertices], closed=entity.is_closed)
    elif kind in ("ELLIPSE", "SPLINE"):
        _add_curve(found, entity)
    else:
        found.strange[kind] += 1


def _point(found: Found, x: float, y: float) -> Point:
    return x * found.scale, y * found.scale


def _add_line(found: Found, start: tuple[float, float], end: tuple[float, float]) -> None:
    first, last = _point(found, *start), _point(found, *end)
    if first != last:
        found.add(Line(first, last))


def _add_arc(found: Found, arc: DxfArc) -> None:
    centre = _point(found, arc.dxf.center.x, arc.dxf.center.y)
    radius_mm, start, end = arc.dxf.radius * found.scale, arc.dxf.start_angle, arc.dxf.end_angle
    if math.isclose((end - start) % 360.0, 0.0, abs_tol=1e-9) or radius_mm <= 0:
        _add_circle(found, arc.dxf.center.x, arc.dxf.center.y, arc.dxf.radius)
        return
    found.add(Arc.by_angles(centre, radius_mm, start, end))


def _add_circle(found: Found, x: float, y: float, radius: float) -> None:
    if radius > 0:
        centre = _point(found, x, y)
        found.add(Arc.by_angles(centre, radius * found.scale, 0.0, 180.0))
        found.add(Arc.by_angles(centre, radius * found.scale, 180.0, 360.0))


def _add_polyline(found: Found, points: Sequence[Sequence[float]], *, closed: bool) -> None:
    """A polyline with bulges: tan of a quarter of the angle swept to the next point."""
    for (x0, y0, bulge), (x1, y1, _) in _pairs(points, closed=closed):
        start, end = _point(found, x0, y0), _point(found, x1, y1)
        if start == end:
            continue
        found.add(Arc.by_bulge(start, end, bulge) if abs(bulge) > 1e-9 else Line(start, end))


def _add_flat(found: Found, points: Sequence[Vec3], *, closed: bool) -> None:
    """A polyline in space whose points all lie as high. Raises NotFlatError."""
    if any(abs(point.z - points[0].z) > 1e-6 for point in points):
        raise NotFlatError("POLYLINE")
    _add_polyline(found, [(point.x, point.y, 0.0) for point in points], closed=closed)


def _pairs(
    points: Sequence[Sequence[float]], *, closed: bool
) -> Iterator[tuple[Sequence[float], Sequence[float]]]:
    yield from itertools.pairwise(points)
    if closed and len(points) > 1:
        yield points[-1], points[0]


def _add_curve(found: Found, entity: DXFEntity) -> None:
    near = CURVE_MM / found.scale
    curve = entity.construction_tool() if isinstance(entity, Spline) else None
    if curve is not None and not curve.is_clamped:
        vertices = list(itertools.islice(_unclamped(curve, near), MOST_PIECES + 2))
    else:
        vertices = list(dxf_path.make_path(entity).flattening(near))
    if max((abs(v.z - vertices[0].z) for v in vertices), default=0.0) > 1e-6:
        raise NotFlatError(entity.dxftype())
    found.curves += 1
    for first, second in itertools.pairwise(vertices):
        _add_line(found, (first.x, first.y), (second.x, second.y))


def _unclamped(curve: BSpline, near: float) -> Iterator[Vec3]:
    """Points of a curve whose knots don't begin and end it: of degree p, from knot p to the p-th last.

    The library's own way takes all knots, and closed curves then end far away.
    """
    knots, degree = curve.knots(), curve.degree
    stops = sorted({knot for knot in knots if knots[degree] <= knot <= knots[-degree - 1]})
    yield curve.point(stops[0])
    for first, last in itertools.pairwise(stops):
        yield from _between(curve, first, last, near)


def _between(curve: BSpline, first: float, last: float, near: float, depth: int = 0) -> Iterator[Vec3]:
    """Points after ``first`` up to ``last``; chords halved until they lie near the curve."""
    start, end = curve.point(first), curve.point(last)
    quarters = [curve.point(first + share * (last - first)) for share in _QUARTERS]
    off = max(
        point.distance(start.lerp(end, share)) for point, share in zip(quarters, _QUARTERS, strict=True)
    )
    if depth and (off <= near or depth >= _MOST_HALVINGS):
        yield end
        return
    middle = (first + last) / 2
    yield from _between(curve, first, middle, near, depth + 1)
    yield from _between(curve, middle, last, near, depth + 1)
