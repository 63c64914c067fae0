"""What the pages of the week need from behind them; the wiring answers it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.planning.plan import Plan
from kerfsmith.scheduling.hours import ShopHours
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.shop.person import Person
from kerfsmith.shop.saw_stop import Stop
from kerfsmith.units.told import Told
from kerfsmith.web.backstage import JobState
from kerfsmith.workflow.pin_run import Wishes
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.settle_week import Settled
from kerfsmith.workflow.week_making import WeekMade


@dataclass(frozen=True, slots=True)
class WeekJob:
    """A week in the making; ``told`` says how far it has come, ``refusal`` why nothing came of it."""

    id: str
    state: JobState
    told: Told
    seconds: float
    refusal: Refusal | None = None
    problem: str = ""


@dataclass(frozen=True, slots=True)
class WeekOnFloor:
    """The weeks as they are at one moment; ``now`` is by the shop's clock. ``stale`` says in words what has
    changed since the week in force was made, empty where nothing has.
    """

    plan: Plan | None
    kept: KeptWeek | None
    proposed: KeptWeek | None
    hours: ShopHours
    saws: tuple[SawSheet, ...]
    standing: tuple[Stop, ...]
    now: datetime
    job: WeekJob | None
    stale: tuple[str, ...] = ()

    @property
    def working(self) -> KeptWeek | None:
        """The week that is being looked at: what is put forward, else what is in force."""
        return self.proposed or self.kept


class WeekStage(Protocol):
    """Everything behind the week's pages. What takes a while begins a job and returns its id."""

    def week(self) -> WeekOnFloor:
        """The weeks, hours and standing saws."""

    def line_up(self, *, by: Person) -> str | Refusal:
        """Begin to line the plan up; joins what is being made already."""

    def replan(self, *, most_moves: int | None, back: Mapping[str, datetime], by: Person) -> str | Refusal:
        """Begin to make the week anew as things stand; ``back`` says when standing saws will run again."""

    def refuse_place(self, run: str, saw: str, *, by: Person) -> str | Refusal:
        """Begin to find a run another saw."""

    def move(self, run: str, saw: str, place: int, *, by: Person) -> WeekMade | Refusal:
        """Put a run in another place."""

    def pin(self, run: str, *, at_its_time: bool, by: Person) -> Wishes | Refusal:
        """Pin a run where it stands."""

    def free(self, run: str, *, by: Person) -> Wishes | Refusal:
        """Set a run free."""

    def accept(self, week_id: str, *, by: Person) -> Settled | Refusal:
        """Put the proposed week in force."""

    def refuse(self, week_id: str, *, by: Person) -> Settled | Refusal:
        """Turn the proposed week down."""

    def set_hours(self, hours: ShopHours, *, by: Person) -> ShopHours | Refusal:
        """Keep the hours of saws and people."""

    def job(self, job_id: str) -> WeekJob | None:
        """A week in the making."""

    def stop(self, job_id: str) -> bool:
        """Ask it to end with the best it has; whether there is such a job."""
