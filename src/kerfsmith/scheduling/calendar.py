"""Hours of one saw: when somebody minds it, when it may run by itself, when it stands.

Time is counted in whole ticks from the week's beginning; the problem says how long a tick is.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.errors import InvalidValue


class Hours(StrEnum):
    """What kind of hours a window holds."""

    ATTENDED = "attended"
    OVERTIME = "overtime"
    """Attended, but only when it is asked for; then all of it is paid."""
    UNATTENDED = "unattended"
    """Nobody there: only what was begun before and may go on by itself."""


@dataclass(frozen=True, slots=True)
class Span:
    """Ticks from ``start`` up to, not with, ``end``."""

    start: int
    end: int

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end:
            raise InvalidValue(f"a span from {self.start} to {self.end} is none")

    @property
    def ticks(self) -> int:
        """How long it is."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Window:
    """A stretch of hours of one kind, from ``start`` up to, not with, ``end``."""

    start: int
    end: int
    hours: Hours = Hours.ATTENDED

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end:
            raise InvalidValue(f"a window from {self.start} to {self.end} is none")

    @property
    def ticks(self) -> int:
        """How long it is."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Stop:
    """A time in which the saw stands whatever its windows say: planned service, or a breakdown."""

    start: int
    end: int
    why: str = "planned stop"

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end:
            raise InvalidValue(f"a stop from {self.start} to {self.end} is none")


@dataclass(frozen=True, slots=True)
class Calendar:
    """Windows in rising order without overlap, and the stops that cut into them.

    Raises InvalidValue for windows that overlap or run backwards.
    """

    windows: tuple[Window, ...]
    stops: tuple[Stop, ...] = ()

    def __post_init__(self) -> None:
        for before, after in zip(self.windows, self.windows[1:], strict=False):
            if after.start < before.end:
                raise InvalidValue(f"windows overlap at {after.start}")

    @property
    def overtime(self) -> tuple[int, ...]:
        """Places, among the windows, of those that are overtime."""
        return tuple(place for place, one in enumerate(self.windows) if one.hours is Hours.OVERTIME)

    def attended(self, opened: Iterable[int] = ()) -> tuple[Span, ...]:
        """Hours with somebody there: attended windows and the overtime windows named in ``opened``."""
        wanted = set(opened)
        return self._spans(
            window
            for place, window in enumerate(self.windows)
            if window.hours is Hours.ATTENDED or (window.hours is Hours.OVERTIME and place in wanted)
        )

    def running(self, opened: Iterable[int] = ()) -> tuple[Span, ...]:
        """Hours in which the saw may cut, with somebody there or without."""
        wanted = set(opened)
        return self._spans(
            window
            for place, window in enumerate(self.windows)
            if window.hours is not Hours.OVERTIME or place in wanted
        )

    def _spans(self, windows: Iterable[Window]) -> tuple[Span, ...]:
        joined: list[list[int]] = []
        for window in windows:
            if joined and joined[-1][1] == window.start:
                joined[-1][1] = window.end
            else:
                joined.append([window.start, window.end])
        return tuple(Span(*span) for start, end in joined for span in self._without_stops(start, end))

    def _without_stops(self, start: int, end: int) -> list[tuple[int, int]]:
        free: list[tuple[int, int]] = []
        for stop in sorted(self.stops, key=lambda stop: stop.start):
            if stop.end <= start or stop.start >= end:
                continue
            if stop.start > start:
                free.append((start, stop.start))
            start = max(start, stop.end)
        if start < end:
            free.append((start, end))
        return free
