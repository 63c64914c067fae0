"""Values in subgroups: what a saw does within one bar or one shift against what it does from one to the next.

Limits are learned from the first subgroups and held, so that what moves later doesn't move what it is set
against. The subgroups are rational in Shewhart's sense: within one only what the saw does by itself varies.

References
----------
.. [1] Shewhart, W. A., Economic Control of Quality of Manufactured Product, 1931 (memory, good).
.. [2] Montgomery, D. C., Introduction to Statistical Quality Control, 6th ed., 2009, 6.2: 20 to 25 subgroups
   for limits on trial (memory, good).
"""

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from statistics import fmean

from kerfsmith.errors import InvalidValue
from kerfsmith.learning.charts.limits import Limits
from kerfsmith.learning.charts.run_rules import WESTERN_ELECTRIC, Rule, broken_rules
from kerfsmith.learning.charts.subgroup_limits import (
    LARGEST_BY_RANGE,
    Spread,
    SubgroupLimits,
    subgroup_limits,
)
from kerfsmith.learning.log import Log
from kerfsmith.learning.series import Charted, series
from kerfsmith.learning.watch import Change, Point

IN_SUBGROUPS = (Charted.LENGTH, Charted.SQUARENESS)
"""Figures that are charted in subgroups: what is measured on pieces."""
IN_A_ROW = 5
"""Values in a subgroup of values in a row; common practice: four or five."""
PAUSE = timedelta(hours=4)
"""A person who cuts again after so long has begun another shift."""
FIRST = 25
"""Subgroups from which limits are learned. References: [2]_."""
LEAST = 5
"""Fewer subgroups make no chart."""
FEW = 20
"""Below this many, limits are on trial. References: [2]_."""
FALSE_SIGNAL_EVERY = {Charted.LENGTH: 40, Charted.SQUARENESS: 30}
"""Subgroups from one false signal to the next where nothing moves: simulated, subgroups of three to five.

Sizes, as how far a face leans, are lopsided and signal oftener than normal values do.
"""
BY_BAR_FROM = 10
"""So many bars with two measured pieces or more, and values go by bar unless somebody says otherwise."""


class Grouping(StrEnum):
    """What makes a subgroup: the pieces of one bar, a person's shift at the saw, or values in a row."""

    BAR = "bar"
    SHIFT = "shift"
    ROW = "row"


@dataclass(frozen=True, slots=True)
class Subgroup:
    """Values charted together, in the order in which they were made."""

    points: tuple[Point, ...]

    @property
    def values(self) -> tuple[float, ...]:
        """Its values."""
        return tuple(point.value for point in self.points)

    @property
    def mean(self) -> float:
        """Their mean."""
        return fmean(self.values)


@dataclass(frozen=True, slots=True)
class Signal:
    """A run rule broken, by the means or (``of_spread``) by the spreads of subgroups.

    It stands at subgroup ``at`` and speaks of those from ``since`` on; ``changes`` is what else changed at
    the first of them, set against the one before.
    """

    at: int
    since: int
    rule: Rule
    of_spread: bool
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class SubgroupChart:
    """A figure of a saw in subgroups, with the limits of each, and the signals, oldest first."""

    grouping: Grouping
    groups: tuple[Subgroup, ...]
    limits: SubgroupLimits
    means: tuple[Limits, ...]
    spreads: tuple[Limits, ...]
    signals: tuple[Signal, ...]
    of_sizes: bool = False
    """Whether values are sizes, as how far a face leans: no limit lies below zero."""

    @property
    def on_trial(self) -> bool:
        """Whether the limits rest on few subgroups."""
        return self.limits.count < FEW


def subgroups(points: Sequence[Point], grouping: Grouping) -> tuple[Subgroup, ...]:
    """The values in subgroups of two or more; a value alone in its bar or shift is left out.

    Values in a row that don't fill the last subgroup wait for the next.
    """
    match grouping:
        case Grouping.ROW:
            whole = len(points) - len(points) % IN_A_ROW
            runs: Iterable[Sequence[Point]] = (points[at : at + IN_A_ROW] for at in range(0, whole, IN_A_ROW))
        case Grouping.BAR:
            bars: dict[str, list[Point]] = {}
            for point in points:
                if point.around.get("bar"):
                    bars.setdefault(point.around["bar"], []).append(point)
            runs = bars.values()
        case Grouping.SHIFT:
            runs = _shifts(points)
    return tuple(Subgroup(tuple(run)) for run in runs if len(run) > 1)


def _shifts(points: Sequence[Point]) -> list[list[Point]]:
    shifts: list[list[Point]] = []
    for point in points:
        last = shifts[-1][-1] if shifts else None
        same = last is not None and last.around.get("person") == point.around.get("person")
        if last is not None and same and point.at - last.at < PAUSE:
            shifts[-1].append(point)
        else:
            shifts.append([point])
    return shifts


def usual_grouping(points: Sequence[Point]) -> Grouping:
    """By bar where bars have pieces enough that were measured, else values in a row."""
    return Grouping.BAR if len(subgroups(points, Grouping.BAR)) >= BY_BAR_FROM else Grouping.ROW


def subgroup_chart(
    points: Sequence[Point],
    grouping: Grouping | None = None,
    spread: Spread | None = None,
    *,
    of_sizes: bool = False,
) -> SubgroupChart | None:
    """The chart of ``points``; None for fewer than five subgroups, or where nothing varies.

    Without ``spread`` it is the range for subgroups of one size of up to ten values, else the standard
    deviation.
    """
    grouping = grouping or usual_grouping(points)
    groups = subgroups(points, grouping)
    if len(groups) < LEAST:
        return None
    first = [group.values for group in groups[:FIRST]]
    sizes = {len(group.points) for group in groups}
    if spread is None:
        by_range = len(sizes) == 1 and max(sizes) <= LARGEST_BY_RANGE
        spread = Spread.RANGE if by_range else Spread.SD
    try:
        limits = subgroup_limits(first, spread)
    except InvalidValue:
        return None
    if limits.sd <= 0:
        return None
    return SubgroupChart(
        grouping,
        groups,
        limits,
        tuple(_means(limits, len(group.points), of_sizes=of_sizes) for group in groups),
        tuple(limits.spreads(len(group.points)) for group in groups),
        _signals(groups, limits),
        of_sizes,
    )


def _means(limits: SubgroupLimits, size: int, *, of_sizes: bool) -> Limits:
    found = limits.means(size)
    return Limits(max(0.0, found.lower), found.centre, found.upper) if of_sizes else found


def saw_chart(
    log: Log, charted: Charted, saw: str, grouping: Grouping | None = None, spread: Spread | None = None
) -> SubgroupChart | None:
    """A figure of one saw in subgroups."""
    points = series(log, charted, saw)
    return subgroup_chart(points, grouping, spread, of_sizes=charted is Charted.SQUARENESS)


def _signals(groups: Sequence[Subgroup], limits: SubgroupLimits) -> tuple[Signal, ...]:
    """Each rule where it begins to be broken: that it stays broken isn't told again at every point."""
    scores = [(group.mean - limits.centre) / limits.mean_sd(len(group.points)) for group in groups]
    found = [
        _signal(groups, at, rule, of_spread=False)
        for at, rule in _begun(broken_rules(scores, WESTERN_ELECTRIC))
    ]
    for at, group in enumerate(groups):
        ends, spread = limits.spreads(len(group.points)), limits.spread.of(group.values)
        if not ends.lower <= spread <= ends.upper:
            found.append(_signal(groups, at, Rule.BEYOND, of_spread=True))
    return tuple(sorted(found, key=lambda signal: signal.at))


def _begun(broken: Iterable[tuple[int, Rule]]) -> list[tuple[int, Rule]]:
    last: dict[Rule, int] = {}
    begun = []
    for at, rule in broken:
        if rule is Rule.BEYOND or last.get(rule, -2) != at - 1:
            begun.append((at, rule))
        last[rule] = at
    return begun


def _signal(groups: Sequence[Subgroup], at: int, rule: Rule, *, of_spread: bool) -> Signal:
    since = max(0, at + 1 - rule.span)
    return Signal(at, since, rule, of_spread, _changes(groups, since))


def _changes(groups: Sequence[Subgroup], at: int) -> tuple[Change, ...]:
    """What is otherwise in subgroup ``at`` than in the one before."""
    if at == 0:
        return ()
    before, after = _around(groups[at - 1]), _around(groups[at])
    return tuple(
        Change(what, before.get(what, ""), after[what], 0)
        for what in after
        if before.get(what, "") != after[what]
    )


def _around(group: Subgroup) -> dict[str, str]:
    """What its values have about them, each word once."""
    names = dict.fromkeys(itertools.chain.from_iterable(point.around for point in group.points))
    return {
        name: ", ".join(dict.fromkeys(point.around.get(name, "") for point in group.points)) for name in names
    }
