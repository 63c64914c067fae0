"""This band: one band of the catalog that exists, from the crib over the saws to the scrap."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from kerfsmith.errors import InvalidValue


class RemovalReason(StrEnum):
    """Why a band came off a saw."""

    WORN = "worn"
    TEETH_STRIPPED = "teeth stripped"
    BROKEN = "broken"
    CUTS_CROOKED = "cuts crooked"
    ROUGH_FACE = "rough face"
    OTHER_WORK = "other work"
    OTHER = "other"

    @property
    def ends_band(self) -> bool:
        """Whether the band is fit for nothing more; of one that cuts crooked a person says so."""
        return self in (RemovalReason.WORN, RemovalReason.TEETH_STRIPPED, RemovalReason.BROKEN)


@dataclass(frozen=True, slots=True)
class Mounting:
    """One stay of a band on a saw; ``removed_at`` and ``why`` are None while it is on."""

    id: str
    band_id: str
    saw: str
    mounted_at: datetime
    mounted_by: str
    removed_at: datetime | None = None
    removed_by: str = ""
    why: RemovalReason | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class ThisBand:
    """A band by its own label. ``kind`` is its id in the catalog.

    ``cut_cm2`` is what it has cut, earlier work before these records (``cut_before_cm2``) included.
    ``break_in_cm2`` is the area over which it is broken in. ``retired`` says why it will not be used again,
    None while it may be.

    Raises InvalidValue for an area below zero or a band without label.
    """

    id: str
    kind: str
    break_in_cm2: float = 0.0
    cut_before_cm2: float = 0.0
    cut_cm2: float = 0.0
    saw: str | None = None
    retired: RemovalReason | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if not self.id.strip() or not self.kind.strip():
            raise InvalidValue("a band has a label and a kind")
        if min(self.break_in_cm2, self.cut_before_cm2) < 0 or self.cut_cm2 < -1e-6:
            raise InvalidValue(f"band {self.id}: areas can't be below zero")

    @property
    def break_in_left_cm2(self) -> float:
        """Area still to be cut at the break-in feed."""
        return max(0.0, self.break_in_cm2 - self.cut_cm2)

    @property
    def is_in_crib(self) -> bool:
        """Whether it lies ready to be mounted."""
        return self.saw is None and self.retired is None
