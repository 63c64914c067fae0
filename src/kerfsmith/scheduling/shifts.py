"""A calendar of ticks out of the shifts that people know by weekday and clock."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.calendar import Calendar, Hours, Stop, Window
from kerfsmith.scheduling.problem import Crew


@dataclass(frozen=True, slots=True)
class Shift:
    """Hours of one kind that come again every week. ``weekday`` counts from Monday = 0.

    An ``end`` at or before ``begin`` lies on the next day. ``people`` is how many are there.
    """

    weekday: int
    begin: time
    end: time
    hours: Hours = Hours.ATTENDED
    people: int = 1

    def __post_init__(self) -> None:
        if not 0 <= self.weekday < 7 or self.people < 0:
            raise InvalidValue("a shift is on a day of the week, with no less than nobody")


def hours_of_shift(shift: Shift) -> float:
    """How many hours it lasts, over midnight too."""
    begin, end = (at.hour + at.minute / 60 for at in (shift.begin, shift.end))
    return end - begin if end > begin else end - begin + 24


@dataclass(frozen=True, slots=True)
class Clock:
    """Ties ticks to the shop's clock: tick 0 is midnight of ``first``; a tick is ``tick_s`` seconds.

    Shop time without a zone: where clocks are put forward or back, a person shifts that night's hours.
    """

    first: date
    tick_s: int = 60

    def tick(self, moment: datetime) -> int:
        """The tick in which ``moment`` lies; below 0 before the first day."""
        since = moment - datetime.combine(self.first, time())
        return int(since.total_seconds() // self.tick_s)

    def moment(self, tick: int) -> datetime:
        """The moment at which ``tick`` begins."""
        return datetime.combine(self.first, time()) + timedelta(seconds=tick * self.tick_s)

    def due(self, day: date, at: time) -> int:
        """Tick of a due date: on that day at ``at``; never below 0, so that what is overdue is due at
        once.
        """
        return max(0, self.tick(datetime.combine(day, at)))


def calendar_of(
    shifts: Iterable[Shift], clock: Clock, days: int, stops: Iterable[Stop] = (), away: Iterable[date] = ()
) -> Calendar:
    """The shifts of every week, for ``days`` days, none on the days in ``away``.

    Hours with somebody there take precedence: an unattended shift holds what others leave of it.
    """
    closed = set(away)
    spans: list[tuple[int, int, Hours]] = []
    wanted = list(shifts)
    for number in range(days):
        day = clock.first + timedelta(days=number)
        if day in closed:
            continue
        for shift in wanted:
            if shift.weekday == day.weekday():
                spans.append((*_ticks(shift, day, clock), shift.hours))
    manned = [span for span in spans if span[2] is not Hours.UNATTENDED]
    alone = [
        (start, end, Hours.UNATTENDED)
        for first, last, hours in spans
        if hours is Hours.UNATTENDED
        for start, end in _outside(first, last, manned)
    ]
    return Calendar(tuple(Window(*span) for span in sorted([*manned, *alone])), tuple(stops))


def crews_of(shifts: Iterable[Shift], clock: Clock, days: int, away: Iterable[date] = ()) -> tuple[Crew, ...]:
    """How many people are there when, shifts that overlap added up."""
    closed = set(away)
    steps: dict[int, int] = {}
    wanted = [shift for shift in shifts if shift.hours is not Hours.UNATTENDED]
    for number in range(days):
        day = clock.first + timedelta(days=number)
        for shift in wanted:
            if day not in closed and shift.weekday == day.weekday():
                start, end = _ticks(shift, day, clock)
                steps[start] = steps.get(start, 0) + shift.people
                steps[end] = steps.get(end, 0) - shift.people
    crews: list[Crew] = []
    people, since = 0, 0
    for tick in sorted(steps):
        if people and tick > since:
            crews.append(Crew(since, tick, people))
        people, since = people + steps[tick], tick
    return tuple(crews)


def _ticks(shift: Shift, day: date, clock: Clock) -> tuple[int, int]:
    last = day if shift.end > shift.begin else day + timedelta(days=1)
    start, end = datetime.combine(day, shift.begin), datetime.combine(last, shift.end)
    return clock.tick(start), clock.tick(end)


def _outside(start: int, end: int, spans: Iterable[tuple[int, int, Hours]]) -> list[tuple[int, int]]:
    left = []
    for first, last, _ in sorted(spans):
        if last <= start or first >= end:
            continue
        if first > start:
            left.append((start, first))
        start = last
    if start < end:
        left.append((start, end))
    return left
