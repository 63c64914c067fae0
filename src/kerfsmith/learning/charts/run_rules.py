"""Run rules: patterns of points that chance makes seldom.

References
----------
.. [1] Western Electric Company, Statistical Quality Control Handbook, 1956 (memory, good).
.. [2] Nelson, L. S., The Shewhart control chart: tests for special causes, J. Quality Technology 16, 1984
   (memory, good).
.. [3] Champ, C. W., Woodall, W. H., Exact results for Shewhart control charts with supplementary runs rules,
   Technometrics 29, 1987 (run lengths).
"""

import itertools
from collections.abc import Callable, Collection, Sequence
from enum import Enum


class Rule(Enum):
    """A rule with its words; points are in standard deviations about the centre. References: [1]_, [2]_."""

    BEYOND = "one point beyond three standard deviations"
    TWO_OF_THREE = "two of three beyond two, on one side"
    FOUR_OF_FIVE = "four of five beyond one, on one side"
    EIGHT_ALIKE = "eight in a row on one side"
    SIX_RISING = "six in a row rising or falling"
    FOURTEEN_ZIGZAG = "fourteen in a row up and down"
    FIFTEEN_CLOSE = "fifteen in a row within one"
    EIGHT_AWAY = "eight in a row beyond one, on either side"

    @property
    def span(self) -> int:
        """How many points it looks at."""
        return _RULES[self][0]


WESTERN_ELECTRIC = (Rule.BEYOND, Rule.TWO_OF_THREE, Rule.FOUR_OF_FIVE, Rule.EIGHT_ALIKE)


def _beyond(points: Sequence[float], limit: float, least: int) -> bool:
    """Whether ``least`` of the points, the newest among them, lie beyond ``limit`` on one side."""
    side = 1 if points[-1] > 0 else -1
    return points[-1] * side > limit and sum(point * side > limit for point in points) >= least


def _moving(points: Sequence[float]) -> bool:
    steps = [b - a for a, b in itertools.pairwise(points)]
    return all(step > 0 for step in steps) or all(step < 0 for step in steps)


def _zigzag(points: Sequence[float]) -> bool:
    steps = [b - a for a, b in itertools.pairwise(points)]
    return all(a * b < 0 for a, b in itertools.pairwise(steps))


_RULES: dict[Rule, tuple[int, Callable[[Sequence[float]], bool]]] = {
    Rule.BEYOND: (1, lambda points: abs(points[-1]) > 3),
    Rule.TWO_OF_THREE: (3, lambda points: _beyond(points, 2, 2)),
    Rule.FOUR_OF_FIVE: (5, lambda points: _beyond(points, 1, 4)),
    Rule.EIGHT_ALIKE: (8, lambda points: _beyond(points, 0, 8)),
    Rule.SIX_RISING: (6, _moving),
    Rule.FOURTEEN_ZIGZAG: (14, _zigzag),
    Rule.FIFTEEN_CLOSE: (15, lambda points: all(abs(point) < 1 for point in points)),
    Rule.EIGHT_AWAY: (8, lambda points: all(abs(point) > 1 for point in points)),
}
_SHORTER = {Rule.TWO_OF_THREE: 2, Rule.FOUR_OF_FIVE: 4}
"""Points that suffice at a chart's beginning, for rules that allow one point to differ."""


def broken_rules(
    points: Sequence[float], rules: Collection[Rule] = tuple(Rule)
) -> tuple[tuple[int, Rule], ...]:
    """Where ``points`` (in standard deviations about the centre) break a rule: place of the last point,
    and rule.
    """
    found = []
    for at in range(len(points)):
        for rule in rules:
            span, breaks = _RULES[rule]
            seen = points[max(0, at + 1 - span) : at + 1]
            if len(seen) >= _SHORTER.get(rule, span) and breaks(seen):
                found.append((at, rule))
    return tuple(found)
