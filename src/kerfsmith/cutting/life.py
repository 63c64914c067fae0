"""How much a band cuts before it is worn, and what one cut costs in saw time and band."""

from dataclasses import dataclass

from kerfsmith.catalog.band import Band, Edge
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.models import taylor_1907

REFERENCE_LENGTH_MM = 4600.0
"""Length of the band for which lives are given; a longer band has more teeth and lasts in proportion."""


@dataclass(frozen=True, slots=True)
class LifeSpan:
    """Area a band cuts in its life, cm2: low, usual and high."""

    low: float
    usual: float
    high: float

    def as_tuple(self) -> tuple[float, float, float]:
        """Low, usual, high."""
        return self.low, self.usual, self.high


def band_life(
    grade: Grade, saw: SawSheet, band: Band, speed_ratio: float, corrections: Corrections
) -> LifeSpan | None:
    """Area cut in a band's life when it runs at ``speed_ratio`` of the speed the grade wants.

    The grade's own life with a bimetal band, times the edge's factor, in proportion to the band's length, by
    the Taylor type law with the rate in proportion to speed. None where no figure is known. Slower than
    wanted gains nothing: only the part above 1 is used, since below it wear by rubbing sets in (derived).
    """
    base = grade.band_life or band.life_area_cm2
    exponents = taylor_1907.EXPONENT.get(band.edge.value)
    if base is None or exponents is None:
        return None
    edge = (1.0, 1.0, 1.0)
    if band.edge is Edge.CARBIDE:
        edge = (corrections.carbide_life.low, corrections.carbide_life.value, corrections.carbide_life.high)
    length = saw.band_length_mm / REFERENCE_LENGTH_MM
    ratio = max(speed_ratio, 1.0)
    ends = zip((base.low, base.value, base.high), edge, exponents, strict=True)
    return LifeSpan(*(taylor_1907.life_area_cm2(area * each * length, ratio, n) for area, each, n in ends))


@dataclass(frozen=True, slots=True)
class CutCost:
    """One cut in the shop's currency: saw time, band worn and the share of changing it, with its interval."""

    saw: float
    band: float
    change: float
    low: float
    high: float

    @property
    def total(self) -> float:
        """All together."""
        return self.saw + self.band + self.change


def cut_cost(saw: SawSheet, band: Band, seconds: float, area_cm2: float, life: LifeSpan) -> CutCost:
    """Cost of a cut: time at the saw's rate, and its share of a band and of changing it.

    c = t r + (P + t_change r) A / A_life (derived). Low and high come from the span of life and price.
    """
    rate = saw.rate_per_hour / 3600
    metres = saw.band_length_mm / 1000
    change = saw.cycle.band_change_s * rate
    price = band.price_per_m

    def worn(per_m: float, life_cm2: float) -> float:
        return (per_m * metres + change) * area_cm2 / life_cm2

    time = seconds * rate
    return CutCost(
        saw=time,
        band=price.value * metres * area_cm2 / life.usual,
        change=change * area_cm2 / life.usual,
        low=time + worn(price.low, life.high),
        high=time + worn(price.high, life.low),
    )
