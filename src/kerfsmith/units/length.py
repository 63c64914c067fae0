"""Units of length and the whole micrometre in which lengths that must add up are kept."""

import math
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from kerfsmith.errors import InvalidValue

UM_PER_MM = 1_000
UM_PER_INCH = 25_400
"""Exact since the international inch of 1959: 25.4 mm (NIST SP 811, appendix B.6)."""
UM_PER_FOOT = 12 * UM_PER_INCH
MM_PER_INCH = 25.4
LONGEST_UM = 1_000_000 * UM_PER_MM
"""No length in a saw room is longer than 1 km; a longer one is a slip of the unit."""


class Measure(StrEnum):
    """The system of measures a person reads in."""

    METRIC = "metric"
    INCH = "inch"


class Unit(StrEnum):
    """A unit in which a length is written."""

    MM = "mm"
    CM = "cm"
    M = "m"
    INCH = "in"
    FOOT = "ft"

    @property
    def um(self) -> int:
        """Whole micrometres in one of this unit (exact)."""
        return _UM_PER_UNIT[self]

    @property
    def measure(self) -> Measure:
        """The system of measures the unit belongs to."""
        return Measure.INCH if self in (Unit.INCH, Unit.FOOT) else Measure.METRIC


_UM_PER_UNIT = {
    Unit.MM: UM_PER_MM,
    Unit.CM: 10 * UM_PER_MM,
    Unit.M: 1_000 * UM_PER_MM,
    Unit.INCH: UM_PER_INCH,
    Unit.FOOT: UM_PER_FOOT,
}


def nearest(value: Fraction) -> int:
    """Nearest whole number to ``value``; a half goes away from zero, as a person rounds."""
    whole = math.floor(abs(value) + Fraction(1, 2))
    return whole if value >= 0 else -whole


def mm_to_um(length_mm: float | Decimal | Fraction) -> int:
    """Whole micrometres nearest to ``length_mm``; raises InvalidValue where it is not a finite number."""
    if isinstance(length_mm, float | Decimal) and not math.isfinite(length_mm):
        raise InvalidValue(f"a length of {length_mm} mm is not a number")
    return nearest(Fraction(length_mm) * UM_PER_MM)


def um_to_mm(length_um: int) -> float:
    """Millimetres of ``length_um`` micrometres."""
    return length_um / UM_PER_MM
