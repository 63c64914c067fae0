"""Branching on pairs over a pool: are two pieces on the same bar or not (Ryan and Foster 1981).

Over many patterns all pairs that the LP all but joins are joined at once. Where that leads nowhere, the first
pair too many is found by halving, and the search goes on from each pair up to it set apart instead.
"""

import heapq
from dataclasses import dataclass, field
from random import Random
from typing import Literal

from kerfsmith.nesting.engines.columns.joining import Joining
from kerfsmith.nesting.engines.columns.pool import Pair, Pool, PoolPoint, pair_bars
from kerfsmith.nesting.engines.columns.problem import Column
from kerfsmith.nesting.engines.columns.run import Run

CUT_ROUNDS = 12
CUTS_A_ROUND = 40
MOST_CUTS = 400
"""Rounds of cuts at the root, cuts a round, and cuts from which no more are sought."""

LARGE = 60_000
"""Patterns from which a plan is looked for rather than a proof: pairs joined many at once, no cuts beyond
the root, and sooner anew.
"""

FIRST_NODES, FIRST_LARGE = 250, 60
NOISE = 0.3
"""LPs of the first search before it starts anew, and the chance mixed into its choices then."""

NEAR = 0.9
"""Share of a bar from which a pair is joined along with the nearest one."""


@dataclass(frozen=True, slots=True)
class Paired:
    """How the branching ended: a plan's patterns, `none` (proven: no plan), or `open`."""

    outcome: Literal["plan", "none", "open"]
    uses: tuple[tuple[Column, int], ...] = ()


@dataclass(frozen=True, slots=True)
class _Node:
    """Pairs to join one after the other from where a search stood (packed), and one to set apart then."""

    depth: int
    before: Joining
    joined: tuple[Pair, ...] = ()
    apart: Pair | None = None

    def state(self, pairs: int | None = None) -> Joining:
        """Where the node stands (or where it stood after so many of its pairs)."""
        state = self.before.unpacked()
        for pair in self.joined[:pairs]:
            state.join(pair)
        if pairs is None and self.apart is not None:
            state.pool.apart(*self.apart, state.alive)
        return state


def branch(run: Run, pool: Pool, nodes: int) -> Paired:
    """Search the pool for a plan of its target; exact when it ends by itself within `nodes`.

    The search starts anew from time to time with some chance in the choice of pairs, keeping the cuts it
    has found: a plan is often near the first dive, and hard to come by from a bad one.
    """
    first = FIRST_LARGE if len(pool.alive) > LARGE else FIRST_NODES
    spent, allowed, starts = 0, first, 0
    while spent < nodes:
        search = _Search(run, pool, min(allowed, nodes - spent), NOISE if starts else 0.0)
        ended = search.go()
        if ended.outcome != "open" or run.over() or search.ended:
            return ended
        spent += search.taken
        starts += 1
        run.counters["restarts"] += 1
        allowed += first if starts % 2 == 0 else 0
    return Paired("open")


@dataclass(slots=True)
class _Search:
    """One search, few pairs set apart first, up to `nodes` LPs; `ended`: by itself, not cut off."""

    run: Run
    pool: Pool
    nodes: int
    noise: float
    taken: int = 0
    ended: bool = False
    _heap: list[tuple[int, int, int, _Node]] = field(default_factory=list)
    _pushed: int = 0
    _uses: tuple[tuple[Column, int], ...] | None = None

    @property
    def large(self) -> bool:
        """Whether the pool is a large one."""
        return len(self.pool.alive) > LARGE

    def go(self) -> Paired:
        """Search until a plan is found, nothing is left, or the LPs are spent."""
        root = Joining(self.pool, self.pool.alive)
        self._push(0, _Node(0, root.packed()))
        undecided = False
        while self._heap and self.taken < self.nodes:
            apart, _, _, node = heapq.heappop(self._heap)
            state = node.state()
            point = self._solve(state, root=node.depth == 0)
            dead = len(node.joined) if node.apart is None else 0
            if point is not None and point.dead and dead > 1:
                dead = self._first_dead(node)
            if self._uses is not None:
                return Paired("plan", self._uses)
            if point is None or self.run.over():
                return Paired("open")
            for n in range(dead):
                depth = node.depth - len(node.joined) + n + 1
                self._push(apart + 1, _Node(depth, node.before, node.joined[:n], node.joined[n]))
            if point.dead:
                continue
            if node.depth == 0:
                self.pool.alive = state.alive.copy()
            pairs = _choose(self.pool, point, self.noise, self.run.chance)[: None if self.large else 1]
            undecided = undecided or not pairs
            if pairs:
                self._push(apart, _Node(node.depth + len(pairs), state.packed(), pairs))
        self.ended = not self._heap
        return Paired("open" if self._heap or undecided else "none")

    def _push(self, apart: int, node: _Node) -> None:
        self._pushed += 1
        heapq.heappush(self._heap, (apart, -node.depth, -self._pushed, node))

    def _first_dead(self, node: _Node) -> int:
        """How many of a dead node's pairs, joined in turn, already leave no plan."""
        low, high = 0, len(node.joined)
        while high - low > 1 and self._uses is None:
            middle = (low + high) // 2
            point = self._solve(node.state(middle))
            if point is None:
                break
            low, high = (low, middle) if point.dead else (middle, high)
        return high

    def _solve(self, state: Joining, root: bool = False) -> PoolPoint | None:
        """LP point with cuts (many rounds at the root, one elsewhere); a plan it makes is kept."""
        run, pool = self.run, self.pool
        self.taken += 1
        run.counters["pairing"] += 1
        run.counters["work"] += 1
        for left in range(CUT_ROUNDS if root else int(not self.large), -1, -1):
            point = pool.solve(state.alive, run.over)
            if point is None or point.dead:
                return point
            self._uses = _whole_bars(pool, point)
            if not left or self._uses is not None or len(pool.cuts) > MOST_CUTS:
                return point
            if not pool.cut(point, CUTS_A_ROUND if root else CUTS_A_ROUND // 4):
                return point
        return None


def _whole_bars(pool: Pool, point: PoolPoint) -> tuple[tuple[Column, int], ...] | None:
    """The plan of a point whose bars are whole (None otherwise)."""
    uses: list[tuple[Column, int]] = []
    for p, bars in point.bars.items():
        if abs(bars - round(bars)) > 1e-6:
            return None
        counts: dict[int, int] = {}
        for i in pool.items_of(p):
            counts[i] = counts.get(i, 0) + 1
        uses.append(((0, tuple(sorted(counts.items()))), round(bars)))
    cut = [0] * len(pool.problem.demands)
    for (_, held), times in uses:
        for i, n in held:
            cut[i] += n * times
    return tuple(uses) if cut == list(pool.problem.demands) else None


def _choose(pool: Pool, point: PoolPoint, noise: float, chance: Random) -> tuple[Pair, ...]:
    """The pair nearest to sharing one bar without doing so, give or take some chance, and others as near."""
    ranked = _ranked(pool, point, noise, chance, True) or _ranked(pool, point, noise, chance, False)
    chosen: list[Pair] = []
    held: set[int] = set()
    for rank, pair in ranked:
        if chosen and -rank < NEAR:
            break
        if held.isdisjoint(pair):
            chosen.append(pair)
            held.update(pair)
    return tuple(chosen)


def _ranked(
    pool: Pool, point: PoolPoint, noise: float, chance: Random, singles: bool
) -> list[tuple[float, Pair]]:
    return sorted(
        (-bars - (noise * chance.random() if noise else 0.0), pair)
        for pair, bars in sorted(pair_bars(pool, point, singles).items())
        if 1e-6 < bars < 1 - 1e-6
    )
