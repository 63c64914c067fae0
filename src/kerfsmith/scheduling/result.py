"""What an engine hands back: the week, what it reaches for each aim, and how good that can be at best."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.scheduling.calendar import Span
from kerfsmith.scheduling.problem import Aim
from kerfsmith.units.told import Told


class Status(StrEnum):
    """OPTIMAL and INFEASIBLE are proven. UNFINISHED: no week was found and none was ruled out."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    UNFINISHED = "unfinished"


@dataclass(frozen=True, slots=True)
class SetUp:
    """A person at the saw before a run: the band changed (``changes``) or a new one broken in."""

    start: int
    end: int
    before: str
    after: str
    changes: bool
    break_in: int = 0


@dataclass(frozen=True, slots=True)
class LoadTimes:
    """One load: crane from ``start``, person until ``hand_until``, sawing until ``end``."""

    start: int
    crane_until: int
    hand_until: int
    end: int


@dataclass(frozen=True, slots=True)
class Placement:
    """One run in the week. ``start`` is its first load's; the set-up lies before it."""

    run: str
    saw: str
    band: str
    set_up: SetUp | None
    loads: tuple[LoadTimes, ...]

    @property
    def start(self) -> int:
        """Tick at which the first load comes."""
        return self.loads[0].start

    @property
    def end(self) -> int:
        """Tick at which the last piece is off."""
        return self.loads[-1].end

    @property
    def begins(self) -> int:
        """Tick from which the saw is taken, set-up included."""
        return self.set_up.start if self.set_up else self.start

    @property
    def segments(self) -> tuple[Span, ...]:
        """Stretches in which the run is worked at without a break, as a picture shows them."""
        joined: list[list[int]] = []
        for load in self.loads:
            if joined and joined[-1][1] == load.start:
                joined[-1][1] = load.end
            else:
                joined.append([load.start, load.end])
        return tuple(Span(start, end) for start, end in joined)


@dataclass(frozen=True, slots=True)
class AimValue:
    """What is reached for one aim, and the least it could be with all earlier aims as they are.

    ``bound`` is None where nothing is proven; ``bound_source`` says by what it is.
    """

    aim: Aim
    value: int
    bound: int | None
    bound_source: str = ""

    @property
    def is_proven(self) -> bool:
        """Whether no week does better on this aim without doing worse on an earlier one."""
        return self.bound is not None and self.bound >= self.value

    @property
    def gap(self) -> float | None:
        """How far the value may be above the best possible, as a share of it; None where unknown."""
        if self.bound is None:
            return None
        return (self.value - self.bound) / abs(self.value) if self.value else 0.0


@dataclass(frozen=True, slots=True)
class Week:
    """Runs in their places, by start. ``opened`` maps a saw to its overtime windows that are asked for.

    ``reasons`` say why there is no week, where there is none.
    """

    status: Status
    placements: tuple[Placement, ...]
    opened: Mapping[str, tuple[int, ...]]
    aims: tuple[AimValue, ...]
    engine: str
    seconds: float
    seed: int = 0
    reasons: tuple[Told, ...] = ()

    def of(self, run: str) -> Placement:
        """The place of one run. Raises KeyError for a run that isn't in the week."""
        return {placement.run: placement for placement in self.placements}[run]

    def on(self, saw: str) -> tuple[Placement, ...]:
        """Everything on one saw, in order."""
        return tuple(placement for placement in self.placements if placement.saw == saw)

    @property
    def sequences(self) -> dict[str, tuple[str, ...]]:
        """Saw -> its runs in order."""
        found: dict[str, list[str]] = {}
        for placement in self.placements:
            found.setdefault(placement.saw, []).append(placement.run)
        return {saw: tuple(runs) for saw, runs in found.items()}

    def value(self, aim: Aim) -> int | None:
        """What it reaches for ``aim``, None where it wasn't among the aims."""
        return next((one.value for one in self.aims if one.aim is aim), None)
