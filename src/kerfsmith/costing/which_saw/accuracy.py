"""What a saw's index leaves of a length tolerance, and how far its cuts lean."""

from dataclasses import dataclass

from kerfsmith.costing.plan_cost import LineCost
from kerfsmith.costing.which_saw.saw_year import SawYear
from kerfsmith.cutting.present import ways_to_lie
from kerfsmith.planning.lengths import SQUARENESS, LengthSpread, Promise, spread
from kerfsmith.units.iso2768 import ToleranceClass


@dataclass(frozen=True, slots=True)
class LengthCheck:
    """One line against the saw: how its lengths spread by the plan's rule, and how far its faces lean, mm.

    ``stated`` is whether the tolerance is the customer's own; else it is ISO 2768-1 class m. A lean is told
    beside the length and not counted into it: both ends are sawn by the same band and lean alike, so that
    the length along the bar stays; size and squareness are asked for independently of each other (ISO 8015).
    """

    line: LineCost
    spread: LengthSpread
    out_of_square_mm: float
    stated: bool

    @property
    def verdict(self) -> Promise:
        """What can be promised of the length."""
        return self.spread.promise


def check_lengths(year: SawYear) -> tuple[LengthCheck, ...]:
    """Every line the saw cuts."""
    return tuple(_check(line, year) for line in year.lines)


def verdict_shares(checks: tuple[LengthCheck, ...], year: SawYear) -> dict[Promise, float]:
    """Share of the year's pieces by verdict."""
    whole = float(year.pieces_a_year)
    found = dict.fromkeys(Promise, 0.0)
    for check in checks:
        found[check.verdict] += float(year.pieces(check.line)) / whole
    return found


def _check(line: LineCost, year: SawYear) -> LengthCheck:
    order, square = line.line, line.group.settings[0]
    ways = ways_to_lie(order.section)
    height_mm = next((way for way in ways if way.name == square.lie), ways[0]).outline.height_mm
    stated = order.plus_um is not None and order.minus_um is not None
    found = spread(order, year.saw, square.kerf_um, otherwise=ToleranceClass.MEDIUM)
    return LengthCheck(line, found, SQUARENESS * height_mm, stated)
