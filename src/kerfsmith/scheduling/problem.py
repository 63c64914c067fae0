"""The week as a problem: runs, saws with their hours, crane, people, and what is wanted of the week.

All times are whole ticks from the problem's beginning; ``tick_s`` says how many seconds one is.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.calendar import Calendar
from kerfsmith.units.told import Told

WHOLE_PERSON = 100
"""People are counted in hundredths, so that one person may mind two saws."""

NO_BAND = ""


class Aim(StrEnum):
    """What a week is judged by; less is better for each."""

    TARDINESS = "ticks late, times weight"
    LATE = "weight of what is late"
    MAX_LATENESS = "ticks by which the worst misses its due time"
    COMPLETION = "ticks to the end of each run, times weight"
    MAKESPAN = "tick at which the last run ends"
    HOURS = "saw ticks and overtime ticks"
    CHANGES = "band changes"
    MOVES = "runs taken from their place"


WEEK_AIMS = (Aim.TARDINESS, Aim.LATE, Aim.HOURS, Aim.CHANGES)
"""Due dates first, then hours, then changes."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Pieces of one order line that a load yields, and the tick by which they are wanted.

    Raises InvalidValue for no pieces.
    """

    due: int
    pieces: int
    line: str = ""
    mark: str = ""

    def __post_init__(self) -> None:
        if self.pieces < 1 or self.due < 0:
            raise InvalidValue("what is wanted is a piece at least, and not before the beginning")


@dataclass(frozen=True, slots=True)
class Load:
    """What is brought to the saw at one time and sawn in one go: a bar, a bundle, or some bars together.

    ``crane`` ticks with crane and person, ``hand`` ticks with a person (clamping, the first piece measured),
    then ``cut`` ticks of sawing. A load is never interrupted; between two loads a shift may end. ``wanted``
    are its pieces with a due time; they are there when it ends.
    """

    crane: int
    hand: int
    cut: int
    wanted: tuple[Wanted, ...] = ()

    def __post_init__(self) -> None:
        if min(self.crane, self.hand, self.cut) < 0 or not self.ticks:
            raise InvalidValue("a load takes some time and no part of it less than none")

    @property
    def ticks(self) -> int:
        """All of it."""
        return self.crane + self.hand + self.cut


@dataclass(frozen=True, slots=True)
class Option:
    """One run on one saw: the band it needs there, its loads in order, and how much of a person it ties up
    while it cuts (hundredths; nothing where it may run unattended)."""

    saw: str
    band: str
    loads: tuple[Load, ...]
    tending: int = 0

    def __post_init__(self) -> None:
        if not self.loads:
            raise InvalidValue(f"an option on saw {self.saw} has no loads")
        if not 0 <= self.tending <= WHOLE_PERSON:
            raise InvalidValue("a saw that cuts ties up between none and one person")

    @property
    def ticks(self) -> int:
        """Saw time of the loads, set-up left out."""
        return sum(load.ticks for load in self.loads)


@dataclass(frozen=True, slots=True)
class Pin:
    """What is settled about a run: its saw, and maybe the tick its first load starts or its rank there.

    Ranks count from 0 and are what has begun (rank 0) and what the freeze holds.
    """

    saw: str
    start: int | None = None
    rank: int | None = None


NO_REASON = Told()


@dataclass(frozen=True, slots=True)
class Unattended:
    """Whether a run may go on with nobody there, and why or why not, in words."""

    allowed: bool
    reason: Told = NO_REASON


ATTENDED_ONLY = Unattended(False, Told("nobody has said that it may"))


@dataclass(frozen=True, slots=True)
class Run:
    """Work that goes to one saw in one go. ``due`` None means nobody waits; ``weight`` is usually its pieces.

    Raises InvalidValue for no option, two on one saw, or a pin to a saw that isn't among them.
    """

    id: str
    options: tuple[Option, ...]
    due: int | None = None
    release: int = 0
    weight: int = 1
    order: str = ""
    label: str = ""
    unattended: Unattended = ATTENDED_ONLY
    pin: Pin | None = None

    def __post_init__(self) -> None:
        saws = [option.saw for option in self.options]
        if not saws or len(set(saws)) != len(saws):
            raise InvalidValue(f"run {self.id}: one option for each saw that may take it, at least one")
        if self.release < 0 or self.weight < 0:
            raise InvalidValue(f"run {self.id}: release and weight can't be below zero")
        if self.pin is not None and self.pin.saw not in saws:
            raise InvalidValue(f"run {self.id}: pinned to saw {self.pin.saw}, which can't take it")

    @property
    def open_options(self) -> tuple[Option, ...]:
        """The options that its pin leaves."""
        if self.pin is None:
            return self.options
        return tuple(option for option in self.options if option.saw == self.pin.saw)

    def on(self, saw: str) -> Option:
        """Its option on ``saw``. Raises InvalidValue where there is none."""
        for option in self.options:
            if option.saw == saw:
                return option
        raise InvalidValue(f"run {self.id} can't go on saw {saw}")


_NOTHING: Mapping[str, int] = MappingProxyType({})
_NO_SET_UPS: Mapping[tuple[str, str], int] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Saw:
    """A saw with its hours, the band on it, and its set-up times.

    ``set_ups`` maps (band before, band after) to ticks with a person; a pair not named takes none, and the
    band before is NO_BAND where none is mounted. ``fresh`` maps a band that is new to the extra ticks that
    its first run on this saw takes to break it in.
    """

    id: str
    calendar: Calendar
    name: str = ""
    mounted: str = NO_BAND
    set_ups: Mapping[tuple[str, str], int] = field(default_factory=lambda: _NO_SET_UPS)
    fresh: Mapping[str, int] = field(default_factory=lambda: _NOTHING)

    def __post_init__(self) -> None:
        if any(ticks < 0 for ticks in (*self.set_ups.values(), *self.fresh.values())):
            raise InvalidValue(f"saw {self.id}: a set-up can't take less than no time")

    def set_up(self, before: str, after: str) -> int:
        """Ticks from one band to the other."""
        return self.set_ups.get((before, after), 0)


@dataclass(frozen=True, slots=True)
class Crew:
    """How many people there are from ``start`` up to, not with, ``end``."""

    start: int
    end: int
    people: int

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end or self.people < 0:
            raise InvalidValue("a crew is there for some time and counts no less than nobody")


@dataclass(frozen=True, slots=True)
class Problem:
    """Runs to be laid on saws up to ``horizon``.

    ``crane`` is how many loads the crane can bring at a time (None: a crane at every saw). ``crews`` empty
    means people enough; else nobody is there outside of them. ``previous`` maps a saw to the runs of the week
    that is being changed, in order; ``most_moves`` is how many of them may be taken from their place.

    Raises InvalidValue for anything that contradicts itself.
    """

    runs: tuple[Run, ...]
    saws: tuple[Saw, ...]
    horizon: int
    crane: int | None = 1
    crews: tuple[Crew, ...] = ()
    aims: tuple[Aim, ...] = WEEK_AIMS
    tick_s: int = 60
    previous: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    most_moves: int | None = None

    def __post_init__(self) -> None:
        _check_names(self)
        _check_ranks(self)
        if self.horizon <= 0 or self.tick_s <= 0 or not self.aims:
            raise InvalidValue("a problem has a horizon, a tick and an aim")
        if self.crane is not None and self.crane < 1:
            raise InvalidValue("with no crane at all say None: a crane at every saw")
        for before, after in zip(self.crews, self.crews[1:], strict=False):
            if after.start < before.end:
                raise InvalidValue(f"crews overlap at {after.start}")

    def run(self, name: str) -> Run:
        """The run of that id. Raises KeyError for none."""
        return {run.id: run for run in self.runs}[name]

    def saw(self, name: str) -> Saw:
        """The saw of that id. Raises KeyError for none."""
        return {saw.id: saw for saw in self.saws}[name]


def _check_names(problem: Problem) -> None:
    saws = {saw.id for saw in problem.saws}
    runs = {run.id for run in problem.runs}
    if len(saws) != len(problem.saws) or len(runs) != len(problem.runs):
        raise InvalidValue("two saws or two runs bear the same name")
    for run in problem.runs:
        if any(option.saw not in saws for option in run.options):
            raise InvalidValue(f"run {run.id} names a saw that isn't there")
    if not set(problem.previous) <= saws:
        raise InvalidValue("the week before names a saw that isn't there")


def _check_ranks(problem: Problem) -> None:
    ranks: dict[str, list[int]] = {}
    for run in problem.runs:
        if run.pin is not None and run.pin.rank is not None:
            ranks.setdefault(run.pin.saw, []).append(run.pin.rank)
    for saw, found in ranks.items():
        if sorted(found) != list(range(len(found))):
            raise InvalidValue(f"saw {saw}: pinned ranks must count up from 0")
