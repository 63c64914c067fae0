"""Where little may be wasted the useful patterns are few: list them all, and round their LP again and again.

No pricing and no covering: every pattern a plan of the target can use is at hand and demand is met exactly,
so each LP starts from the one before (dual simplex).
"""

import importlib
from dataclasses import dataclass
from typing import Any

import highspy

from kerfsmith.nesting.engines.columns.listing import list_raw, size_duals
from kerfsmith.nesting.engines.columns.master import quiet_highs
from kerfsmith.nesting.engines.columns.pricing import Duals
from kerfsmith.nesting.engines.columns.problem import Column, plan_of
from kerfsmith.nesting.engines.columns.run import Run
from kerfsmith.nesting.engines.silence import silenced

MOST_LISTED = 12_000
LIST_STEPS = 600_000
LIST_ROOM = 600_000
"""Patterns, steps of listing and states of its lists from which another way is quicker."""

MOST_LPS = 80
BACKWARDS = 6
"""LPs after which no further dive begins, and how often a dive may take back its last choice."""

NEARLY = 0.7
"""Share of a bar from which a pattern is taken along with the best one."""


@dataclass(slots=True)
class ListDive:
    """The LP over all patterns listed, for a plan of `bars` bars."""

    run: Run
    bars: int
    start: Any
    flat: Any

    def go(self) -> bool:
        """Dive until a plan is found; False when there is none, or after many LPs without one."""
        model, index, value, begins = self._model()
        began = self.run.counters["work"]
        while self.run.counters["work"] < began + MOST_LPS and not self.run.over():
            self.run.counters["list dives"] += 1
            solved = self.run.counters["work"]
            uses = self._dive(model, index, value, begins, first=solved == began)
            if uses is None and self.run.counters["work"] == solved + 1:
                return False  # not even parts of bars can do it
            if uses is None:
                continue
            plan = plan_of(self.run.problem, [(self._column(p), times) for p, times in uses])
            if self.run.offer(plan):
                return True
        return False

    def _model(self) -> tuple[Any, Any, Any, Any]:
        """The LP, and its patterns by columns: items, counts, where each begins."""
        np = importlib.import_module("numpy")
        patterns = len(self.start) - 1
        owner = np.repeat(np.arange(patterns, dtype=np.int64), np.diff(self.start))
        items = len(self.run.problem.sizes)
        keys, counts = np.unique(owner * items + self.flat, return_counts=True)
        index = (keys % items).astype(np.int32)
        begins = np.searchsorted(keys // items, np.arange(patterns + 1)).astype(np.int32)
        value = counts.astype(np.float64)
        model = quiet_highs()
        model.setOptionValue("solver", "simplex")
        model.setOptionValue("presolve", "off")
        for demand in self.run.problem.demands:
            model.addRow(float(demand), float(demand), 0, [], [])
        none, endless = np.zeros(patterns), np.full(patterns, highspy.kHighsInf)
        model.addCols(patterns, self._costs(patterns), none, endless, len(index), begins[:-1], index, value)
        every = np.arange(patterns, dtype=np.int32)
        model.addRow(-highspy.kHighsInf, float(self.bars), patterns, every, np.ones(patterns))
        return model, index, value, begins

    def _costs(self, patterns: int) -> Any:
        np = importlib.import_module("numpy")
        return np.array([self.run.chance.random() for _ in range(patterns)])

    def _dive(
        self, model: Any, index: Any, value: Any, begins: Any, first: bool
    ) -> list[tuple[int, int]] | None:
        """One dive: patterns with their bars, or None where it ended in what cannot be cut."""
        np = importlib.import_module("numpy")
        patterns = len(begins) - 1
        every = np.arange(patterns, dtype=np.int32)
        left = np.array(self.run.problem.demands, np.int64)
        shut = np.zeros(patterns, bool)
        uses: list[tuple[int, int]] = []
        if not first:
            model.changeColsCost(patterns, every, self._costs(patterns))
        last: list[tuple[int, int]] = []
        backwards = 0
        while True:
            improper = np.maximum.reduceat(value - left[index], begins[:-1]) > 0
            upper = np.where(improper | shut, 0.0, highspy.kHighsInf)
            model.changeColsBounds(patterns, every, np.zeros(patterns), upper)
            for i, n in enumerate(left.tolist()):
                model.changeRowBounds(i, float(n), float(n))
            spare = self.bars - sum(times for _, times in uses)
            model.changeRowBounds(len(left), -highspy.kHighsInf, float(spare))
            with silenced():
                model.run()
            self.run.counters["work"] += 1
            if self.run.over():
                return None
            if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                if not last or backwards == BACKWARDS:
                    return None
                backwards += 1
                for p, times in last:
                    left[index[begins[p] : begins[p + 1]]] += times * value[begins[p] : begins[p + 1]].astype(
                        np.int64
                    )
                uses = uses[: len(uses) - len(last)]
                shut[last[0][0]] = True
                last = []
                continue
            bars = np.array(model.getSolution().col_value)
            last = self._choose(bars, left, index, value, begins)
            uses += last
            if not left.any():
                return uses

    def _choose(self, bars: Any, left: Any, index: Any, value: Any, begins: Any) -> list[tuple[int, int]]:
        """Take whole bars, those nearly whole, and at least the nearest one; `left` falls."""
        np = importlib.import_module("numpy")
        whole = np.floor(bars + 1e-6)
        part = bars - whole
        near = np.argsort(-part, kind="stable")
        taken = {int(p): int(whole[p]) for p in np.flatnonzero(whole > 0)}
        good = [int(p) for p in near if part[p] > NEARLY] if not taken else []
        if not taken and not good:
            good = [int(near[0])]
        for p in good:
            taken[p] = taken.get(p, 0) + 1
        chosen: list[tuple[int, int]] = []
        for p, times in sorted(taken.items(), key=lambda use: -bars[use[0]]):
            held, counts = index[begins[p] : begins[p + 1]], value[begins[p] : begins[p + 1]].astype(np.int64)
            can = min(times, int((left[held] // counts).min()))
            if can > 0:
                left[held] -= can * counts
                chosen.append((p, can))
        return chosen

    def _column(self, pattern: int) -> Column:
        counts: dict[int, int] = {}
        for i in self.flat[self.start[pattern] : self.start[pattern + 1]].tolist():
            counts[i] = counts.get(i, 0) + 1
        return 0, tuple(sorted(counts.items()))


def dive_listed(run: Run, target: int, filters: list[Duals]) -> bool:
    """Find a plan of `target` where so little may be wasted that all its patterns can be listed."""
    by_size = size_duals(run.problem)
    if by_size is None:
        return False
    raw = list_raw(run.problem, [by_size, *filters], target, MOST_LISTED, LIST_STEPS, LIST_ROOM)
    if raw is None:
        return False
    run.counters["listed"] += len(raw[0]) - 1
    return len(raw[0]) > 1 and ListDive(run, target // run.problem.costs[0], *raw).go()
