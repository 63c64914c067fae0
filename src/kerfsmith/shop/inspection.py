"""Measured pieces: the first and others at intervals, their length against what the line allows."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class InspectionKind(StrEnum):
    """Why a piece was measured."""

    FIRST_PIECE = "first piece"
    INTERVAL = "interval"
    EXTRA = "extra"


class Verdict(StrEnum):
    """How a measured length stands to its tolerance."""

    WITHIN = "within"
    SHORT = "too short"
    LONG = "too long"
    NO_TOLERANCE = "no tolerance stated"

    @property
    def is_out(self) -> bool:
        """Whether the piece is not as long as it may be."""
        return self in (Verdict.SHORT, Verdict.LONG)


@dataclass(frozen=True, slots=True)
class Inspection:
    """A piece measured: which cut, how long it should be and how far over or under, how long it is.

    ``out_of_square_um`` is how far the face leans over the height of the section as it lay in the saw, whole
    micrometres, never below zero; None where it wasn't measured (square and feeler gauge: common practice).
    """

    id: str
    cut_id: str
    kind: InspectionKind
    nominal_um: int
    plus_um: int | None
    minus_um: int | None
    measured_um: int
    by: str
    at: datetime
    out_of_square_um: int | None = None

    @property
    def verdict(self) -> Verdict:
        """Whether the piece is as long as it may be."""
        return judge(self.measured_um - self.nominal_um, self.plus_um, self.minus_um)


def judge(over_um: int, plus_um: int | None, minus_um: int | None) -> Verdict:
    """Whether a piece that is ``over_um`` over its nominal (below zero: under it) is within tolerance."""
    if plus_um is not None and over_um > plus_um:
        return Verdict.LONG
    if minus_um is not None and over_um < -minus_um:
        return Verdict.SHORT
    return Verdict.NO_TOLERANCE if plus_um is None and minus_um is None else Verdict.WITHIN


def inspection_due(since_measured: int, since_set_up: int, every: int) -> InspectionKind | None:
    """Whether the piece just cut is to be measured.

    ``since_measured`` and ``since_set_up`` count pieces, the one just cut included, since one was measured
    and since the run was set up. One of the first after a set-up is measured, then every ``every``-th (common
    practice); with nothing cut since, nothing is due.
    """
    if 0 < since_set_up <= since_measured:
        return InspectionKind.FIRST_PIECE
    return InspectionKind.INTERVAL if since_measured >= every else None
