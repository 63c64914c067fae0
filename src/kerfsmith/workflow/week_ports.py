"""What the verbs of the week ask of the records, and of whoever lays it."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from enum import StrEnum
from typing import Protocol

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.scheduling.hours import ShopHours
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.scheduling.problem import Problem
from kerfsmith.scheduling.result import Week

LayWeek = Callable[[Problem, Mapping[str, Sequence[str]] | None], Week]
"""Lines a problem up, beginning from an order where one is given (saw -> runs)."""


class WeekState(StrEnum):
    """Where a week is: put forward, in force, turned down, or no longer in force."""

    PROPOSED = "proposed"
    KEPT = "kept"
    REFUSED = "refused"
    PAST = "past"


class WeekReading(Protocol):
    """The shop's weeks, to be read."""

    def kept(self) -> KeptWeek | None:
        """The week in force."""

    def proposed(self) -> KeptWeek | None:
        """The week that is put forward and neither accepted nor refused."""

    def hours(self) -> ShopHours:
        """The hours of saws and people, the usual ones where none were kept."""

    def options(self, plan_id: str) -> tuple[PlanGroup, ...]:
        """Groups of a plan as they would be cut on other saws that fit."""


class WeekBook(WeekReading, Protocol):
    """The shop's weeks, to be changed."""

    def add(self, week: KeptWeek, state: WeekState, *, by: str, at: datetime) -> None:
        """Put a week on record, as the one that is proposed or in force."""

    def settle(self, week_id: str, state: WeekState, *, by: str, at: datetime) -> None:
        """Say what became of a week."""

    def set_hours(self, hours: ShopHours) -> None:
        """Keep the hours of saws and people."""

    def keep_options(self, plan_id: str, groups: Sequence[PlanGroup]) -> None:
        """Keep how groups of a plan would be cut on other saws, in place of what was kept of them."""

    def swap(self, plan_id: str, group: PlanGroup) -> None:
        """Let an option take the place of its group in the plan; what stood there becomes an option."""
