"""Lower bounds from the sizes alone, before any LP."""

from fractions import Fraction

from kerfsmith.nesting.engines.columns.problem import Problem


def material_bound(problem: Problem) -> int:
    """Cost of the cheapest bars whose length holds all pieces, bars cut into parts allowed (whole units of cost)."""
    need = problem.total_size
    cost = Fraction(0)
    kinds = sorted(
        range(len(problem.costs)), key=lambda k: Fraction(problem.costs[k], max(1, problem.capacities[k]))
    )
    for k in kinds:
        supply, capacity = problem.supplies[k], problem.capacities[k]
        if capacity == 0:
            continue
        if supply is None or supply * capacity >= need:
            cost += Fraction(need * problem.costs[k], capacity)
            break
        need -= supply * capacity
        cost += supply * problem.costs[k]
    bound = -(-cost.numerator // cost.denominator)
    if len(kinds) == 1:
        bound = max(bound, step_bound(problem) * problem.costs[0])
    return bound


def step_bound(problem: Problem) -> int:
    """Martello and Toth's L2 (1990) for one kind: pieces beyond half a bar need a bar each, and what they leave
    counts for pieces from each threshold on."""
    capacity = problem.capacities[0]
    sized = list(zip(problem.sizes, problem.demands, strict=True))
    best = 0
    for threshold in [0, *(s for s, _ in sized if 2 * s <= capacity)]:
        alone = sum(d for s, d in sized if s > capacity - threshold)
        halves = [(s, d) for s, d in sized if capacity - threshold >= s and 2 * s > capacity]
        small = sum(s * d for s, d in sized if 2 * s <= capacity and s >= threshold)
        bars = sum(d for _, d in halves)
        room = bars * capacity - sum(s * d for s, d in halves)
        more = max(0, -(-(small - room) // capacity))
        best = max(best, alone + bars + more)
    return best
