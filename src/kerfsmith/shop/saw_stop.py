"""Stops: why a saw stood still, and for how long."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum


class StopReason(StrEnum):
    """Why a saw stands."""

    BAND_CHANGE = "band change"
    NO_MATERIAL = "no material"
    NO_OPERATOR = "no operator"
    MEASURING = "measuring"
    CHIPS_OR_COOLANT = "chips or coolant"
    FAULT = "fault"
    SAFETY = "safety"
    SHIFT_END = "shift end"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Stop:
    """One standstill of a saw; ``ended_at`` is None while it lasts."""

    id: str
    saw: str
    run_id: str | None
    reason: StopReason
    note: str
    began_at: datetime
    began_by: str
    ended_at: datetime | None = None
    ended_by: str = ""

    def lasted(self, now: datetime) -> timedelta:
        """How long it lasted, or has lasted by ``now``."""
        return (self.ended_at or now) - self.began_at
