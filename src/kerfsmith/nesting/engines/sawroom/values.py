"""An aim's value for a plan, and the values it can have at all."""

from collections.abc import Sequence
from math import gcd

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Room
from kerfsmith.nesting.engines.sawroom.limits import former_patterns
from kerfsmith.nesting.engines.sawroom.plan import Chosen
from kerfsmith.nesting.reduce import reachable_sums

MOST_UNITS = 2_000_000
"""Largest bound, in units of the prices' common divisor, that is raised to a sum of prices."""


def granularity(room: Room, aim: Aim) -> int:
    """All values of an aim are whole multiples of this."""
    if aim in (Aim.COST, Aim.NEW_STOCK):
        return gcd(*(bar.cost for bar in room.problem.bars)) or 1
    return 1


def reachable(room: Room, aim: Aim, least: int) -> int:
    """The least sum of bars' prices that is at least ``least``; for other aims ``least`` itself."""
    step = granularity(room, aim)
    units = least // step
    priced = [bar for bar in room.problem.bars if bar.cost]
    if aim not in (Aim.COST, Aim.NEW_STOCK) or not priced or not 0 < units <= MOST_UNITS:
        return least
    top = units + max(bar.cost for bar in priced) // step
    counts: dict[int, int] = {}
    for bar in priced:
        unit = bar.cost // step
        counts[unit] = counts.get(unit, 0) + (top if bar.count is None else bar.count)
    sums = reachable_sums(counts.items(), top) >> units
    return (units + (sums & -sums).bit_length() - 1) * step if sums else least


def value_of(room: Room, plan: Sequence[Chosen], aim: Aim) -> int:
    """An aim's value without its constant, pieces given up as late counted as late."""
    total = 0
    for one in plan:
        total += sum(room.price(one.column, bars, aim) for bars in one.loads)
        total += one.kept * room.price_of_keeping(one.column, aim)
    patterns = {room.pattern_of(one.column) for one in plan}
    if aim is Aim.PATTERNS:
        total += len(patterns)
    if aim is Aim.MONEY:
        total += room.problem.rates.per_pattern * len(patterns)
    if aim is Aim.CHANGES:
        bars: dict[object, int] = {}
        for one in plan:
            pattern = room.pattern_of(one.column)
            bars[pattern] = bars.get(pattern, 0) + sum(one.loads)
        total -= sum(min(times, bars.get(p, 0)) for p, times in former_patterns(room).items())
    return total
