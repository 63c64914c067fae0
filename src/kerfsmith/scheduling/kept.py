"""A week as the shop keeps it: what was asked, what was found, and what people have said about it."""

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from kerfsmith.scheduling.problem import Problem
from kerfsmith.scheduling.result import AimValue, Placement, Week
from kerfsmith.scheduling.shifts import Clock
from kerfsmith.units.told import Told


class Wished(StrEnum):
    """What somebody wishes of a run."""

    SAW = "on this saw"
    TIME = "on this saw at this time"
    NOT_HERE = "not on this saw"


@dataclass(frozen=True, slots=True)
class Wish:
    """A person's word about a run, which the engine keeps to; ``at`` is by the shop's clock."""

    run: str
    saw: str
    wished: Wished
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Begun:
    """A run that lies in a saw or lay there: worked at from ``since`` (shop's clock) to ``until``, None while
    it lasts.
    """

    run: str
    saw: str
    label: str
    since: datetime
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class KeptWeek:
    """One week. ``base`` is the id of the week that it changes, empty for a first one.

    ``now`` is the tick it was planned at; ``before`` what the order of ``base`` would reach from there on,
    empty where that no longer holds. ``left_out`` are groups without a place, each with the reason.
    ``standing`` are the saws that stood when it was made.
    """

    id: str
    plan_id: str
    base: str
    why: Told
    clock: Clock
    now: int
    problem: Problem
    week: Week
    wishes: tuple[Wish, ...] = ()
    left_out: tuple[tuple[str, Told], ...] = ()
    begun: tuple[Begun, ...] = ()
    before: tuple[AimValue, ...] = ()
    standing: tuple[str, ...] = ()

    def start_of(self, one: Placement) -> datetime:
        """When a placed run begins, by the shop's clock."""
        return self.clock.moment(one.start)

    def wishes_for(self, run: str) -> tuple[Wish, ...]:
        """What was said about one run."""
        return tuple(wish for wish in self.wishes if wish.run == run)

    def wishing(self, wish: Wish) -> tuple[Wish, ...]:
        """All wishes with one more, which takes the place of what contradicts it."""
        if wish.wished is Wished.NOT_HERE:
            kept = [one for one in self.wishes if (one.run, one.saw) != (wish.run, wish.saw)]
        else:
            kept = [one for one in self.wishes if one.run != wish.run or _stands_beside(one, wish)]
        return (*kept, wish)

    def with_wishes(self, wishes: tuple[Wish, ...], problem: Problem) -> "KeptWeek":
        """The same runs in the same places with other wishes."""
        return replace(self, wishes=wishes, problem=problem)


def _stands_beside(one: Wish, pin: Wish) -> bool:
    return one.wished is Wished.NOT_HERE and one.saw != pin.saw
