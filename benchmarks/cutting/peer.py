"""The same cut written plainly: shapely for the chords, scipy's quad for the integral, one depth at a time.

It shares no code with the engine; it is what a careful person would write in an afternoon.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import log

from scipy.integrate import quad
from shapely import LineString, Polygon, get_parts, prepare, unary_union  # type: ignore[import-untyped]  # no types

from kerfsmith.geometry.outline import Loop, Outline
from kerfsmith.geometry.pieces import Line


@dataclass(frozen=True, slots=True)
class Numbers:
    """Everything a cut is reckoned with, plain floats in the units of their names."""

    speed_m_per_min: float
    mean_mm: float
    fine_mm: float
    coarse_mm: float
    kerf_mm: float
    rate_cm2_per_min: float
    rate_most_cm2_per_min: float
    chip_least_um: float
    chip_most_um: float
    fill_most: float
    bulking: float
    motor_kw: float
    push_n: float
    force_ratio: float
    feed_most_mm_per_min: float
    kienzle: tuple[tuple[float, float], ...]
    unit_kw_per_cm3_per_s: float


def polygon(outline: Outline, per_arc: int) -> Polygon:
    """The section as a polygon, every arc in ``per_arc`` straight pieces."""

    def ring(loop: Loop) -> list[tuple[float, float]]:
        points: list[tuple[float, float]] = []
        for piece in loop.pieces:
            count = 1 if isinstance(piece, Line) else per_arc
            points += [piece.start, *(piece.at(k / count) for k in range(1, count))]
        return points

    solid = unary_union([Polygon(ring(b.outer), [ring(h) for h in b.holes]) for b in outline.bodies])
    prepare(solid)
    return solid


class PlainCut:
    """One section under one set of numbers."""

    def __init__(self, outline: Outline, numbers: Numbers, per_arc: int) -> None:
        self.solid = polygon(outline, per_arc)
        self.numbers = numbers
        self.left, self.low, self.right, self.top = outline.bounds
        corners = {piece.start[1] for loop in outline.loops for piece in loop.pieces}
        self.breaks = sorted({0.0, self.top - self.low, *(self.top - y for y in corners)})

    def chords(self, depth: float) -> list[float]:
        """Lengths of the band's chords at a depth, mm."""
        y = self.top - depth
        cut = self.solid.intersection(LineString([(self.left - 1, y), (self.right + 1, y)]))
        return [part.length for part in get_parts(cut) if part.length > 0]

    def feed(self, depth: float) -> float:
        """The greatest feed that no limit forbids, mm/min."""
        n, chords = self.numbers, self.chords(depth)
        if not chords:
            return n.feed_most_mm_per_min
        width, per_um = sum(chords), n.speed_m_per_min / n.mean_mm
        travel = self.top - self.low
        gullet = min(0.4 * n.coarse_mm, travel / 2)
        inner = self.chords(min(max(depth, gullet), travel - gullet)) or chords
        teeth = min(sum(inner) / len(inner) / n.coarse_mm, 3.0)
        bite = (n.chip_least_um + (n.chip_most_um - n.chip_least_um) * teeth / 3) * per_um
        packed = n.fill_most * 0.3 * n.fine_mm * n.speed_m_per_min * 1000 / (n.bulking * max(chords))
        wear = max(
            n.rate_cm2_per_min * 100 / width,
            min(n.rate_most_cm2_per_min * 100 / width, n.chip_least_um * per_um),
        )
        push_kw = n.push_n * n.speed_m_per_min / 60_000 / n.force_ratio
        return min(bite, packed, wear, self._driven(width, min(n.motor_kw, push_kw)), n.feed_most_mm_per_min)

    def _driven(self, width: float, power_kw: float) -> float:
        """Feed at which the most demanding method takes ``power_kw``, by halving."""
        low, high = 0.0, 1e5
        for _ in range(200):
            middle = (low + high) / 2
            if self._power(width, middle) > power_kw:
                high = middle
            else:
                low = middle
            if high - low < 1e-13 * high:
                break
        return low

    def _power(self, width: float, feed: float) -> float:
        n = self.numbers
        chip_mm = feed * n.mean_mm / n.speed_m_per_min / 1000
        volume = feed * width * n.kerf_mm / 60
        by_force = [float(kc11 * max(chip_mm, 0.002) ** -mc * volume / 1e6) for kc11, mc in n.kienzle]
        return max(*by_force, n.unit_kw_per_cm3_per_s * _feed_factor(chip_mm) * volume / 1000)

    def minutes(self, rel: float = 1e-8) -> float:
        """Time of the cut by adaptive quadrature between the section's corners and the gullet's depth."""
        travel = self.top - self.low
        gullet = min(0.4 * self.numbers.coarse_mm, travel / 2)
        ends = sorted({*self.breaks, gullet, travel - gullet})
        total = 0.0
        for above, below in pairwise(ends):
            if below - above > 1e-9:
                total += quad(
                    lambda depth: 1 / self.feed(depth), above, below, epsrel=rel, epsabs=0, limit=400
                )[0]
        return total


_POINTS = ((0.0254, 1.60), (0.0508, 1.40), (0.127, 1.19), (0.254, 1.04), (0.3048, 1.00))


def _feed_factor(chip_mm: float) -> float:
    if chip_mm <= _POINTS[0][0]:
        return _POINTS[0][1]
    for (h0, c0), (h1, c1) in pairwise(_POINTS):
        if chip_mm <= h1:
            return float(c0 * (c1 / c0) ** (log(chip_mm / h0) / log(h1 / h0)))
    return _POINTS[-1][1]
