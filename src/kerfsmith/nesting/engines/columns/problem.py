"""The problem as the engine works on it: distinct sizes, longest first; bars by rising capacity."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from math import gcd

Column = tuple[int, tuple[tuple[int, int], ...]]
"""A pattern: the kind of bar, and pairs (item, count) in the order of items."""

SUM_LIMIT = 4_000_000
"""Largest cost (in units of the common divisor) whose reachable sums are listed."""


@dataclass(frozen=True, slots=True)
class Plan:
    """Patterns with the number of bars cut by each, and what the bars cost together."""

    uses: tuple[tuple[Column, int], ...]
    cost: int


@dataclass(slots=True)
class Problem:
    """Reduced problem. `sizes` fall strictly; `supplies` hold None where bars are not limited.

    One unit of length here is `unit` of the instance.
    """

    sizes: list[int]
    demands: list[int]
    capacities: list[int]
    supplies: list[int | None]
    costs: list[int]
    unit: int = 1
    divisor: int = field(init=False)
    _sums: int | None = field(init=False, default=None)
    _sums_to: int = field(init=False, default=-1)

    def __post_init__(self) -> None:
        self.divisor = gcd(*self.costs) if self.costs else 1
        self.divisor = self.divisor or 1

    @property
    def total_size(self) -> int:
        """Length of all pieces together."""
        return sum(s * d for s, d in zip(self.sizes, self.demands, strict=True))

    @property
    def pieces(self) -> int:
        """Number of pieces."""
        return sum(self.demands)

    def most_cost(self) -> int:
        """A cost no sensible plan exceeds: a bar for each piece, the dearest bars first."""
        left, cost = self.pieces, 0
        for k in sorted(range(len(self.costs)), key=lambda k: -self.costs[k]):
            supply = self.supplies[k]
            used = left if supply is None else min(left, supply)
            cost += used * self.costs[k]
            left -= used
        return cost

    def cost_at_least(self, cost: int) -> int:
        """The least sum of bar costs that is at least `cost` (their divisor's where sums are too many)."""
        units = -(-max(cost, 0) // self.divisor)
        if len(set(self.costs)) == 1 or units > SUM_LIMIT // 2:
            return units * self.divisor
        reach = self._reachable(min(SUM_LIMIT, 2 * units + max(self.costs) // self.divisor)) >> units
        return (units + _lowest_bit(reach)) * self.divisor if reach else units * self.divisor

    def cost_below(self, cost: int) -> int:
        """The greatest sum of bar costs below `cost`; below 0 when there is none."""
        units = (cost - 1) // self.divisor
        if len(set(self.costs)) == 1 or units > SUM_LIMIT // 2 or units < 0:
            return units * self.divisor
        reach = self._reachable(min(SUM_LIMIT, 2 * units + 1)) & ((1 << (units + 1)) - 1)
        return (reach.bit_length() - 1) * self.divisor

    def _reachable(self, top: int) -> int:
        """Bit n set: n units of cost can be made up of bars at hand (n up to `top`)."""
        if self._sums is None or self._sums_to < top:
            self._sums_to = top
            self._sums = 1
            mask = (1 << (top + 1)) - 1
            for cost, supply in zip(self.costs, self.supplies, strict=True):
                unit = cost // self.divisor
                if unit:
                    most = top // unit if supply is None else min(supply, top // unit)
                    self._sums = add_multiples(self._sums, unit, most, mask)
        return self._sums


def plan_of(problem: Problem, uses: Iterable[tuple[Column, int]]) -> Plan | None:
    """The plan that cuts `uses`, trimmed to the demand; None where pieces or bars are wanting."""
    left = list(problem.demands)
    stock = list(problem.supplies)
    trimmed: list[tuple[Column, int]] = []
    cost = 0
    for (kind, counts), times in uses:
        while times > 0:
            taken = tuple((i, min(n, left[i])) for i, n in counts if left[i])
            if not taken:
                break
            repeats = min(times, min(left[i] // n for i, n in taken))
            supply = stock[kind]
            if supply is not None:
                if supply < repeats:
                    return None
                stock[kind] = supply - repeats
            for i, n in taken:
                left[i] -= n * repeats
            trimmed.append(((kind, taken), repeats))
            cost += problem.costs[kind] * repeats
            times -= repeats
    return None if any(left) else Plan(tuple(trimmed), cost)


def add_multiples(reach: int, unit: int, most: int, mask: int) -> int:
    """The sums in the bit set `reach` with 0..most times `unit` added, cut off by `mask`."""
    step = 1
    while most > 0:
        taken = min(step, most)
        reach |= (reach << (unit * taken)) & mask
        most -= taken
        step *= 2
    return reach


def _lowest_bit(bits: int) -> int:
    return (bits & -bits).bit_length() - 1
