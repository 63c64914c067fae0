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
from ezdxf.upright import upright

from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.pieces import Arc, Line, Piece

CURVE_MM = 0.005
"""Ellipses and free curves are taken as chords that stand off them by no more than this."""
MOST_PIECES = 1_500
"""Each piece is compared with every other for crossings: a section has some tens."""
_DEEPEST = 8
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
    are how many free curves became chords.
    """

    scale: float
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
    """Take the outline out of ``entities``, blocks put in among them opened, on whatever layer.

    Raises TooManyPiecesError, NotFlatError.
    """
    for entity in entities:
        kind = entity.dxftype()
        if isinstance(entity, Insert):
            if depth >= _DEEPEST:
                found.strange[kind] += 1
                continue
            collect(entity.virtual_entities(), found, depth + 1)
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


def _pairs(
    points: Sequence[Sequence[float]], *, closed: bool
) -> Iterator[tuple[Sequence[float], Sequence[float]]]:
    yield from itertools.pairwise(points)
    if closed and len(points) > 1:
        yield points[-1], points[0]


def _add_curve(found: Found, entity: DXFEntity) -> None:
    path = dxf_path.make_path(entity)
    vertices = list(path.flattening(CURVE_MM / found.scale))
    if max((abs(v.z - vertices[0].z) for v in vertices), default=0.0) > 1e-6:
        raise NotFlatError(entity.dxftype())
    found.curves += 1
    for first, second in itertools.pairwise(vertices):
        _add_line(found, (first.x, first.y), (second.x, second.y))
