"""The shop's hours as people know them: shifts of each saw, people, planned stops, days away, the crane.

Shop data: what stands here until the shop says otherwise is common practice.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, time

from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.calendar import Hours
from kerfsmith.scheduling.from_plan import WeekRules
from kerfsmith.scheduling.shifts import Shift
from kerfsmith.scheduling.unattended import UnattendedRules

EARLY, LATE, NIGHT = time(6), time(14), time(22)


def _usual_shifts() -> tuple[Shift, ...]:
    """Two shifts from Monday to Friday, the nights between them unattended, Saturday morning on request."""
    days = [
        shift for weekday in range(5) for shift in (Shift(weekday, EARLY, LATE), Shift(weekday, LATE, NIGHT))
    ]
    nights = [Shift(weekday, NIGHT, EARLY, Hours.UNATTENDED, 0) for weekday in range(4)]
    return (*days, *nights, Shift(5, EARLY, LATE, Hours.OVERTIME))


def _usual_crew() -> tuple[Shift, ...]:
    """Two people in each shift, two on a Saturday that is asked for."""
    weekdays = [Shift(weekday, EARLY, NIGHT, people=2) for weekday in range(5)]
    return (*weekdays, Shift(5, EARLY, LATE, people=2))


USUAL_SHIFTS = _usual_shifts()
USUAL_CREW = _usual_crew()


@dataclass(frozen=True, slots=True)
class PlannedStop:
    """A time in which a saw stands, by the shop's clock: service, or a fault with the end that is expected.

    ``until_told`` marks a standstill whose end somebody has guessed.
    """

    saw: str
    begin: datetime
    end: datetime
    why: str
    until_told: bool = False

    def __post_init__(self) -> None:
        if self.end <= self.begin:
            raise InvalidValue("a stop ends after it begins")


@dataclass(frozen=True, slots=True)
class SawHours:
    """The shifts of one saw, week after week."""

    saw: str
    shifts: tuple[Shift, ...]


@dataclass(frozen=True, slots=True)
class ShopHours:
    """Hours of the whole room. A saw that isn't named has the usual shifts; ``crew`` empty: people enough.

    ``crane`` None means a crane at every saw. ``due_at`` is when a piece is wanted on its due day; the rest
    are limits of unattended work, as in `unattended.UnattendedRules`.
    """

    saws: tuple[SawHours, ...] = ()
    crew: tuple[Shift, ...] = USUAL_CREW
    stops: tuple[PlannedStop, ...] = ()
    away: tuple[date, ...] = ()
    crane: int | None = 1
    due_at: time = time(16)
    most_piece_kg: float = 25.0
    longest_piece_mm: float = 1000.0
    longest_bar_mm: float = 6500.0

    def __post_init__(self) -> None:
        if self.crane is not None and self.crane < 1:
            raise InvalidValue("with no crane at all say that there is one at every saw")
        self.rules()

    def of(self, saw: str) -> tuple[Shift, ...]:
        """The shifts of one saw."""
        return next((one.shifts for one in self.saws if one.saw == saw), USUAL_SHIFTS)

    def stops_of(self, saw: str) -> tuple[PlannedStop, ...]:
        """The planned stops of one saw."""
        return tuple(stop for stop in self.stops if stop.saw == saw)

    def rules(self) -> WeekRules:
        """What the week's problem asks of them."""
        limits = UnattendedRules(
            most_piece_kg=self.most_piece_kg,
            longest_piece_mm=self.longest_piece_mm,
            longest_bar_mm=self.longest_bar_mm,
        )
        return WeekRules(due_at=self.due_at, unattended=limits)

    def with_saw(self, saw: str, shifts: Iterable[Shift]) -> "ShopHours":
        """The same with other shifts for one saw."""
        others = tuple(one for one in self.saws if one.saw != saw)
        return replace(self, saws=(*others, SawHours(saw, tuple(shifts))))
