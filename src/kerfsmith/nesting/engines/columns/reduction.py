"""From the instance as given to the smaller problem the engine works on, and back.

Equal sizes and equal kinds are merged, useless and dominated kinds dropped, lengths divided by their
common divisor, capacities lowered to a length that pieces can fill, and sizes beyond half of the only
bar raised to the length that nothing else can use. None of it changes the optimum.
"""

from collections import defaultdict
from dataclasses import dataclass
from math import gcd

from kerfsmith.nesting.engines.columns.instance import ColumnsInstance, PatternUse
from kerfsmith.nesting.engines.columns.problem import Plan, Problem, add_multiples

BITS_LIMIT = 600_000_000
"""Bit operations spent at most on the lengths that pieces can fill."""


@dataclass(frozen=True, slots=True)
class Reduced:
    """The reduced problem (None: nothing is left to cut), with the way back.

    `too_long`: positions of items longer than every bar. `free`: patterns on bars that cost nothing and
    never run out.
    """

    problem: Problem | None
    item_sources: tuple[tuple[tuple[int, int], ...], ...]
    kind_sources: tuple[tuple[tuple[int, int | None], ...], ...]
    too_long: tuple[int, ...]
    free: tuple[PatternUse, ...]


def reduce_instance(instance: ColumnsInstance) -> Reduced:
    """Reduce `instance`; every plan of the reduced problem can be given back by `restore`."""
    longest = max((k.capacity for k in instance.kinds if k.supply != 0), default=-1)
    too_long = tuple(i for i, item in enumerate(instance.items) if item.size > longest)
    if too_long:
        return Reduced(None, (), (), too_long, ())
    free, covered = _free_bars(instance)
    by_size: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for i, item in enumerate(instance.items):
        if item.size > covered:
            by_size[item.size].append((i, item.demand))
    if not by_size:
        return Reduced(None, (), (), (), free)
    sizes = sorted(by_size, reverse=True)
    demands = [sum(d for _, d in by_size[s]) for s in sizes]
    kinds = _useful_kinds(instance, sizes[-1], sum(demands))
    problem = Problem(
        sizes=list(sizes),
        demands=demands,
        capacities=[capacity for capacity, _, _, _ in kinds],
        supplies=[supply for _, supply, _, _ in kinds],
        costs=[cost for _, _, cost, _ in kinds],
    )
    _fit_lengths(problem)
    return Reduced(
        problem,
        tuple(tuple(by_size[s]) for s in sizes),
        tuple(tuple(sources) for _, _, _, sources in kinds),
        (),
        free,
    )


def _free_bars(instance: ColumnsInstance) -> tuple[tuple[PatternUse, ...], int]:
    """Items that fit on a bar that costs nothing and never runs out get such a bar each."""
    free = [(k.capacity, n) for n, k in enumerate(instance.kinds) if k.supply is None and k.cost == 0]
    capacity, kind = max(free, default=(0, -1))
    uses = tuple(
        PatternUse(kind, item.demand, {i: 1})
        for i, item in enumerate(instance.items)
        if item.size <= capacity
    )
    return uses, capacity


def _useful_kinds(
    instance: ColumnsInstance, smallest: int, pieces: int
) -> list[tuple[int, int | None, int, list[tuple[int, int | None]]]]:
    """(capacity, supply, cost, sources) of the kinds worth having, by rising capacity."""
    merged: dict[tuple[int, int], list[tuple[int, int | None]]] = defaultdict(list)
    for n, kind in enumerate(instance.kinds):
        if kind.supply != 0 and kind.capacity >= smallest:
            merged[(kind.capacity, kind.cost)].append((n, kind.supply))
    endless: list[tuple[int, int]] = []
    kinds = []
    for (capacity, cost), sources in sorted(merged.items(), key=lambda kv: (-kv[0][0], kv[0][1])):
        if any(other_cost <= cost for _, other_cost in endless):
            continue
        supply: int | None = 0
        for _, each in sources:
            supply = None if supply is None or each is None else supply + each
        if supply is not None and supply >= pieces:
            supply = None
        if supply is None:
            endless.append((capacity, cost))
        kinds.append((capacity, supply, cost, sources))
    return kinds[::-1]


def _fit_lengths(problem: Problem) -> None:
    """Divide by the common divisor, lower capacities, raise long sizes (in place)."""
    divisor = gcd(*problem.sizes)
    problem.unit = divisor
    problem.sizes = [s // divisor for s in problem.sizes]
    problem.capacities = [c // divisor for c in problem.capacities]
    longest = problem.capacities[-1]
    steps = sum(
        min(d, longest // s).bit_length() for s, d in zip(problem.sizes, problem.demands, strict=True)
    )
    if steps * longest > BITS_LIMIT:
        return
    reach = _fillable(problem.sizes, problem.demands, longest)
    problem.capacities = [(reach & ((1 << (c + 1)) - 1)).bit_length() - 1 for c in problem.capacities]
    if len(problem.capacities) == 1:
        _raise_long_sizes(problem)


def _raise_long_sizes(problem: Problem) -> None:
    """A piece beyond half the bar may take all that nothing beside it can use (one such piece a bar)."""
    capacity = problem.capacities[0]
    small = [(s, d) for s, d in zip(problem.sizes, problem.demands, strict=True) if 2 * s <= capacity]
    reach = _fillable([s for s, _ in small], [d for _, d in small], capacity)
    raised: dict[int, int] = {}
    for i, size in enumerate(problem.sizes):
        if 2 * size <= capacity:
            break
        room = capacity - size
        raised[i] = capacity - ((reach & ((1 << (room + 1)) - 1)).bit_length() - 1)
    sizes = [raised.get(i, s) for i, s in enumerate(problem.sizes)]
    if len(set(sizes)) == len(sizes):
        problem.sizes = sizes


def _fillable(sizes: list[int], demands: list[int], longest: int) -> int:
    """Bit n set: some of the pieces are together n long."""
    reach, mask = 1, (1 << (longest + 1)) - 1
    for size, demand in zip(sizes, demands, strict=True):
        reach = add_multiples(reach, size, min(demand, longest // size), mask)
    return reach


def restore(reduced: Reduced, plan: Plan) -> tuple[PatternUse, ...]:
    """The plan in the instance's own kinds and items, with what was cut too often trimmed away."""
    amounts = [[amount for _, amount in sources] for sources in reduced.kind_sources]
    wanted = [[[i, demand] for i, demand in sources] for sources in reduced.item_sources]
    uses: dict[tuple[int, tuple[tuple[int, int], ...]], int] = defaultdict(int)
    for (kind, counts), times in plan.uses:
        left = times
        while left:
            counted, repeats = _deal_items(wanted, counts, left)
            if not counted:
                break
            at = next(n for n, amount in enumerate(amounts[kind]) if amount is None or amount > 0)
            amount = amounts[kind][at]
            if amount is not None:
                repeats = min(repeats, amount)
                amounts[kind][at] = amount - repeats
            for i, count in counted:
                slot = next(w for sources in wanted for w in sources if w[0] == i)
                slot[1] -= count * repeats
            uses[(reduced.kind_sources[kind][at][0], tuple(sorted(counted)))] += repeats
            left -= repeats
    return (*reduced.free, *(PatternUse(kind, n, dict(c)) for (kind, c), n in uses.items()))


def _deal_items(
    wanted: list[list[list[int]]], counts: tuple[tuple[int, int], ...], most: int
) -> tuple[list[tuple[int, int]], int]:
    """Name the pieces of one bar, and say for how many bars alike (at most `most`) the naming holds."""
    counted: list[tuple[int, int]] = []
    repeats = most
    for item, count in counts:
        need = count
        for source, left in wanted[item]:
            taken = min(need, left)
            if taken:
                counted.append((source, taken))
                need -= taken
                repeats = min(repeats, left // taken)
        # pieces wanted no more are left off the bar
    return counted, max(1, repeats)
