"""Kernels over a list of patterns held as one run of items (compiled by numba when a pool is built)."""

from typing import Any


def scan_costs(start: Any, flat: Any, worth: Any, alive: Any, cost: Any) -> None:
    """Reduced cost of each pattern (1 less the worth of its pieces); dead ones get a large one."""
    for p in range(len(start) - 1):
        if alive[p]:
            total = worth[0] - worth[0] + 1
            for e in range(start[p], start[p + 1]):
                total -= worth[flat[e]]
            cost[p] = total
        else:
            cost[p] = 4


def scan_whole_costs(start: Any, flat: Any, worth: Any, scale: Any, cost: Any) -> None:
    """The same in whole numbers over `scale`, dead or not."""
    for p in range(len(start) - 1):
        total = scale
        for e in range(start[p], start[p + 1]):
            total -= worth[flat[e]]
        cost[p] = total


def count_pieces(start: Any, flat: Any, marked: Any, count: Any) -> None:
    """How many pieces of marked items each pattern holds."""
    for p in range(len(start) - 1):
        n = 0
        for e in range(start[p], start[p + 1]):
            n += marked[flat[e]]
        count[p] = n
