"""Lower bounds from the sizes alone, before any LP."""

from fractions import Fraction

from kerfsmith.nesting.engines.columns.problem import Problem


def material_bound(problem: Problem) -> int:
    """Cost of the cheapest bars whose length holds all pieces, parts of bars allowed (rounded up)."""
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
    """Martello and Toth's L2 (1990) for one kind.

    Pieces beyond half a bar need a bar each; what they leave counts for the pieces from each size on.
    """
    capacity = problem.capacities[0]
    sized = list(zip(problem.sizes, problem.demands, strict=True))
    pieces, lengths = [0], [0]
    for size, demand in sized:
        pieces.append(pieces[-1] + demand)
        lengths.append(lengths[-1] + size * demand)
    half = sum(1 for size, _ in sized if 2 * size > capacity)
    best = pieces[half]
    for end in range(half, len(sized)):
        # pieces from the longest down to this size count, those too long to stand beside it stand alone
        alone = sum(1 for size, _ in sized[:half] if size > capacity - sized[end][0])
        room = (pieces[half] - pieces[alone]) * capacity - (lengths[half] - lengths[alone])
        small = lengths[end + 1] - lengths[half]
        best = max(best, pieces[half] + max(0, -(-(small - room) // capacity)))
    return best
