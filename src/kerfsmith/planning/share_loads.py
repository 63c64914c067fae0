"""Bars that are alike but for the day their pieces are due, put in loads together where that delays none."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from kerfsmith.nesting.aims import SawTime
from kerfsmith.nesting.problem import Placed
from kerfsmith.nesting.result import Run
from kerfsmith.planning.lengths import over_um
from kerfsmith.planning.loads import best_loads
from kerfsmith.planning.nest_group import MS_PER_HOUR
from kerfsmith.planning.plan import PlannedAim, PlannedBar
from kerfsmith.planning.times import cuts_of_bar
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rules import NextAim

Kinds = Mapping[str, Sequence[OrderLine]]
"""The lines behind each piece of a nesting problem."""


@dataclass(frozen=True, slots=True)
class Load:
    """Bars that lie in the vise at once, each with the run it is of, due first; ``keep``: their ends go back
    to the rack."""

    runs: tuple[Run, ...]
    keep: bool

    @property
    def bars(self) -> int:
        """How many they are."""
        return len(self.runs)


@dataclass(frozen=True, slots=True)
class LoadRules:
    """The numbers of bars, two and more, that may be cut at once, what loads take, and whether the fewest of
    them come before the least time."""

    sizes: frozenset[int] = frozenset()
    time: SawTime = SawTime()  # noqa: RUF009 - frozen
    few: bool = False


def shared(
    loads: Sequence[Load], kinds: Kinds, rules: LoadRules, due: Callable[[Load], date]
) -> Iterator[Load]:
    """The loads, those of bars alike put together anew where that makes fewer of them.

    A load stands where the first due of its bars would, so later work may come early. For no day are more
    loads cut until its bars are through than without; minutes aren't counted, as with bars that later work
    fills.
    """
    alike: dict[object, list[Load]] = defaultdict(list)
    for number, load in enumerate(loads):
        run = load.runs[0]
        square = not any(line.is_mitred for placed in run.placed for line in kinds[placed.piece])
        alike[(run.bar, load.keep, _pattern(run, kinds)) if square and rules.sizes else number].append(load)
    for same in alike.values():
        yield from _put_anew(sorted(same, key=due), rules, due)


def _put_anew(same: Sequence[Load], rules: LoadRules, due: Callable[[Load], date]) -> Sequence[Load]:
    """Loads of bars alike, due first; as they are unless fewer will do and no day waits for more of them."""
    if len({id(load.runs[0]) for load in same}) == 1:
        return same
    bars = [run for load in same for run in load.runs]
    sizes = best_loads(len(bars), bars[0].cuts, rules.time, rules.sizes, rules.few)
    through = alone = 0
    for number, load in enumerate(same, start=1):
        through, alone = through + load.bars, number
        last_of_day = number == len(same) or due(same[number]) > due(load)
        if last_of_day and _loads_for(through, sizes) > alone:
            return same
    if len(sizes) >= len(same):
        return same
    left = iter(bars)
    return [Load(tuple(next(left) for _ in range(size)), same[0].keep) for size in sizes]


def _loads_for(bars: int, sizes: Iterable[int]) -> int:
    """How many of the loads are cut until so many bars are through."""
    count = 0
    for size in sizes:
        if bars <= 0:
            break
        bars, count = bars - size, count + 1
    return count


def _pattern(run: Run, kinds: Kinds) -> object:
    """What a bar gives on whatever day its pieces are due: what is dialled in, and which is its own end."""
    pieces = [looks(placed, kinds) for placed in run.placed]
    return tuple(sorted(pieces)), run.remnant_um, pieces[-1] if run.ends_in_vise else None


def looks(placed: Placed, kinds: Kinds) -> tuple[int, int, int]:
    """What a square piece on a bar is dialled in by."""
    line = kinds[placed.piece][0]
    return line.length_um, over_um(line), placed.over_um


def in_step(first: Sequence[Placed], other: Iterable[Placed], kinds: Kinds) -> list[Placed]:
    """The pieces of another bar of a load in the order of the first bar's that are cut with them."""
    left = list(other)
    found = []
    for placed in first:
        mate = next(one for one in left if looks(one, kinds) == looks(placed, kinds))
        left.remove(mate)
        found.append(mate)
    return found


def recounted(
    aims: Iterable[PlannedAim], bars: Sequence[PlannedBar], kinds: Kinds, rules: LoadRules
) -> Iterator[PlannedAim]:
    """What the aims that count loads come to on these bars. Nothing is proven of them where pieces alike are
    due on several days: the bound knows no loads shared between days."""
    by_looks = {(lines[0].length_um, over_um(lines[0])) for lines in kinds.values()}
    for aim in aims:
        if len(by_looks) == len(kinds) or not rules.sizes or aim.aim not in _COUNTED:
            yield aim
        else:
            yield replace(aim, value=sum(_COUNTED[aim.aim](bar, rules.time) for bar in bars), best=None)


def _hours(bar: PlannedBar, time: SawTime) -> float:
    return bar.loads * time.of_load(len(cuts_of_bar(bar)), bar.at_once) / MS_PER_HOUR


_COUNTED: Mapping[NextAim, Callable[[PlannedBar, SawTime], float]] = {
    NextAim.FEW_LOADS: lambda bar, _: bar.loads,
    NextAim.FEW_CUTS: lambda bar, _: bar.loads * len(cuts_of_bar(bar)),
    NextAim.SAW_HOURS: _hours,
}
