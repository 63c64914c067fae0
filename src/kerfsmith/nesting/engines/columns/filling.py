"""Quick plans: bars filled one after the other, each as full as the pieces left allow."""

from collections.abc import Sequence

from kerfsmith.nesting.engines.columns.problem import Column, Plan, Problem

FILL_LIMIT = 40_000_000
"""Bit operations allowed for the fullest-bar filling, so that it stays in the milliseconds."""


def quick_plans(
    problem: Problem, demands: Sequence[int], supplies: Sequence[int | None], thorough: bool = True
) -> list[Plan]:
    """Plans for `demands` by several greedy rules (none where supplies run short under every rule).

    `thorough`: fill bars as full as can be, too, not only the longest piece first.
    """
    plans = []
    for order in _kind_orders(problem):
        for fullest in (False, True) if thorough else (False,):
            if fullest and sum(demands) * problem.capacities[-1] // 64 > FILL_LIMIT:
                continue
            plan = _fill_in_order(problem, list(demands), list(supplies), order, fullest)
            if plan is not None:
                plans.append(plan)
    return plans


def _kind_orders(problem: Problem) -> list[list[int]]:
    kinds = list(range(len(problem.capacities)))
    if len(kinds) == 1:
        return [kinds]
    by_worth = sorted(
        kinds, key=lambda k: (problem.costs[k] / max(1, problem.capacities[k]), -problem.capacities[k])
    )
    by_length = sorted(kinds, key=lambda k: (-problem.capacities[k], problem.costs[k]))
    by_shortness = by_length[::-1]
    orders = [by_worth, by_length, by_shortness]
    return [o for n, o in enumerate(orders) if o not in orders[:n]]


def _fill_in_order(
    problem: Problem, left: list[int], supplies: list[int | None], order: list[int], fullest: bool
) -> Plan | None:
    """Fill bars kind by kind in `order`; None when pieces remain and no bar holds them."""
    uses: list[tuple[Column, int]] = []
    cost = 0
    while any(left):
        best: tuple[Column, int] | None = None
        for kind in order:
            supply = supplies[kind]
            if supply == 0:
                continue
            counts = _bar(problem.sizes, left, problem.capacities[kind], fullest)
            if counts:
                times = min(left[i] // n for i, n in counts)
                times = times if supply is None else min(times, supply)
                best = ((kind, counts), times)
                break
        if best is None:
            return None
        (kind, counts), times = best
        for i, n in counts:
            left[i] -= n * times
        supply = supplies[kind]
        if supply is not None:
            supplies[kind] = supply - times
        uses.append(best)
        cost += times * problem.costs[kind]
    return _swap_to_cheaper(problem, uses, supplies, cost)


def _swap_to_cheaper(
    problem: Problem, uses: list[tuple[Column, int]], supplies: list[int | None], cost: int
) -> Plan:
    """Move each pattern to the cheapest kind that still holds it."""
    moved: list[tuple[Column, int]] = []
    for (kind, counts), times in uses:
        size = sum(problem.sizes[i] * n for i, n in counts)
        left = times
        for other in sorted(range(len(problem.costs)), key=lambda k: problem.costs[k]):
            if problem.costs[other] >= problem.costs[kind] or not left:
                break
            supply = supplies[other]
            if problem.capacities[other] < size or supply == 0:
                continue
            taken = left if supply is None else min(left, supply)
            if supply is not None:
                supplies[other] = supply - taken
            moved.append(((other, counts), taken))
            cost -= taken * (problem.costs[kind] - problem.costs[other])
            left -= taken
        if left:
            moved.append(((kind, counts), left))
    return Plan(tuple(moved), cost)


def _bar(sizes: list[int], left: list[int], capacity: int, fullest: bool) -> tuple[tuple[int, int], ...]:
    """Pieces for one bar: the longest first, then the longest again (or what fills the rest best)."""
    first = next((i for i, size in enumerate(sizes) if left[i] and size <= capacity), None)
    if first is None:
        return ()
    if not fullest:
        return _longest_first(sizes, left, capacity)
    rest = list(left)
    rest[first] -= 1
    counts = dict(_fullest(sizes, rest, capacity - sizes[first]))
    counts[first] = counts.get(first, 0) + 1
    return tuple(sorted(counts.items()))


def _longest_first(sizes: list[int], left: list[int], room: int) -> tuple[tuple[int, int], ...]:
    counts = []
    for i, size in enumerate(sizes):
        if left[i] and size <= room:
            n = min(left[i], room // size)
            counts.append((i, n))
            room -= n * size
    return tuple(counts)


def _fullest(sizes: list[int], left: list[int], room: int) -> list[tuple[int, int]]:
    """The set of pieces that leaves least of `room` (bits of a whole number are the lengths reached)."""
    mask = (1 << (room + 1)) - 1
    stages: list[tuple[int, int]] = []
    reach = 1
    for i, size in enumerate(sizes):
        for _ in range(min(left[i], room // size)):
            grown = reach | (reach << size) & mask
            if grown == reach:
                break
            stages.append((i, reach))
            reach = grown
        if reach >> room & 1:
            break
    at = reach.bit_length() - 1
    counts: dict[int, int] = {}
    for i, before in reversed(stages):
        if not before >> at & 1:
            counts[i] = counts.get(i, 0) + 1
            at -= sizes[i]
    return sorted(counts.items())
