"""Pricing in whole numbers, and the bound that a set of whole-number duals proves.

Duals are scaled by a power of two and rounded down before pricing, so that every bound is exact whatever the
tolerance of the LP solver (as Held, Cook and Sewell 2012 do for colouring; the bound is Farley's, 1990,
with the duals of limited kinds raised until no pattern is worth more than its bar).
"""

import importlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import frexp
from typing import Any

from kerfsmith.nesting.engines.columns.compiling import compiled
from kerfsmith.nesting.engines.columns.knapsack import grow_states, trace_states
from kerfsmith.nesting.engines.columns.problem import Column, Problem

PLAIN_STATES = 60_000
"""Estimated states from which the compiled kernel is worth its start-up."""

FIRST_ROOM = 1 << 16
MOST_ROOM = 1 << 23
"""States one pricing may hold, to begin with and at most."""

RAISED = 50
"""How far (percent) what is wanted rises towards the best pattern found so far."""

WIDE = 1 << 30
NARROW = 1500
"""Lists of states left whole, and thinned."""

MANY = 60
"""Patterns taken from one pricing."""


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
    """What one pricing found: patterns worth more than their bar, and the most one is worth on each kind."""

    columns: list[Column]
    most: tuple[int, ...]
    exact: bool


@dataclass(slots=True)
class Pricer:
    """Prices patterns of one problem; keeps its working room from call to call."""

    problem: Problem
    calls: int = 0
    states: int = 0
    _room: int = FIRST_ROOM
    _arrays: list[Any] = field(default_factory=list)
    _kernels: tuple[Callable[..., int], Callable[..., None]] | None = None

    def scale_for(self, worth: Sequence[float], kinds: Sequence[float]) -> int:
        """The greatest power of two (up to 2^40) that keeps the kernel's products inside 62 bits."""
        longest = self.problem.capacities[-1]
        ratio = max((u / s for u, s in zip(worth, self.problem.sizes, strict=True)), default=0.0)
        top = max(1.0, max(worth, default=0.0) * longest, ratio * longest * 128)
        top = max(top, max((c + v) * 128 for c, v in zip(self.problem.costs, kinds, strict=True)))
        return 1 << max(0, min(40, 61 - frexp(top)[1]))

    def price(
        self,
        duals: Duals,
        demands: Sequence[int],
        costs: Sequence[int],
        width: int = WIDE,
        many: int = MANY,
    ) -> Priced:
        """Patterns within `demands` worth more than `costs` (scaled, scarcity included), many and diverse.

        `most[k]` is exact where some pattern beats `costs[k]`, else it equals `costs[k]`. With a `width` the
        lists of states are thinned to it; `exact` says whether that happened.
        """
        sizes, worth = self.problem.sizes, duals.items
        longest = self.problem.capacities[-1]
        able = [i for i, u in enumerate(worth) if u > 0 and demands[i] > 0 and sizes[i] <= longest]
        able.sort(key=lambda i: (-worth[i] / sizes[i], i))
        # float ratios may tie or swap in the last bit; the cut needs truly falling ratios
        _settle_order(able, worth, sizes)
        copies = [min(demands[i], longest // sizes[i]) for i in able]
        self.calls += 1
        grown = self._grow([sizes[i] for i in able], [worth[i] for i in able], copies, list(costs), width)
        most = tuple(max(cost, value) for cost, value in zip(costs, grown.kind_values, strict=True))
        columns: dict[Column, None] = {}
        for state in grown.choose(self.problem.capacities, costs, many):
            counts: dict[int, int] = {}
            for j in state.items:
                counts[able[j]] = counts.get(able[j], 0) + 1
            columns[(state.kind, tuple(sorted(counts.items())))] = None
        return Priced(list(columns), most, grown.exact)

    def _grow(
        self, sizes: list[int], values: list[int], copies: list[int], costs: list[int], width: int
    ) -> "_Grown":
        states = sum(copies) * min(self.problem.capacities[-1], 3000)
        if self._kernels is None and states > PLAIN_STATES:
            self._kernels = (compiled(grow_states), compiled(trace_states))
        plain = self._kernels is None
        capacities = self.problem.capacities
        while True:
            if not self._arrays or plain != isinstance(self._arrays[0], list):
                self._arrays = _working_room(self._room, plain)
            length, value, parent, item, *lists = self._arrays
            if self._kernels is None:
                of_item, of_kind = [0] * len(sizes), [0] * len(costs)
                done = grow_states(
                    sizes, values, copies, capacities, costs, RAISED, width,
                    length, value, parent, item, of_item, of_kind, *lists,
                )  # fmt: skip
                trace = trace_states
            else:
                grow, trace = self._kernels
                given = [_whole(a) for a in (sizes, values, copies, capacities, costs)]
                of_item, of_kind = _whole([0] * len(sizes)), _whole([0] * len(costs))
                done = int(grow(*given, RAISED, width, length, value, parent, item, of_item, of_kind, *lists))
            if done:
                self.states += abs(done)
                return _Grown(self._arrays, list(of_item), list(of_kind), done > 0, trace, plain)
            self._room *= 4
            if self._room > MOST_ROOM:
                # too many to hold: thin the lists instead, which gives patterns but no proof
                self._room, width = MOST_ROOM, min(width // 2, 16 * NARROW)
            self._arrays = []


@dataclass(frozen=True, slots=True)
class _State:
    kind: int
    items: list[int]


@dataclass(slots=True)
class _Grown:
    """What the kernel left: its arrays, the states it points out, and whether its lists were whole."""

    arrays: list[Any]
    of_item: list[int]
    of_kind: list[int]
    exact: bool
    trace: Callable[..., None]
    plain: bool

    @property
    def kind_values(self) -> list[int]:
        """Worth of the best state on each kind (0: none)."""
        value = self.arrays[1]
        return [int(value[s]) if s else 0 for s in self.of_kind]

    def choose(self, capacities: Sequence[int], costs: Sequence[int], many: int) -> list[_State]:
        """The states of most excess worth, at most `many`, each with its best kind and its items."""
        states = sorted({int(s) for s in (*self.of_kind, *self.of_item) if s})
        if not states:
            return []
        length, value = self.arrays[0], self.arrays[1]
        if self.plain:
            sized = [(s, length[s], value[s]) for s in states]
        else:
            at = _whole(states)
            sized = list(zip(states, length[at].tolist(), value[at].tolist(), strict=True))
        ranked = []
        for s, total, worth in sized:
            excess, kind = max(
                (worth - costs[k], -k) for k, capacity in enumerate(capacities) if capacity >= total
            )
            ranked.append((-excess, s, -kind))
        ranked.sort()
        chosen = ranked[:many]
        items = self._items([s for _, s, _ in chosen])
        return [_State(kind, held) for (_, _, kind), held in zip(chosen, items, strict=True)]

    def _items(self, states: list[int]) -> list[list[int]]:
        _, _, parent, item, *lists = self.arrays
        out = lists[0]
        self.trace(states if self.plain else _whole(states), parent, item, out)
        found: list[list[int]] = []
        at = 0
        flat = out if self.plain else out[: _trace_end(out, len(states))].tolist()
        for _ in states:
            held = []
            while flat[at]:
                held.append(flat[at] - 1)
                at += 1
            at += 1
            found.append(held)
        return found


def _whole(values: Sequence[int]) -> Any:
    return importlib.import_module("numpy").array(values, dtype="int64")


def _working_room(room: int, plain: bool) -> list[Any]:
    """Room for lengths, values, parents and items of states, and for four lists of states."""
    if plain:
        return [[0] * room for _ in range(8)]
    np = importlib.import_module("numpy")
    return [np.empty(room, np.int64 if n < 2 else np.int32) for n in range(8)]


def _trace_end(out: Any, states: int) -> int:
    """Where the items of the last state end in `out`."""
    np = importlib.import_module("numpy")
    size = 64 * states
    while True:
        ends = np.flatnonzero(out[:size] == 0)
        if len(ends) >= states:
            return int(ends[states - 1]) + 1
        size *= 4


def _settle_order(able: list[int], worth: Sequence[int], sizes: Sequence[int]) -> None:
    """Insertion sort by exact ratio (the list is all but sorted)."""
    for n in range(1, len(able)):
        at = n
        while at and worth[able[at]] * sizes[able[at - 1]] > worth[able[at - 1]] * sizes[able[at]]:
            able[at - 1], able[at] = able[at], able[at - 1]
            at -= 1


def proven_duals(problem: Problem, duals: Duals, most: Sequence[int]) -> Duals:
    """Duals no pattern beats, made from `duals` given the most a pattern is worth on each kind.

    Limited kinds take the excess into their scarcity; where an endless kind is beaten all duals shrink
    (Farley).
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
