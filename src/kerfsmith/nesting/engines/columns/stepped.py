"""Duals in equal steps by size, turned over beyond half a bar: the LP's bound, or nearly, for broad sizes.

With a step of length s, c the bar and x a piece: f(x) = 2 * floor(x / s) below half a bar, floor(c / s) at
half, 2 * (floor(c / s) - floor((c - x) / s)) beyond. No pattern is worth more than 2 * floor(c / s): pieces
below half are worth no more than one as long as all of them; beside a piece beyond half they are no longer
than c - x, and what they gain it has lost; beside one of half a bar they are worth at most floor(c / s).
Carlier, Clautiaux and Moukrim 2007, "New reduction procedures and lower bounds for the two-dimensional bin
packing problem with fixed orientation", Computers & Operations Research 34.
"""

import importlib
from typing import Any

from kerfsmith.nesting.engines.columns.pricing import Duals
from kerfsmith.nesting.engines.columns.problem import Problem

MOST_CELLS = 200_000
"""Steps times sizes looked at: a millisecond or two."""

PARTS = 4
"""On long bars a step is the least piece, or a whole part of it up to this, of those that take part."""


def stepped_duals(problem: Problem) -> Duals | None:
    """The best such duals for one endless kind of bar (None for other stock)."""
    if len(problem.capacities) > 1 or problem.supplies[0] is not None:
        return None
    np = importlib.import_module("numpy")
    capacity = problem.capacities[0]
    sizes = np.array(problem.sizes, np.int64)
    steps = _steps(sizes, capacity)
    worth = _worths(sizes, capacity, steps)
    values = (worth @ np.array(problem.demands, np.float64)) / (2 * (capacity // steps))
    best = int(np.argmax(values))
    items = tuple(int(u) * problem.costs[0] for u in worth[best])
    return Duals(items, (0,), 2 * (capacity // int(steps[best])))


def _steps(sizes: Any, capacity: int) -> Any:
    """The steps tried: all of them, or on long bars those at which some piece comes to be worth less."""
    np = importlib.import_module("numpy")
    most = max(1, MOST_CELLS // len(sizes))
    if capacity // 2 <= most:
        return np.arange(1, max(1, capacity // 2) + 1)
    rests = np.minimum(sizes, capacity - sizes)
    steps = np.unique(np.concatenate([rests // part for part in range(1, PARTS + 1)]))
    steps = steps[steps > 0]
    return steps[:: -(-len(steps) // most)] if len(steps) else np.ones(1, np.int64)


def _worths(sizes: Any, capacity: int, steps: Any) -> Any:
    """Worth of each size by each step."""
    np = importlib.import_module("numpy")
    step, size = steps[:, None], sizes[None, :]
    beyond, rests = 2 * size > capacity, np.minimum(size, capacity - size)
    low = 2 * (rests // step)
    worth = np.where(beyond, 2 * (capacity // step) - low, low)
    return np.where(2 * size == capacity, capacity // step, worth)
