"""Duals with two kinks by size: the LP's bound, or nearly, for pieces of a few to a bar.

With x the share of a bar that a piece takes, k a whole number and a slope of at least 1:
f(x) = 1/(k+1) + slope * (x - 1/(k+1)), held between 0 and 1/k. No pattern is worth more than 1: up to k
pieces are worth at most k/k; more than k pieces, j of them not worth 0, are worth at most
j/(k+1) + slope * (1 - j/(k+1)), which for j > k is at most 1 since the slope is at least 1.
What dual feasible functions are: Fekete and Schepers 2001, "New classes of fast lower bounds for bin packing
problems", Mathematical Programming 91.
"""

from bisect import bisect_left, bisect_right

from kerfsmith.nesting.engines.columns.pricing import Duals
from kerfsmith.nesting.engines.columns.problem import Problem

MOST_TO_A_BAR = 16
"""Greatest k tried."""

SCALE = 1 << 40


def kinked_duals(problem: Problem) -> Duals | None:
    """The best such duals for one endless kind of bar (None for other stock, or where they are no better
    than length alone).
    """
    if len(problem.capacities) > 1 or problem.supplies[0] is not None:
        return None
    best, chosen = problem.total_size / problem.capacities[0], None
    sizes = problem.sizes[::-1]
    pieces, lengths = [0], [0]
    for size, demand in zip(sizes, problem.demands[::-1], strict=True):
        pieces.append(pieces[-1] + demand)
        lengths.append(lengths[-1] + size * demand)
    capacity = problem.capacities[0]
    for k in range(1, min(MOST_TO_A_BAR, capacity // sizes[0]) + 1):
        if not any(capacity < size * (k + 1) and size * (k - 1) < capacity for size in sizes):
            continue
        for top, low in _slopes(sizes, capacity, k):
            worth = _value(sizes, pieces, lengths, capacity, k, top / low)
            if worth > best + 1e-9:
                best, chosen = worth, (k, top, low)
    if chosen is None:
        return None
    return Duals(
        tuple(_worth(size, capacity, *chosen) * problem.costs[0] for size in problem.sizes),
        (0,),
        SCALE,
    )


def length_duals(problem: Problem) -> Duals | None:
    """The best duals known by length alone (one endless kind only)."""
    if len(problem.capacities) > 1 or problem.supplies[0] is not None:
        return None
    plain = Duals(
        tuple(SCALE * s * problem.costs[0] // problem.capacities[0] for s in problem.sizes), (0,), SCALE
    )
    return kinked_duals(problem) or plain


def _slopes(sizes: list[int], capacity: int, k: int) -> list[tuple[int, int]]:
    """Slopes of at least 1 at which some piece comes to be worth 0 or 1/k (as fractions)."""
    slopes = {(1, 1)}
    for size in sizes:
        over = size * (k + 1) - capacity
        if 0 < over * k <= capacity:
            slopes.add((capacity, k * over))
        elif over < 0:
            slopes.add((capacity, -over))
    return sorted(slopes)


def _value(
    sizes: list[int], pieces: list[int], lengths: list[int], capacity: int, k: int, slope: float
) -> float:
    """Worth of all pieces together, in bars (as a float, for choosing only)."""
    middle = capacity / (k + 1)
    zero = bisect_right(sizes, middle - middle / slope)
    full = bisect_left(sizes, middle + capacity / (k * (k + 1) * slope))
    linear, length = pieces[full] - pieces[zero], lengths[full] - lengths[zero]
    return linear / (k + 1) + slope * (length / capacity - linear / (k + 1)) + (pieces[-1] - pieces[full]) / k


def _worth(size: int, capacity: int, k: int, top: int, low: int) -> int:
    """Worth of a piece over SCALE, rounded down, for the slope top/low."""
    over = size * (k + 1) - capacity
    return max(0, min(SCALE // k, SCALE * (low * capacity + top * over) // (low * capacity * (k + 1))))
