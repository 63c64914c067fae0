"""Plane maps that carry an outline to where the band meets it: moved, turned, mirrored, stretched."""

from __future__ import annotations

import math
from dataclasses import dataclass

Point = tuple[float, float]
"""(x, y) in mm: x along the band, y up."""


def cos_sin(angle_deg: float) -> tuple[float, float]:
    """Cosine and sine of an angle in degrees, exact at every quarter turn.

    A section turned by 90 degrees must keep its flat sides flat: a residue of 1e-16 would make a sloping one.
    """
    quarter, rest = divmod(angle_deg, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarter) % 4]
    angle = math.radians(angle_deg)
    return math.cos(angle), math.sin(angle)


@dataclass(frozen=True, slots=True)
class Affine:
    """x' = xx x + xy y + dx and y' = yx x + yy y + dy; the four factors are pure numbers, dx and dy in mm."""

    xx: float = 1.0
    xy: float = 0.0
    yx: float = 0.0
    yy: float = 1.0
    dx: float = 0.0
    dy: float = 0.0

    @classmethod
    def shift(cls, dx_mm: float, dy_mm: float) -> Affine:
        """Move without turning."""
        return cls(dx=dx_mm, dy=dy_mm)

    @classmethod
    def turn(cls, angle_deg: float) -> Affine:
        """Turn about the origin, counter-clockwise positive."""
        c, s = cos_sin(angle_deg)
        return cls(xx=c, xy=-s, yx=s, yy=c)

    @classmethod
    def stretch(cls, factor_x: float, factor_y: float) -> Affine:
        """Stretch along x and y from the origin; a negative factor mirrors."""
        return cls(xx=factor_x, yy=factor_y)

    @property
    def determinant(self) -> float:
        """By what the map multiplies areas; negative where it mirrors."""
        return self.xx * self.yy - self.xy * self.yx

    def point(self, p: Point) -> Point:
        """Where a point goes (mm)."""
        x, y = p
        return self.xx * x + self.xy * y + self.dx, self.yx * x + self.yy * y + self.dy

    def vector(self, v: Point) -> Point:
        """Where a free vector goes (mm)."""
        x, y = v
        return self.xx * x + self.xy * y, self.yx * x + self.yy * y
