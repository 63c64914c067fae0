"""The two kinds of piece a section's boundary is made of: straight lines and arcs, both exact.

An arc is kept as centre and two conjugate half-diameters, so that it stays exact under every plane map: the
arc of a circle that a mitre stretches is the arc of an ellipse, and no polygon ever stands in for it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.affine import Affine, Point, cos_sin
from kerfsmith.units.told import Told

_ON_CURVE = 1e-6  # relative: how far an arc's end may stand off its own curve

_FULL_TURN = 2.0 * math.pi


Moment = Callable[[float, float], float]
"""A function of x and y (mm) along a boundary."""


def _finite(*points: Point) -> None:
    # One sum in place of a test for each: a coordinate that isn't finite leaves it so.
    if not math.isfinite(sum(x + y for x, y in points)):
        raise InvalidValue(f"a coordinate isn't a finite number: {points}")


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece from ``start`` to ``end`` (mm). Raises InvalidValue when it has no length."""

    start: Point
    end: Point

    def __post_init__(self) -> None:
        _finite(self.start, self.end)
        if self.start == self.end:
            raise InvalidValue(f"a line without length at {self.start}")

    @property
    def length_mm(self) -> float:
        """Length in mm."""
        return math.dist(self.start, self.end)

    @property
    def middle(self) -> Point:
        """The point half way along (mm)."""
        return (self.start[0] + self.end[0]) / 2.0, (self.start[1] + self.end[1]) / 2.0

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """x_min, y_min, x_max, y_max in mm."""
        (x0, y0), (x1, y1) = self.start, self.end
        return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)

    @property
    def swept_area_mm2(self) -> float:
        """Signed area between the piece and the origin, half the integral of x dy - y dx."""
        return (self.start[0] * self.end[1] - self.end[0] * self.start[1]) / 2.0

    def reversed(self) -> Line:
        """The same piece, walked the other way."""
        return Line(self.end, self.start)

    def mapped(self, plane: Affine) -> Line:
        """The piece carried by a plane map."""
        return Line(plane.point(self.start), plane.point(self.end))

    def at(self, fraction: float) -> Point:
        """The point at a fraction of the way from start to end (mm)."""
        (x0, y0), (x1, y1) = self.start, self.end
        return x0 + fraction * (x1 - x0), y0 + fraction * (y1 - y0)

    def integral_dy(self, moment: Moment) -> float:
        """Integral of moment(x, y) dy along the piece; exact for polynomials up to the fifth degree."""
        dy = self.end[1] - self.start[1]
        root = math.sqrt(0.15)
        ends = moment(*self.at(0.5 - root)) + moment(*self.at(0.5 + root))
        return dy * (5.0 * ends + 8.0 * moment(*self.middle)) / 18.0


@dataclass(frozen=True, slots=True)
class Arc:
    """A piece of an ellipse (a circle, as a rule) from ``start`` to ``end``, both in mm.

    Its curve is centre + p cos t + q sin t with the conjugate half-diameters p and q (mm), p to q turning
    counter-clockwise. ``ccw`` tells which way round the piece is walked. A whole circle takes two arcs.

    Raises InvalidValue when the ends don't lie on the curve, coincide, or p and q span no area.
    """

    start: Point
    end: Point
    centre: Point
    p: Point
    q: Point
    ccw: bool = True
    start_rad: float = field(init=False, repr=False, compare=False)
    """Parameter t at the start, radians."""
    sweep_rad: float = field(init=False, repr=False, compare=False)
    """Parameter swept from start to end, radians; negative when walked clockwise."""

    def __post_init__(self) -> None:
        _finite(self.start, self.end, self.centre, self.p, self.q)
        if self.start == self.end:
            raise InvalidValue(
                f"an arc must end where it doesn't start; make a circle of two arcs ({self.start})"
            )
        if self.cross_mm2 <= 0.0:
            raise InvalidValue(
                Told("an arc's half-diameters must span an area, counter-clockwise from p to q")
            )
        angles = []
        for name, point in (("start", self.start), ("end", self.end)):
            c, s = self._cos_sin_of(point)
            if abs(math.hypot(c, s) - 1.0) > _ON_CURVE:
                raise InvalidValue(
                    f"the {name} of an arc, {point}, doesn't lie on its curve about {self.centre}"
                )
            angles.append(math.atan2(s, c))
        turn = angles[1] - angles[0]
        sweep = turn % _FULL_TURN if self.ccw else -((-turn) % _FULL_TURN)
        object.__setattr__(self, "start_rad", angles[0])
        object.__setattr__(self, "sweep_rad", sweep)

    @classmethod
    def of_circle(cls, start: Point, end: Point, centre: Point, *, ccw: bool = True) -> Arc:
        """The arc of a circle about ``centre`` from ``start`` to ``end`` (mm)."""
        radius = (math.dist(start, centre) + math.dist(end, centre)) / 2.0
        return cls(start, end, centre, (radius, 0.0), (0.0, radius), ccw)

    @classmethod
    def by_angles(
        cls, centre: Point, radius_mm: float, start_deg: float, end_deg: float, *, ccw: bool = True
    ) -> Arc:
        """The arc of a circle between two directions seen from its centre, in degrees from the x axis."""
        (c0, s0), (c1, s1) = cos_sin(start_deg), cos_sin(end_deg)
        x, y = centre
        start, end = (x + radius_mm * c0, y + radius_mm * s0), (x + radius_mm * c1, y + radius_mm * s1)
        return cls(start, end, centre, (radius_mm, 0.0), (0.0, radius_mm), ccw)

    @classmethod
    def by_bulge(cls, start: Point, end: Point, bulge: float) -> Arc:
        """The arc of a circle given by its ends and its bulge, tan(swept angle / 4).

        A positive bulge is walked counter-clockwise (the convention of drawing-exchange polylines). Raises
        InvalidValue when the bulge is 0 (that is a line) or the ends coincide.
        """
        if bulge == 0.0 or start == end:
            raise InvalidValue(Told("a bulge of 0 is a line, and an arc by bulge needs two different ends"))
        (x0, y0), (x1, y1) = start, end
        # From the middle of the chord to the centre: chord / 2 * (1 - bulge^2) / (2 bulge), to its left.
        rise = (1.0 - bulge * bulge) / (4.0 * bulge)
        centre = ((x0 + x1) / 2.0 - rise * (y1 - y0), (y0 + y1) / 2.0 + rise * (x1 - x0))
        return cls.of_circle(start, end, centre, ccw=bulge > 0.0)

    @property
    def cross_mm2(self) -> float:
        """p x q, the area of the curve over pi (mm2); r squared for a circle."""
        return self.p[0] * self.q[1] - self.p[1] * self.q[0]

    def _cos_sin_of(self, point: Point) -> Point:
        vx, vy = point[0] - self.centre[0], point[1] - self.centre[1]
        cross = self.cross_mm2
        return (vx * self.q[1] - vy * self.q[0]) / cross, (self.p[0] * vy - self.p[1] * vx) / cross

    @property
    def is_circular(self) -> bool:
        """Whether the curve is a circle (to one part in a million million)."""
        (px, py), (qx, qy) = self.p, self.q
        size = self.cross_mm2
        return (
            abs(px * qx + py * qy) <= 1e-12 * size
            and abs(px * px + py * py - qx * qx - qy * qy) <= 1e-12 * size
        )

    @property
    def radius_mm(self) -> float:
        """Radius of a circular arc in mm; of an elliptic one, the radius of the circle of equal area."""
        return math.sqrt(self.cross_mm2)

    @property
    def half_axes(self) -> tuple[float, float, float]:
        """Greater and lesser half-axis in mm, and the greater's direction in degrees (0 for a circle)."""
        if self.is_circular:
            return self.radius_mm, self.radius_mm, 0.0
        axes = np.linalg.svd(np.array([[self.p[0], self.q[0]], [self.p[1], self.q[1]]]))
        direction = math.degrees(math.atan2(axes.U[1, 0], axes.U[0, 0]))
        return float(axes.S[0]), float(axes.S[1]), direction

    def at_rad(self, t: float) -> Point:
        """The point of the curve at parameter t in radians (mm)."""
        c, s = math.cos(t), math.sin(t)
        x, y = self.centre
        return x + self.p[0] * c + self.q[0] * s, y + self.p[1] * c + self.q[1] * s

    def at(self, fraction: float) -> Point:
        """The point at a fraction of the sweep from start to end (mm)."""
        return self.at_rad(self.start_rad + fraction * self.sweep_rad)

    @property
    def middle(self) -> Point:
        """The point half way along the sweep (mm)."""
        return self.at(0.5)

    def passes_rad(self, t: float) -> bool:
        """Whether the piece passes the curve's point at parameter t, its ends left out."""
        sweep = self.sweep_rad
        walked = (t - self.start_rad) % _FULL_TURN if sweep > 0.0 else (self.start_rad - t) % _FULL_TURN
        return 0.0 < walked < abs(sweep)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """x_min, y_min, x_max, y_max in mm, with the arc's own extremes where it passes them."""
        found = [[self.start[0], self.end[0]], [self.start[1], self.end[1]]]
        for axis in (0, 1):
            reach = math.hypot(self.p[axis], self.q[axis])
            top = math.atan2(self.q[axis], self.p[axis])
            if self.passes_rad(top):
                found[axis].append(self.centre[axis] + reach)
            if self.passes_rad(top + math.pi):
                found[axis].append(self.centre[axis] - reach)
        return min(found[0]), min(found[1]), max(found[0]), max(found[1])

    @property
    def swept_area_mm2(self) -> float:
        """Signed area between the piece and the origin, half the integral of x dy - y dx."""
        (x0, y0), (x1, y1), (cx, cy) = self.start, self.end, self.centre
        return (cx * (y1 - y0) - cy * (x1 - x0) + self.cross_mm2 * self.sweep_rad) / 2.0

    @property
    def length_mm(self) -> float:
        """Length in mm: radius times sweep; for an ellipse by 40-point Gauss quadrature on four parts."""
        if self.is_circular:
            return self.radius_mm * abs(self.sweep_rad)
        nodes, weights = np.polynomial.legendre.leggauss(40)
        quarter = self.sweep_rad / 4.0
        t = self.start_rad + quarter * (np.arange(4)[:, None] + (nodes + 1.0) / 2.0)
        speed = np.hypot(
            self.q[0] * np.cos(t) - self.p[0] * np.sin(t), self.q[1] * np.cos(t) - self.p[1] * np.sin(t)
        )
        return float(abs(quarter) / 2.0 * (speed @ weights).sum())

    def reversed(self) -> Arc:
        """The same piece, walked the other way."""
        return Arc(self.end, self.start, self.centre, self.p, self.q, not self.ccw)

    def mapped(self, plane: Affine) -> Arc:
        """The piece carried by a plane map; it stays exact."""
        p, q = plane.vector(self.p), plane.vector(self.q)
        ccw = self.ccw
        if plane.determinant < 0.0:
            q, ccw = (-q[0], -q[1]), not ccw
        return Arc(plane.point(self.start), plane.point(self.end), plane.point(self.centre), p, q, ccw)

    def integral_dy(self, moment: Moment) -> float:
        """Integral of moment(x, y) dy along the piece; exact for polynomials up to the fourth degree.

        The integrand is then a trigonometric polynomial in t of degree 5 at most; eleven samples give its
        Fourier coefficients without error and each term is integrated in closed form.
        """
        count = 11
        t = np.arange(count) * (_FULL_TURN / count)
        values = []
        for angle in t:
            x, y = self.at_rad(float(angle))
            values.append(moment(x, y) * (self.q[1] * math.cos(angle) - self.p[1] * math.sin(angle)))
        coefficients = np.fft.rfft(np.array(values)) / count
        t0, t1 = self.start_rad, self.start_rad + self.sweep_rad
        order = np.arange(1, coefficients.size)
        waves = (np.exp(1j * order * t1) - np.exp(1j * order * t0)) / (1j * order)
        return float(coefficients[0].real * (t1 - t0) + 2.0 * (coefficients[1:] * waves).sum().real)


Piece = Line | Arc
"""What a boundary is made of."""
