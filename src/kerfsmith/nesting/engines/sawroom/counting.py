"""Branching on how many bars of each kind are taken, and of how many the leftover is kept.

A linear program takes parts of bars, and where few kinds are dear most of its gap lies there: 15.04 bars for
sixteen. Each node holds the numbers between limits, so the columns found at one serve all; a node whose
numbers are whole is closed by listing what columns could still matter there.
"""

from collections.abc import Callable, Mapping, Sequence
from heapq import heappop, heappush
from math import ceil, floor

from kerfsmith.nesting.engines.sawroom.generation import Generation
from kerfsmith.nesting.engines.sawroom.limits import Key
from kerfsmith.nesting.stop import Watch

Limits = Mapping[Key, tuple[int | None, int | None]]
"""The least and most of each number that a node narrows."""

CloseNode = Callable[[Limits, int], int]
"""Closes a node, at its bound, as far as it can: improves the plan where it may, returns the bound then."""

MOST_NODES = 400


class Counting:
    """The search over numbers of bars for one aim."""

    def __init__(
        self, stage: Generation, best: Callable[[], int], rounded: Callable[[int], int], close: CloseNode
    ) -> None:
        """``best``: the value of the plan in hand. ``rounded``: the least value the aim can have from here
        on."""
        self.stage, self.best, self.rounded, self.close = stage, best, rounded, close
        self.keys = [key for key in stage.rows.limits if key[0] in ("supply", "kept")]
        self.own = {key: (stage.rows.limits[key].least, stage.rows.limits[key].most) for key in self.keys}

    def raised(self, bound: int, watch: Watch) -> int:
        """The aim's bound after branching, from ``bound`` before it."""
        waiting: list[tuple[int, int, Limits]] = [(bound, 0, {})]
        left_open: list[int] = []
        nodes = 0
        outer, self.stage.watch = self.stage.watch, watch
        known = self.stage.taken()
        while waiting and nodes < MOST_NODES and not watch.is_over:
            least, _, limits = heappop(waiting)
            if least >= self.best():
                waiting = []
                break
            nodes += 1
            narrowed = self._children(limits, least, left_open)
            for number, (child_bound, child) in enumerate(narrowed):
                heappush(waiting, (child_bound, 2 * nodes + number, child))
        self._hold({})
        self.stage.put_back(known)
        self.stage.watch = outer
        return max(bound, min([self.best(), *left_open, *(least for least, _, _ in waiting)]))

    def _children(self, limits: Limits, least: int, left_open: list[int]) -> list[tuple[int, Limits]]:
        """Solves a node: none where it is closed or can't be closed, else the two it falls into."""
        self._hold(limits)
        self.stage.forget()
        values = self.stage.to_optimum()
        if self.stage.bound is not None:
            least = max(least, self.rounded(self.stage.bound))
        if least >= self.best():
            return []
        if values is None or self.stage.bound is None:
            left_open.append(least)
            return []
        key, number = self._most_parted(values)
        if key is None:
            closed = self.close(limits, least)
            if closed < self.best():
                left_open.append(closed)
            return []
        low, high = limits.get(key, self.own[key])
        below = {**limits, key: (low, floor(number))}
        above = {**limits, key: (ceil(number), high)}
        return [(least, above), (least, below)]

    def _hold(self, limits: Limits) -> None:
        for key in self.keys:
            self.stage.master.limit(key, *limits.get(key, self.own[key]))

    def _most_parted(self, values: Sequence[float]) -> tuple[Key | None, float]:
        """The number furthest from a whole one, bars before leftovers kept."""
        numbers = dict.fromkeys(self.keys, 0.0)
        for value, variant in zip(values, self.stage.master.variants, strict=False):
            supply: Key = ("supply", variant.column.bar)
            kept: Key = ("kept", variant.column.bar)
            numbers[supply] += value * variant.bars
            if variant.kept and kept in numbers:
                numbers[kept] += value * variant.bars
        best: tuple[float, Key] | None = None
        for key, number in numbers.items():
            part = abs(number - round(number)) + (1.0 if key[0] == "supply" else 0.0)
            if abs(number - round(number)) > 1e-5 and (best is None or part > best[0]):
                best = part, key
        return (None, 0.0) if best is None else (best[1], numbers[best[1]])
