"""Branching on how many bars of each kind are taken, of how many the leftover is kept, and on lots.

A linear program takes parts of bars, and where few kinds are dear most of its gap lies there: 15.04 bars for
sixteen. Each node holds the numbers between limits, so the columns found at one serve all; a node whose
numbers are whole is closed by listing what columns could still matter there. Where patterns have a price it
is branched on as long as that takes many columns: on how many lots (see `lots`) there are, in all and of each
kind of bar and size, last on how many of a piece lie on one bar of each.
"""

from collections.abc import Callable, Mapping, Sequence
from heapq import heappop, heappush
from math import ceil, floor

from kerfsmith.nesting.engines.sawroom.generation import Generation
from kerfsmith.nesting.engines.sawroom.limits import lot_of, lot_sizes
from kerfsmith.nesting.engines.sawroom.lots import Key, LotRow
from kerfsmith.nesting.stop import Watch

Limits = Mapping[Key, tuple[int | None, int | None]]
"""The least and most of each number that a node narrows."""

Node = tuple[int, int, int, Limits]
"""A node's bound, its depth below zero, its number, and its limits."""

CloseNode = Callable[[Limits, int, bool], int | None]
"""Closes a node, at its bound, as far as it can: improves the plan where it may, returns the bound then. None
where that would take long and needn't be: the node is branched on instead."""

MOST_NODES = 2000
PLUNGE = 80
RANKS = {"any": 2, "bar": 1, "piece": 0}
"""What lots are counted by, what comes first with the highest number."""


class _Waiting:
    """The nodes not looked at yet: that of the least bound comes first, the deepest among equals.

    With ``plunges`` every other stretch of ``PLUNGE`` nodes goes on from the last one put in instead, so as
    to come to a plan soon."""

    def __init__(self, bound: int, plunges: bool) -> None:
        self.heap: list[Node] = []
        self.stack: list[Node] = []
        self.done: set[int] = set()
        self.plunges, self.taken, self.number = plunges, 0, 0
        self.put(bound, {})

    def put(self, least: int, limits: Limits) -> None:
        """One more node."""
        self.number += 1
        node = least, -len(limits), self.number, limits
        heappush(self.heap, node)
        self.stack.append(node)

    def take(self, best: int) -> Node | None:
        """The next node whose bound is below ``best``; None where there is none."""
        if self.taken % PLUNGE == 0:
            self.stack = []
        plunging = self.plunges and self.taken // PLUNGE % 2 == 0
        self.taken += 1
        while plunging and self.stack:
            node = self.stack.pop()
            if node[2] not in self.done and node[0] < best:
                self.done.add(node[2])
                return node
        while self.heap:
            node = heappop(self.heap)
            if node[2] not in self.done:
                self.done.add(node[2])
                return node if node[0] < best else None
        return None

    def bounds(self) -> list[int]:
        """The bounds of all nodes still waiting."""
        return [node[0] for node in self.heap if node[2] not in self.done]


class Counting:
    """The search over numbers of bars for one aim."""

    def __init__(
        self, stage: Generation, best: Callable[[], int], rounded: Callable[[int], int], close: CloseNode
    ) -> None:
        """``best``: the value of the plan in hand. ``rounded``: the least value the aim can have from here
        on."""
        self.stage, self.best, self.rounded, self.close = stage, best, rounded, close
        self.keys = [key for key in stage.rows.limits if key[0] in ("supply", "kept")]
        self.every = tuple((size, 1) for size in lot_sizes(stage.room) if size)
        self.own = {key: (stage.rows.limits[key].least, stage.rows.limits[key].most) for key in self.keys}

    def raised(self, bound: int, watch: Watch) -> int:
        """The aim's bound after branching, from ``bound`` before it."""
        waiting = _Waiting(bound, plunges=self.stage.knows_runs)
        left_open: list[int] = []
        outer, self.stage.watch = self.stage.watch, watch
        known = self.stage.taken()
        while waiting.taken < MOST_NODES and not watch.is_over:
            node = waiting.take(self.best())
            if node is None:
                break
            for least, limits in self._children(node[3], node[0], left_open):
                waiting.put(least, limits)
        self._hold({})
        self.stage.put_back(known)
        self.stage.watch = outer
        return max(bound, min([self.best(), *left_open, *waiting.bounds()]))

    def _children(self, limits: Limits, least: int, left_open: list[int]) -> list[tuple[int, Limits]]:
        """Solves a node: none where it is closed or can't be closed, else the two it falls into."""
        self._hold(limits)
        self.stage.forget()
        values = self.stage.tightened()
        if self.stage.bound is not None:
            least = max(least, self.rounded(self.stage.bound))
        if least >= self.best():
            return []
        if values is None or self.stage.bound is None:
            left_open.append(least)
            return []
        key, number = self._most_parted(values)
        if key is None or key[0] == "lots":
            closed = self.close(limits, least, key is None)
            least = least if closed is None else max(least, closed)
            if least >= self.best():
                return []
            if key is None:
                left_open.append(least)
                return []
        low, high = limits.get(key, self._own(key))
        below = {**limits, key: (low, floor(number))}
        above = {**limits, key: (ceil(number), high)}
        if self.stage.knows_runs and number - floor(number) > 0.5:
            return [(least, below), (least, above)]
        return [(least, above), (least, below)]

    def _own(self, key: Key) -> tuple[int | None, int | None]:
        """A number's limits where no node narrows them."""
        if key not in self.own:
            row = key[1]
            assert isinstance(row, LotRow)
            self.stage.master.add_lots(row, None)
            self.own[key] = self.stage.rows.limits[key].least, self.stage.rows.limits[key].most
        return self.own[key]

    def _hold(self, limits: Limits) -> None:
        for key, own in self.own.items():
            self.stage.master.limit(key, *limits.get(key, own))

    def _most_parted(self, values: Sequence[float]) -> tuple[Key | None, float]:
        """The number furthest from a whole one, bars before leftovers kept."""
        numbers = dict.fromkeys(self.keys, 0.0)
        for value, variant in zip(values, self.stage.master.variants, strict=False):
            supply: Key = ("supply", variant.column.bar)
            kept: Key = ("kept", variant.column.bar)
            numbers[supply] += value * variant.all_bars
            if variant.kept and kept in numbers:
                numbers[kept] += value * variant.all_bars
        most = _furthest(numbers, {key: int(key[0] == "supply") for key in numbers})
        if most is None and self.stage.knows_runs:
            rows = self._lot_numbers(values)
            numbers = {row.key: number for row, number in rows.items()}
            most = _furthest(numbers, {row.key: RANKS[row.kind] + (len(row.weights) > 1) for row in rows})
        return (None, 0.0) if most is None else (most, numbers[most])

    def _lot_numbers(self, values: Sequence[float]) -> dict[LotRow, float]:
        """Lots of each size, in all and of each kind of bar, and pieces on one bar of each."""
        room = self.stage.room
        found: dict[LotRow, float] = {}
        for value, variant in zip(values, self.stage.master.variants, strict=False):
            size = lot_of(room, variant)
            if value > 1e-9 and size:
                one = ((size, 1),)
                for weights in (one, self.every):
                    for kind, place in (("bar", variant.column.bar), ("any", 0)):
                        row = LotRow(kind, place, weights)
                        found[row] = found.get(row, 0.0) + value
                for item, count in variant.column.counts:
                    row = LotRow("piece", room.items[item].piece, one)
                    found[row] = found.get(row, 0.0) + value * count
        return found


def _furthest(numbers: Mapping[Key, float], ranks: Mapping[Key, int]) -> Key | None:
    """The number furthest from a whole one among those of the highest rank."""
    best: tuple[float, Key] | None = None
    for key, number in numbers.items():
        part = abs(number - round(number))
        if part > 1e-5 and (best is None or part + ranks[key] > best[0]):
            best = part + ranks[key], key
    return None if best is None else best[1]
