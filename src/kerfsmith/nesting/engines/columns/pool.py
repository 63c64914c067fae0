"""All patterns a plan within the target can use, held in arrays, and the LP over them with cuts.

With every useful pattern at hand, pricing is a scan, so cuts and branching cost nothing in the knapsack.
One kind of bar, demand met exactly. Subset-row cuts: Jepsen, Petersen, Spoorendonk, Pisinger 2008 (three
rows, one half each).
"""

import importlib
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import Any

import highspy

from kerfsmith.nesting.engines.columns.compiling import compiled
from kerfsmith.nesting.engines.columns.master import quiet_highs
from kerfsmith.nesting.engines.columns.problem import Column, Problem
from kerfsmith.nesting.engines.columns.scanning import count_pieces, scan_costs, scan_whole_costs

SCALE = 1 << 40
TAKEN = 120
"""Patterns taken into the LP from one scan."""

FEW = 5
"""Patterns of the fewest pieces that each piece brings into the LP to begin with."""

Pair = tuple[int, int]
Triple = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class PoolPoint:
    """An LP optimum over the pool: bars by pattern (only those used) and whether it is known to be dead."""

    bars: dict[int, float]
    dead: bool


@dataclass(slots=True)
class Pool:
    """The patterns, their LP for a plan of `target` bars, and the cuts added to it."""

    problem: Problem
    target: int
    start: Any
    flat: Any
    alive: Any
    cuts: dict[Triple, tuple[Any, Any]] = field(default_factory=dict)
    solves: int = 0
    single: list[bool] = field(default_factory=list)
    threes: dict[tuple[int, ...], int] = field(default_factory=dict)
    _np: Any = None
    _lp: Any = None
    _col_of: Any = None
    _cols: list[int] = field(default_factory=list)
    _holding: list[Any] = field(default_factory=list)
    _cost: Any = None
    _of_size: dict[int, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        np = self._np = importlib.import_module("numpy")
        n, m = len(self.start) - 1, len(self.problem.sizes)
        self._col_of = np.full(n, -1, np.int32)
        self._cost = np.empty(n, np.float64)
        owner = np.repeat(np.arange(n, dtype=np.int32), np.diff(self.start))
        order = np.argsort(self.flat, kind="stable")
        ends = np.searchsorted(self.flat[order], np.arange(m + 1))
        self._holding = [np.unique(owner[order[ends[i] : ends[i + 1]]]) for i in range(m)]
        self._lp = quiet_highs()
        self._lp.setOptionValue("solver", "simplex")
        self._lp.setOptionValue("presolve", "off")
        for i, demand in enumerate(self.problem.demands):
            self._lp.addRow(float(demand), float(demand), 0, [], [])
            # a piece left out costs more than any bar is worth to it: the LP always has a point
            self._lp.addCol(2.0, 0.0, highspy.kHighsInf, 1, [i], [1.0])
        self._of_size = {size: i for i, size in enumerate(self.problem.sizes)}
        self.single = [demand == 1 for demand in self.problem.demands]
        pieces = np.diff(self.start)
        self.threes = {tuple(sorted(self.items_of(p))): int(p) for p in np.flatnonzero(pieces == 3)}
        self.add_patterns(self._short_ones(pieces))

    def _short_ones(self, pieces: Any) -> list[int]:
        """A few patterns of each piece, those of the fewest pieces: a plan's LP is soon had from them."""
        np = self._np
        few = [held[np.argsort(pieces[held], kind="stable")[:FEW]] for held in self._holding]
        return [int(p) for p in np.unique(np.concatenate(few))]

    def items_of(self, pattern: int) -> list[int]:
        """The pieces of a pattern, one by one."""
        return [int(i) for i in self.flat[self.start[pattern] : self.start[pattern + 1]]]

    def columns_alive(self) -> list[Column]:
        """The patterns not shut for good, as columns."""
        columns: list[Column] = []
        for p in self._np.flatnonzero(self.alive):
            counts: dict[int, int] = defaultdict(int)
            for i in self.items_of(p):
                counts[i] += 1
            columns.append((0, tuple(sorted(counts.items()))))
        return columns

    def filler(self, pair: Pair) -> int | None:
        """The piece that is just as long as what a pair leaves of a bar (none: None)."""
        sizes = self.problem.sizes
        return self._of_size.get(self.problem.capacities[0] - sizes[pair[0]] - sizes[pair[1]])

    def shut(self, i: int, alive: Any) -> None:
        """Shut the patterns that hold a piece."""
        alive[self._holding[i]] = 0

    def together(self, i: int, j: int, alive: Any) -> None:
        """Shut the patterns that hold a piece wanted once without its partner."""
        for one, other in ((i, j), (j, i)):
            if self.single[one]:
                held = self._holding
                alive[self._np.setdiff1d(held[one], held[other], assume_unique=True)] = 0

    def apart(self, i: int, j: int, alive: Any) -> None:
        """Shut the patterns that hold both pieces."""
        np = self._np
        alive[np.intersect1d(self._holding[i], self._holding[j], assume_unique=True)] = 0

    def add_patterns(self, patterns: Sequence[int]) -> int:
        """Take patterns into the LP; how many were new."""
        new = [p for p in patterns if self._col_of[p] < 0]
        starts: list[int] = []
        index: list[int] = []
        value: list[float] = []
        m = len(self.problem.sizes)
        for n, p in enumerate(new):
            self._col_of[p] = len(self._cols) + n
            counts: dict[int, float] = defaultdict(float)
            for i in self.items_of(p):
                counts[i] += 1.0
            starts.append(len(index))
            index.extend(counts)
            value.extend(counts.values())
            for row, (held, coefficient) in enumerate(self.cuts.values()):
                at = int(self._np.searchsorted(held, p))
                if at < len(held) and held[at] == p:
                    index.append(m + row)
                    value.append(float(coefficient[at]))
        n = len(new)
        inf = highspy.kHighsInf
        self._lp.addCols(n, [1.0] * n, [0.0] * n, [inf] * n, len(index), starts, index, value)
        self._cols.extend(new)
        return n

    def solve(self, alive: Any, over: Callable[[], bool]) -> PoolPoint | None:
        """LP optimum over the patterns alive; `dead` when it is proven to need more than the target."""
        np, m = self._np, len(self.problem.sizes)
        n = len(self._cols)
        shut = (
            np.where(alive[np.array(self._cols, np.int64)] > 0, highspy.kHighsInf, 0.0) if n else np.zeros(0)
        )
        if n:
            self._lp.changeColsBounds(n, np.arange(m, m + n, dtype=np.int32), np.zeros(n), shut)
        while not over():
            self._lp.run()
            self.solves += 1
            if self._lp.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                return None
            solution = self._lp.getSolution()
            duals = np.array(solution.row_dual)
            value = self._lp.getInfo().objective_function_value
            compiled(scan_costs)(self.start, self.flat, duals[:m], alive, self._cost)
            for row, (held, coefficient) in enumerate(self.cuts.values()):
                if duals[m + row] != 0.0:
                    self._cost[held] -= duals[m + row] * coefficient
            least = float(self._cost.min()) if len(self._cost) else 0.0
            if value + min(0.0, least) * self.target > self.target + 1e-6 and self._sift(duals, alive):
                return PoolPoint({}, True)
            if least > -1e-7:
                if self._sift(duals, alive):
                    return PoolPoint({}, True)
                bars = np.array(solution.col_value)[m:]
                used = np.flatnonzero(bars > 1e-7)
                return PoolPoint({self._cols[int(c)]: float(bars[c]) for c in used}, False)
            self.add_patterns(self._best(TAKEN))
        return None

    def _best(self, many: int) -> list[int]:
        np = self._np
        good = np.flatnonzero(self._cost < -1e-7)
        if len(good) > many:
            good = good[np.argpartition(self._cost[good], many)[:many]]
        return [int(p) for p in good]

    def _sift(self, duals: Any, alive: Any) -> bool:
        """Shut, in whole numbers, the patterns no plan of `target` bars can use; True when no plan is left.

        The reduced costs of a plan's patterns add up to the target less what the duals prove; where some are
        below 0, each bar of the plan may bring in as much as the least.
        """
        np, m = self._np, len(self.problem.sizes)
        whole = np.floor(np.clip(duals, -64.0, 64.0) * SCALE).astype(np.int64)
        cost = np.empty(len(self._cost), np.int64)
        compiled(scan_whole_costs)(self.start, self.flat, whole[:m], SCALE, cost)
        total = sum(int(u) * d for u, d in zip(whole[:m], self.problem.demands, strict=True))
        for row, (triple, (held, coefficient)) in enumerate(self.cuts.items()):
            price = min(0, int(whole[m + row]))
            cost[held] -= price * coefficient.astype(np.int64)
            total += price * (sum(self.problem.demands[i] for i in triple) // 2)
        living = cost[alive > 0]
        least = min(0, int(living.min())) if len(living) else 0
        slack = self.target * SCALE - total - least * self.target
        if slack < 0:
            return True
        alive[cost > slack] = 0
        return False

    def cut(self, point: PoolPoint, most: int) -> int:
        """Add the subset-row cuts that the point breaks most; how many."""
        found = broken_triples(self, point)[:most]
        np, m = self._np, len(self.problem.sizes)
        for _, triple in found:
            marked = np.zeros(m, np.int64)
            marked[list(triple)] = 1
            count = np.empty(len(self._cost), np.int64)
            compiled(count_pieces)(self.start, self.flat, marked, count)
            held = np.flatnonzero(count >= 2)
            coefficient = count[held] // 2
            self.cuts[triple] = (held, coefficient)
            of_col = self._col_of[held]
            known = of_col >= 0
            index = (of_col[known] + m).astype(np.int32)
            limit = float(sum(self.problem.demands[i] for i in triple) // 2)
            self._lp.addRow(
                -highspy.kHighsInf, limit, len(index), index, coefficient[known].astype(np.float64)
            )
        return len(found)


def pair_bars(pool: Pool, point: PoolPoint, singles: bool = True) -> dict[Pair, float]:
    """Bars that hold both of two pieces wanted once (not `singles`: one of them), in an LP point."""
    pairs: dict[Pair, float] = defaultdict(float)
    for p, bars in point.bars.items():
        for i, j in combinations(sorted(set(pool.items_of(p))), 2):
            if pool.single[i] + pool.single[j] > singles:
                pairs[i, j] += bars
    return pairs


def broken_triples(pool: Pool, point: PoolPoint) -> list[tuple[float, Triple]]:
    """Triples whose pieces (each wanted once) pair up in more than one bar, the worst first."""
    pairs = {pair: bars for pair, bars in pair_bars(pool, point).items() if 1e-6 < bars < 1 - 1e-6}
    near: dict[int, dict[int, float]] = defaultdict(dict)
    for (i, j), bars in pairs.items():
        near[i][j] = bars
        near[j][i] = bars
    whole: dict[Triple, float] = defaultdict(float)
    for p, bars in point.bars.items():
        held = sorted({i for i in pool.items_of(p) if i in near})
        for i, j, k in combinations(held, 3):
            whole[(i, j, k)] += bars
    broken: dict[Triple, float] = {}
    for j, partners in near.items():
        for i, k in combinations(sorted(partners), 2):
            a, b, c = sorted((i, j, k))
            triple = (a, b, c)
            total = partners[i] + partners[k] + near[i].get(k, 0.0) - 2 * whole.get(triple, 0.0)
            if total > 1.05 and triple not in pool.cuts:
                broken[triple] = total
    return sorted(((-v, t) for t, v in broken.items()))
