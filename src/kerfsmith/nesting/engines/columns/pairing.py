"""Branching on pairs over a pool: are two pieces on the same bar or not (Ryan and Foster 1981)."""

import heapq
import importlib
from dataclasses import dataclass
from random import Random
from typing import Any, Literal

from kerfsmith.nesting.engines.columns.pool import Pool, PoolPoint, pair_bars
from kerfsmith.nesting.engines.columns.problem import Column
from kerfsmith.nesting.engines.columns.run import Run

CUT_ROUNDS = 12
CUTS_A_ROUND = 40
"""Rounds of cuts at the root, and cuts a round."""

FIRST_NODES = 250
NOISE = 0.3
"""LPs of the first search before it starts anew, and the chance mixed into its choices then."""


@dataclass(frozen=True, slots=True)
class Paired:
    """How the branching ended: a plan's patterns, `none` (proven: no plan), or `open`."""

    outcome: Literal["plan", "none", "open"]
    uses: tuple[tuple[Column, int], ...] = ()


@dataclass(frozen=True, slots=True)
class _Node:
    depth: int
    alive: Any


def branch(run: Run, pool: Pool, nodes: int) -> Paired:
    """Search the pool for a plan of its target; exact when it ends by itself within `nodes`.

    The search starts anew from time to time with some chance in the choice of pairs, keeping the cuts it
    has found: a plan is often near the first dive, and hard to come by from a bad one.
    """
    spent, allowed, starts = 0, FIRST_NODES, 0
    while spent < nodes:
        ended, used = _search(run, pool, min(allowed, nodes - spent), NOISE if starts else 0.0)
        if ended.outcome != "open" or run.over() or used < allowed:
            return ended
        spent += used
        starts += 1
        run.counters["restarts"] += 1
        allowed += FIRST_NODES if starts % 2 == 0 else 0
    return Paired("open")


def _search(run: Run, pool: Pool, nodes: int, noise: float) -> tuple[Paired, int]:
    """One search, few pairs set apart first, up to `nodes` LPs; how it ended and the LPs it took."""
    np = importlib.import_module("numpy")
    size = len(pool.alive)
    heap: list[tuple[int, int, int, _Node]] = [(0, 0, 0, _Node(0, np.packbits(pool.alive)))]
    count, taken = 0, 0
    undecided = False
    while heap and taken < nodes:
        apart, _, _, node = heapq.heappop(heap)
        alive = np.unpackbits(node.alive, count=size)
        point = _bounded(run, pool, alive, root=node.depth == 0)
        taken += 1
        run.counters["pairing"] += 1
        run.counters["work"] += 1
        if point is None:
            return Paired("open"), 0
        if point.dead:
            continue
        uses = _whole_bars(pool, point)
        if uses is not None:
            return Paired("plan", uses), taken
        if node.depth == 0:
            pool.alive = alive.copy()
        pair = _choose(pool, point, noise, run.chance)
        if pair is None:
            undecided = True
            continue
        depth = node.depth + 1
        count += 2
        for joined in (True, False):
            child = alive.copy()
            (pool.together if joined else pool.apart)(*pair, child)
            worse = apart + (not joined)
            heapq.heappush(heap, (worse, -depth, count + joined, _Node(depth, np.packbits(child))))
    if heap:
        return Paired("open"), taken
    return Paired("open" if undecided else "none"), 0


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


def _choose(pool: Pool, point: PoolPoint, noise: float, chance: Random) -> tuple[int, int] | None:
    """The pair nearest to sharing one bar without doing so, give or take some chance."""
    best, chosen = -1.0, None
    for pair, bars in sorted(pair_bars(pool, point).items()):
        if 1e-6 < bars < 1 - 1e-6:
            rank = bars + (noise * chance.random() if noise else 0.0)
            if rank > best:
                best, chosen = rank, pair
    return chosen
