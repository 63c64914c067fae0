"""What a saw's index and its squareness leave of a length tolerance."""

import math
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.plan_cost import LineCost
from kerfsmith.costing.which_saw.saw_year import SawYear
from kerfsmith.cutting.present import ways_to_lie
from kerfsmith.units.iso2768 import ToleranceClass, deviation_um
from kerfsmith.units.length import um_to_mm

SQUARENESS = 0.002
"""Out of square per height of cut that a sound saw and band hold (0.002 in an inch: common practice)."""


class Verdict(StrEnum):
    """Whether a saw keeps a tolerance."""

    HOLDS = "holds"
    USUALLY = "usually holds"
    CANNOT = "can't be promised"
    UNTOLD = "no tolerance known"


@dataclass(frozen=True, slots=True)
class LengthCheck:
    """One line's tolerance against the saw, mm: the whole width allowed, and how wide lengths spread.

    ``worst_mm``: every stroke off by the index accuracy the same way, twice, and out of square.
    ``usual_mm``: the strokes' errors independent, so that they grow with the root of their number.
    ``stated`` is whether the tolerance is the customer's own; else it is ISO 2768-1 class m.
    """

    line: LineCost
    strokes: int
    allowed_mm: float | None
    worst_mm: float
    usual_mm: float
    stated: bool

    @property
    def verdict(self) -> Verdict:
        """What can be promised."""
        if self.allowed_mm is None:
            return Verdict.UNTOLD
        if self.worst_mm <= self.allowed_mm:
            return Verdict.HOLDS
        return Verdict.USUALLY if self.usual_mm <= self.allowed_mm else Verdict.CANNOT


def check_lengths(year: SawYear) -> tuple[LengthCheck, ...]:
    """Every line the saw cuts."""
    return tuple(_check(line, year.saw) for line in year.lines)


def verdict_shares(checks: tuple[LengthCheck, ...], year: SawYear) -> dict[Verdict, float]:
    """Share of the year's pieces by verdict."""
    whole = float(year.pieces_a_year)
    found = dict.fromkeys(Verdict, 0.0)
    for check in checks:
        found[check.verdict] += float(year.pieces(check.line)) / whole
    return found


def _check(line: LineCost, saw: SawSheet) -> LengthCheck:
    order = line.line
    square = line.group.settings[0]
    ways = ways_to_lie(order.section)
    height = next((way for way in ways if way.name == square.lie), ways[0]).outline.height_mm
    strokes = saw.strokes(um_to_mm(order.length_um + square.kerf_um))
    skew = SQUARENESS * height
    stated = order.plus_um is not None and order.minus_um is not None
    if order.plus_um is not None and order.minus_um is not None:
        allowed: float | None = um_to_mm(order.plus_um + order.minus_um)
    else:
        each = deviation_um(ToleranceClass.MEDIUM, order.length_um)
        allowed = um_to_mm(2 * each) if each is not None else None
    index = 2 * saw.index_accuracy_mm
    return LengthCheck(
        line, strokes, allowed, index * strokes + skew, index * math.sqrt(strokes) + skew, stated
    )
