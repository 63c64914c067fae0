"""The boundary of a section: closed loops of lines and arcs, in mm, x along the band and y up.

The band enters from the top, so depth = y_max - y. Bodies are what the band cuts through, one for a single
bar and several for a bundle; each has an outer loop walked counter-clockwise and holes walked clockwise.

    Loop(pieces)                      .area_mm2 (signed) .bounds .perimeter_mm .reversed() .mapped(plane)
    Body(outer, holes=())
    Outline(bodies)                   .area_mm2 .centroid .perimeter_mm .bounds .width_mm .height_mm .loops
        .moved(dx_mm, dy_mm) .turned(angle_deg) .mirrored() .scaled_x(factor) .seated() .mapped(plane)
    Outline.of(loop, *holes)          one body
    Outline.together(*outlines)       their bodies as one outline

Drawings made by a user go through :mod:`kerfsmith.geometry.drawing`, which also finds crossings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.affine import Affine, Point
from kerfsmith.geometry.pieces import Moment, Piece
from kerfsmith.units.told import Told, sentence

Bounds = tuple[float, float, float, float]
"""x_min, y_min, x_max, y_max in mm."""


def _join(all_bounds: Iterator[Bounds]) -> Bounds:
    left, low, right, high = zip(*all_bounds, strict=True)
    return min(left), min(low), max(right), max(high)


@dataclass(frozen=True)
class Loop:
    """Pieces end to end, the last closing on the first.

    Neighbours share the very same end point, so that no depth falls between two pieces. Raises InvalidValue
    when they don't or when the loop encloses nothing.
    """

    pieces: tuple[Piece, ...]

    def __post_init__(self) -> None:
        if len(self.pieces) < 2:
            raise InvalidValue(Told("a loop needs at least two pieces"))
        for here, after in zip(self.pieces, self.pieces[1:] + self.pieces[:1], strict=True):
            if here.end != after.start:
                raise InvalidValue(
                    sentence(
                        "the loop isn't closed: a piece ends at {end}, the next starts at {start}",
                        end=here.end,
                        start=after.start,
                    )
                )
        if self.area_mm2 == 0.0:
            raise InvalidValue(Told("the loop encloses no area"))

    @cached_property
    def area_mm2(self) -> float:
        """Enclosed area in mm2, exact; positive when walked counter-clockwise.

        Taken about the loop's own first point, so that a loop far from the origin loses no figures.
        """
        x, y = self.pieces[0].start
        return math.fsum(
            piece.swept_area_mm2
            - (x * (piece.end[1] - piece.start[1]) - y * (piece.end[0] - piece.start[0])) / 2.0
            for piece in self.pieces
        )

    @cached_property
    def bounds(self) -> Bounds:
        """x_min, y_min, x_max, y_max in mm."""
        return _join(piece.bounds for piece in self.pieces)

    @property
    def perimeter_mm(self) -> float:
        """Length all round in mm."""
        return math.fsum(piece.length_mm for piece in self.pieces)

    def reversed(self) -> Loop:
        """The same loop walked the other way."""
        return Loop(tuple(piece.reversed() for piece in reversed(self.pieces)))

    def mapped(self, plane: Affine) -> Loop:
        """The loop carried by a plane map, walked the same way round as before even when mirrored."""
        loop = Loop(tuple(piece.mapped(plane) for piece in self.pieces))
        return loop.reversed() if plane.determinant < 0.0 else loop


@dataclass(frozen=True)
class Body:
    """One solid piece of the section: an outer loop and the holes in it.

    Raises InvalidValue when a loop is walked the wrong way round or a hole reaches out of its body's bounds.
    """

    outer: Loop
    holes: tuple[Loop, ...] = ()

    def __post_init__(self) -> None:
        if self.outer.area_mm2 < 0.0:
            raise InvalidValue(Told("an outer loop must be walked counter-clockwise"))
        left, low, right, high = self.outer.bounds
        for hole in self.holes:
            if hole.area_mm2 > 0.0:
                raise InvalidValue(Told("a hole must be walked clockwise"))
            x0, y0, x1, y1 = hole.bounds
            if not (left < x0 and low < y0 and x1 < right and y1 < high):
                raise InvalidValue(Told("a hole reaches beyond the body it is in"))
        if self.area_mm2 <= 0.0:
            raise InvalidValue(Told("the holes are larger than the body they are in"))

    @property
    def loops(self) -> tuple[Loop, ...]:
        """The outer loop and then the holes."""
        return (self.outer, *self.holes)

    @property
    def area_mm2(self) -> float:
        """Area of solid in mm2."""
        return self.outer.area_mm2 + math.fsum(hole.area_mm2 for hole in self.holes)

    def mapped(self, plane: Affine) -> Body:
        """The body carried by a plane map."""
        return Body(self.outer.mapped(plane), tuple(hole.mapped(plane) for hole in self.holes))


@dataclass(frozen=True)
class Outline:
    """What the band meets: one or more bodies in the section plane, mm. Raises InvalidValue when empty."""

    bodies: tuple[Body, ...]

    def __post_init__(self) -> None:
        if not self.bodies:
            raise InvalidValue(Told("an outline needs at least one body"))

    @classmethod
    def of(cls, outer: Loop, *holes: Loop) -> Outline:
        """The outline of one body."""
        return cls((Body(outer, holes),))

    @classmethod
    def together(cls, *outlines: Outline) -> Outline:
        """Several outlines as one; they must not overlap."""
        return cls(tuple(body for outline in outlines for body in outline.bodies))

    @cached_property
    def _hash(self) -> int:
        return hash(self.bodies)

    def __hash__(self) -> int:
        return self._hash

    @property
    def loops(self) -> tuple[Loop, ...]:
        """Every loop of every body."""
        return tuple(loop for body in self.bodies for loop in body.loops)

    @cached_property
    def bounds(self) -> Bounds:
        """x_min, y_min, x_max, y_max in mm."""
        return _join(body.outer.bounds for body in self.bodies)

    @property
    def width_mm(self) -> float:
        """Extent along the band in mm."""
        return self.bounds[2] - self.bounds[0]

    @property
    def height_mm(self) -> float:
        """Extent along the way of the band in mm: the depth of a through cut."""
        return self.bounds[3] - self.bounds[1]

    @cached_property
    def area_mm2(self) -> float:
        """Area of solid in mm2, exact for lines and arcs."""
        return math.fsum(loop.area_mm2 for loop in self.loops)

    @property
    def perimeter_mm(self) -> float:
        """Length of all loops, outer and inner, in mm."""
        return math.fsum(loop.perimeter_mm for loop in self.loops)

    def integral(self, moment: Moment) -> float:
        """Integral of moment(x, y) dy along all loops; Green: of its x-derivative over the area."""
        return math.fsum(piece.integral_dy(moment) for loop in self.loops for piece in loop.pieces)

    @cached_property
    def centroid(self) -> Point:
        """Centre of area (mm), exact."""
        x0, y0, x1, y1 = self.bounds
        x, y = (x0 + x1) / 2.0, (y0 + y1) / 2.0
        first = self.integral(lambda u, _: (u - x) ** 2 / 2.0)
        second = self.integral(lambda u, v: (u - x) * (v - y))
        return x + first / self.area_mm2, y + second / self.area_mm2

    def mapped(self, plane: Affine) -> Outline:
        """The outline carried by a plane map."""
        return Outline(tuple(body.mapped(plane) for body in self.bodies))

    def moved(self, dx_mm: float, dy_mm: float) -> Outline:
        """The outline moved, mm."""
        return self.mapped(Affine.shift(dx_mm, dy_mm))

    def turned(self, angle_deg: float) -> Outline:
        """The outline turned about the origin, counter-clockwise positive; quarter turns are exact."""
        return self.mapped(Affine.turn(angle_deg))

    def mirrored(self) -> Outline:
        """The outline mirrored left to right."""
        return self.mapped(Affine.stretch(-1.0, 1.0))

    def scaled_x(self, factor: float) -> Outline:
        """The outline stretched along the band by a positive factor; raises InvalidValue for any other."""
        if not (math.isfinite(factor) and factor > 0.0):
            raise InvalidValue(f"an outline can't be stretched by {factor}")
        return self.mapped(Affine.stretch(factor, 1.0))

    def seated(self) -> Outline:
        """The outline set on the bed of the vise: its lowest point at y = 0, its middle at x = 0."""
        x0, y0, x1, _ = self.bounds
        if x0 + x1 == 0.0 and y0 == 0.0:
            return self
        return self.moved(-(x0 + x1) / 2.0, -y0)
