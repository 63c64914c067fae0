"""Pricing in whole numbers, and the bound that a set of whole-number duals proves.

Duals are scaled by a power of two and rounded down before pricing, so that every bound is exact whatever the
tolerance of the LP solver (as Held, Cook and Sewell 2012 do for colouring; the bound is Farley's, 1990, with the duals
of limited kinds raised until no pattern is worth more than its bar).
"""

import importlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import frexp
from typing import Any

from kerfsmith.nesting.engines.columns.knapsack import grow_states
from kerfsmith.nesting.engines.columns.problem import Column, Problem

PLAIN_STATES = 60_000
"""Estimated states from which the compiled kernel is worth its start-up."""

FIRST_ROOM = 1 << 18
MOST_ROOM = 1 << 25


@dataclass(frozen=True, slots=True)
class Duals:
    """Whole-number duals over `scale`: worth of each item, and price of each limited kind's scarcity."""

    items: tuple[int, ...]
    kinds: tuple[int, ...]
    scale: int

    def bound(self, problem: Problem) -> int:
        """Value of these duals times their scale: proven where no pattern is worth more than its bar."""
        total = sum(u * d for u, d in zip(self.items, problem.demands, strict=True))
        return total - sum(v * (q or 0) for v, q in zip(self.kinds, problem.supplies, strict=True))


@dataclass(frozen=True, slots=True)
class Priced:
    """What one pricing found: patterns worth more than their bar, and the most a pattern is worth on each kind."""

    columns: list[Column]
    most: tuple[int, ...]


@dataclass(slots=True)
class Pricer:
    """Prices patterns of one problem; keeps its working room from call to call."""

    problem: Problem
    calls: int = 0
    states: int = 0
    _room: int = FIRST_ROOM
    _arrays: list[Any] = field(default_factory=list)
    _kernel: Callable[..., int] | None = None

    def scale_for(self, worth: Sequence[float], kinds: Sequence[float]) -> int:
        """The greatest power of two (up to 2^40 a cost unit) that keeps the kernel's products inside 62 bits."""
        longest = self.problem.capacities[-1]
        ratio = max((u / s for u, s in zip(worth, self.problem.sizes, strict=True)), default=0.0)
        top = max(1.0, max(worth, default=0.0) * longest, ratio * longest * 128)
        top = max(top, max((c + v) * 128 for c, v in zip(self.problem.costs, kinds, strict=True)))
        return 1 << max(0, min(40, 61 - frexp(top)[1]))

    def price(self, duals: Duals, demands: Sequence[int], costs: Sequence[int], raised: int = 50) -> Priced:
        """Patterns within `demands` worth more than `costs` (scaled, scarcity included), many and diverse.

        `most[k]` is exact where some pattern beats `costs[k]`, else it equals `costs[k]`.
        """
        problem = self.problem
        longest = problem.capacities[-1]
        able = [
            i for i, u in enumerate(duals.items) if u > 0 and demands[i] > 0 and problem.sizes[i] <= longest
        ]
        able.sort(key=lambda i: (-duals.items[i] / problem.sizes[i], i))
        # float ratios may tie or swap in the last bit; the cut needs truly falling ratios
        _settle_order(able, duals.items, problem.sizes)
        copies = [min(demands[i], longest // problem.sizes[i]) for i in able]
        self.calls += 1
        data = self._run(
            [problem.sizes[i] for i in able], [duals.items[i] for i in able], copies, list(costs), raised
        )
        length, value, parent, item, best_of_item, best_of_kind = data
        most = tuple(
            max(costs[k], int(value[best_of_kind[k]])) if best_of_kind[k] else costs[k]
            for k in range(len(costs))
        )
        columns: dict[Column, None] = {}
        for state in [*best_of_kind, *best_of_item]:
            if state:
                counts: dict[int, int] = {}
                at, total, worth = int(state), int(length[state]), int(value[state])
                while parent[at] >= 0:
                    i = able[item[at]]
                    counts[i] = counts.get(i, 0) + 1
                    at = int(parent[at])
                fits = [k for k in range(len(costs)) if problem.capacities[k] >= total and worth > costs[k]]
                kind = max(fits, key=lambda k: worth - costs[k])
                columns[(kind, tuple(sorted(counts.items())))] = None
        return Priced(list(columns), most)

    def _run(
        self, sizes: list[int], values: list[int], copies: list[int], costs: list[int], raised: int
    ) -> Any:
        states = sum(copies) * min(self.problem.capacities[-1], 3000)
        if self._kernel is None and states > PLAIN_STATES:
            self._kernel = compiled()
        while True:
            if self._kernel is not None:
                done, data = self._run_compiled(sizes, values, copies, costs, raised)
            else:
                done, data = self._run_plain(sizes, values, copies, costs, raised)
            if done >= 0:
                self.states += done
                return data
            self._room *= 4
            if self._room > MOST_ROOM:
                raise MemoryError("pricing needs more states than it may hold")
            self._arrays = []

    def _run_plain(
        self, sizes: list[int], values: list[int], copies: list[int], costs: list[int], raised: int
    ) -> tuple[int, Any]:
        room = self._room
        if not self._arrays or not isinstance(self._arrays[0], list):
            self._arrays = [[0] * room for _ in range(8)]
        length, value, parent, item, current, fresh, merged, newer = self._arrays
        of_item, of_kind = [0] * len(sizes), [0] * len(costs)
        done = grow_states(
            sizes, values, copies, self.problem.capacities, costs, raised,
            length, value, parent, item, of_item, of_kind, current, fresh, merged, newer,
        )  # fmt: skip
        return done, (length, value, parent, item, of_item, of_kind)

    def _run_compiled(
        self, sizes: list[int], values: list[int], copies: list[int], costs: list[int], raised: int
    ) -> tuple[int, Any]:
        np = importlib.import_module("numpy")
        room = self._room
        if not self._arrays or isinstance(self._arrays[0], list):
            self._arrays = [np.empty(room, np.int64) for _ in range(2)]
            self._arrays += [np.empty(room, np.int32) for _ in range(6)]
        length, value, parent, item, current, fresh, merged, newer = self._arrays
        of_item, of_kind = np.zeros(len(sizes), np.int32), np.zeros(len(costs), np.int32)
        kernel = self._kernel
        assert kernel is not None
        done = kernel(
            np.array(sizes, np.int64), np.array(values, np.int64), np.array(copies, np.int64),
            np.array(self.problem.capacities, np.int64), np.array(costs, np.int64), raised,
            length, value, parent, item, of_item, of_kind, current, fresh, merged, newer,
        )  # fmt: skip
        return int(done), (length, value, parent, item, of_item, of_kind)


def _settle_order(able: list[int], worth: Sequence[int], sizes: Sequence[int]) -> None:
    """Insertion sort by exact ratio (the list is all but sorted)."""
    for n in range(1, len(able)):
        at = n
        while at and worth[able[at]] * sizes[able[at - 1]] > worth[able[at - 1]] * sizes[able[at]]:
            able[at - 1], able[at] = able[at], able[at - 1]
            at -= 1


_compiled: dict[str, Callable[..., int]] = {}


def compiled() -> Callable[..., int]:
    """The state kernel compiled by numba (kept on disk from the first time on)."""
    if "grow" not in _compiled:
        numba = importlib.import_module("numba")
        _compiled["grow"] = numba.njit(cache=True, nogil=True)(grow_states)
    return _compiled["grow"]


def proven_duals(problem: Problem, duals: Duals, most: Sequence[int]) -> Duals:
    """Duals no pattern beats, made from `duals` given the most a pattern is worth on each kind.

    Limited kinds take the excess into their scarcity; where an endless kind is beaten all duals shrink (Farley).
    """
    top, low = 1, 1
    for k, supply in enumerate(problem.supplies):
        price = problem.costs[k] * duals.scale
        if supply is None and most[k] * low > price * top:
            low, top = price, most[k]
    items = tuple(u * low // top for u in duals.items)
    kinds = tuple(
        0 if supply is None else max(0, -(-most[k] * low // top) - problem.costs[k] * duals.scale)
        for k, supply in enumerate(problem.supplies)
    )
    return Duals(items, kinds, duals.scale)
