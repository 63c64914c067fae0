"""Lengths as a saw can hold them: what is dialled in, and whether the index keeps the tolerance."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.iso2768 import ToleranceClass, deviation_um
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.told import Told, how_many, quantity, sentence

DIAL_UM = 10
"""A counter shows no finer step: 0.01 mm."""

SQUARENESS = 0.002
"""Out of square per height of cut that a sound saw and band hold (0.002 in an inch: common practice)."""


def over_um(line: OrderLine) -> int:
    """How much over its nominal length a piece is dialled in: the middle of what is allowed [um].

    Nothing where the tolerance is the same both ways, or not stated both ways. Aiming for the middle leaves
    the saw's error the same room on either side (common practice where +x/-0 is asked for); the nominal
    length there would make every second piece scrap. Cut down to whole hundredths of a millimetre, towards
    the nominal length.
    """
    if line.plus_um is None or line.minus_um is None:
        return 0
    middle = (line.plus_um - line.minus_um) / 2
    return int(middle / DIAL_UM) * DIAL_UM


def spare_um(line: OrderLine) -> int:
    """How much longer than it is dialled a piece may be [um]; nothing where no tolerance is stated."""
    return max(0, (line.plus_um or 0) - over_um(line))


class Promise(StrEnum):
    """Whether the saw's index keeps a length."""

    HOLDS = "holds"
    FIRST_PIECE = "holds once the first piece is checked"
    CANNOT = "can't be promised"
    UNTOLD = "no tolerance stated"


@dataclass(frozen=True, slots=True)
class LengthSpread:
    """How far a piece's length may lie from the length dialled in, either way, mm.

    ``worst_mm``: every stroke off by the index accuracy the same way, n x e (the plain sum of limits, which
    holds whatever the errors' cause). ``usual_mm``: the strokes' errors independent of each other, so that
    they add by the root of the sum of squares, e x sqrt(n) (JCGM 100:2008, 5.1.2, equation 10, for equal and
    uncorrelated contributions). ``allowed_mm`` is half of what the tolerance allows, since the middle is
    aimed for; None where nothing is known both ways.
    """

    line: OrderLine
    strokes: int
    worst_mm: float
    usual_mm: float
    allowed_mm: float | None

    @property
    def promise(self) -> Promise:
        """HOLDS by the plain sum; FIRST_PIECE where only the root of squares is within: a saw that is off by
        the same bit at each stroke shows it on the first piece, which then corrects the dial."""
        if self.allowed_mm is None:
            return Promise.UNTOLD
        if self.worst_mm <= self.allowed_mm + 1e-9:
            return Promise.HOLDS
        return Promise.FIRST_PIECE if self.usual_mm <= self.allowed_mm + 1e-9 else Promise.CANNOT


def spread(
    line: OrderLine, saw: SawSheet, kerf_um: int, otherwise: ToleranceClass | None = None
) -> LengthSpread:
    """The spread of one line's lengths on one saw; the shuttle brings forward piece and kerf.

    ``otherwise`` is the class of ISO 2768-1 that a length without a tolerance both ways is held to, if any.
    """
    strokes = saw.strokes(um_to_mm(line.length_um + over_um(line) + kerf_um))
    error_mm = saw.index_accuracy_mm
    allowed = None
    if line.plus_um is not None and line.minus_um is not None:
        allowed = um_to_mm(line.plus_um + line.minus_um) / 2
    elif otherwise is not None:
        either_um = deviation_um(otherwise, line.length_um)
        allowed = um_to_mm(either_um) if either_um is not None else None
    return LengthSpread(line, strokes, strokes * error_mm, math.sqrt(strokes) * error_mm, allowed)


def unpromised(lines: Iterable[OrderLine], saw: SawSheet, kerf_um: int) -> int:
    """How many pieces have a tolerance that this saw's index can't promise."""
    return sum(line.quantity for line in lines if spread(line, saw, kerf_um).promise is Promise.CANNOT)


def length_notes(lines: Iterable[OrderLine], saw: SawSheet, kerf_um: int) -> tuple[Told, ...]:
    """A sentence for each line whose tolerance the saw's index doesn't hold by itself."""
    found = (spread(line, saw, kerf_um) for line in lines)
    return tuple(_says(one, saw) for one in found if one.promise in (Promise.FIRST_PIECE, Promise.CANNOT))


def _says(one: LengthSpread, saw: SawSheet) -> Told:
    strokes = how_many("1 stroke", "{count} strokes", one.strokes)
    allowed = quantity(one.allowed_mm or 0.0, "mm")
    worst, usual = quantity(one.worst_mm, "mm"), quantity(one.usual_mm, "mm")
    mark, name = one.line.mark, saw.name
    if one.promise is Promise.FIRST_PIECE:
        return sentence(
            "{mark} needs a first-piece check: ±{allowed} around the length dialled is "
            "allowed; {name} indexes it in {strokes} and may be ±{worst} off if all err the "
            "same way, usually ±{usual}",
            mark=mark,
            allowed=allowed,
            name=name,
            strokes=strokes,
            worst=worst,
            usual=usual,
        )
    return sentence(
        "{mark} can't be promised by the index: ±{allowed} around the length dialled is "
        "allowed, and {name} may be ±{usual} off in {strokes}; measure each piece, or cut "
        "over-long and finish it",
        mark=mark,
        allowed=allowed,
        name=name,
        usual=usual,
        strokes=strokes,
    )
