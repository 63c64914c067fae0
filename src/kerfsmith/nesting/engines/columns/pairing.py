"""Branching on pairs over a pool: are two pieces on the same bar or not (Ryan and Foster 1981)."""

import heapq
from dataclasses import dataclass
from typing import Any, Literal

from kerfsmith.nesting.engines.columns.pool import Pool, PoolPoint, pair_bars
from kerfsmith.nesting.engines.columns.problem import Column
from kerfsmith.nesting.engines.columns.run import Run

CUT_ROUNDS = 12
CUTS_A_ROUND = 40


@dataclass(frozen=True, slots=True)
class Paired:
    """How the branching ended: a plan's patterns, `none` (proven: no plan), or `open`."""

    outcome: Literal["plan", "none", "open"]
    uses: tuple[tuple[Column, int], ...] = ()


@dataclass(frozen=True, slots=True)
class _Node:
    pairs: tuple[tuple[int, int, bool], ...] = ()


def branch(run: Run, pool: Pool, nodes: int) -> Paired:
    """Search the pool for a plan of its target, few pairs set apart first; exact when it ends by itself."""
    heap: list[tuple[int, int, int, _Node]] = [(0, 0, 0, _Node())]
    count = 0
    undecided = False
    while heap and count < nodes:
        apart, _, _, node = heapq.heappop(heap)
        alive = pool.alive.copy()
        for i, j, joined in node.pairs:
            (pool.together if joined else pool.apart)(i, j, alive)
        point = _bounded(run, pool, alive, root=not node.pairs)
        run.counters["pairing"] += 1
        run.counters["work"] += 1
        if point is None:
            return Paired("open")
        if point.dead:
            continue
        uses = _whole_bars(pool, point)
        if uses is not None:
            return Paired("plan", uses)
        pair = _choose(pool, point)
        if pair is None:
            undecided = True
            continue
        depth = len(node.pairs) + 1
        count += 2
        heapq.heappush(heap, (apart, -depth, count, _Node((*node.pairs, (*pair, True)))))
        heapq.heappush(heap, (apart + 1, -depth, count + 1, _Node((*node.pairs, (*pair, False)))))
    return Paired("open" if heap or undecided else "none")


def _bounded(run: Run, pool: Pool, alive: Any, root: bool) -> PoolPoint | None:
    """LP point of a node, with cuts (many rounds at the root, one elsewhere)."""
    for left in range(CUT_ROUNDS if root else 1, -1, -1):
        point = pool.solve(alive, run.over)
        if point is None or point.dead or not left or _whole_bars(pool, point) is not None:
            return point
        if len(pool.cuts) > 400 or not pool.cut(point, CUTS_A_ROUND if root else 10):
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


def _choose(pool: Pool, point: PoolPoint) -> tuple[int, int] | None:
    """The pair nearest to sharing one bar without doing so."""
    pairs = [(-bars, pair) for pair, bars in pair_bars(pool, point).items() if 1e-6 < bars < 1 - 1e-6]
    return min(pairs)[1] if pairs else None
