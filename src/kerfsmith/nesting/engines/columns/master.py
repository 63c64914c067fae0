"""The master LP over the patterns known so far (HiGHS)."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import highspy

from kerfsmith.nesting.engines.columns.problem import Column, Problem


@dataclass(frozen=True, slots=True)
class LpPoint:
    """An LP optimum: cost, bars by pattern, worth of each item, price of each limited kind's scarcity."""

    cost: float
    bars: list[float]
    worth: list[float]
    scarcity: list[float]


@dataclass(slots=True)
class Master:
    """Covering LP: demand rows at least, supply rows at most; patterns only ever join it.

    With a `shortage` a piece may be left out at that cost, and every kind has a row.
    """

    problem: Problem
    columns: list[Column] = field(default_factory=list)
    known: set[Column] = field(default_factory=set)
    shortage: float | None = None
    solves: int = 0
    _lp: Any = None
    _supply_row: dict[int, int] = field(default_factory=dict)
    _first: int = 0
    _unit: float = 1.0
    _signed: bool = False

    def __post_init__(self) -> None:
        self._lp = quiet_highs()
        self._unit = float(max(1, *self.problem.costs))  # costs near 1 suit the LP's tolerances
        self._lp.setOptionValue("solver", "simplex")
        self._lp.setOptionValue("simplex_strategy", 4)  # primal: new patterns leave the point feasible
        self._lp.setOptionValue("presolve", "off")
        rows = len(self.problem.demands)
        inf = highspy.kHighsInf
        for demand in self.problem.demands:
            self._lp.addRow(float(demand), inf, 0, [], [])
        for k, supply in enumerate(self.problem.supplies):
            if supply is not None or self.shortage is not None:
                self._supply_row[k] = rows
                rows += 1
                self._lp.addRow(-inf, inf if supply is None else float(supply), 0, [], [])
        if self.shortage is not None:
            self._first = len(self.problem.demands)
            for i in range(self._first):
                self._lp.addCol(self.shortage / self._unit, 0.0, inf, 1, [i], [1.0])

    def limit(self, least: Sequence[int], most: Sequence[int]) -> None:
        """Bars of each kind to use at least and at most (where every kind has its row: with a `shortage`)."""
        self._signed = True
        for k, row in self._supply_row.items():
            self._lp.changeRowBounds(row, float(least[k]), float(most[k]))

    def add(self, columns: Sequence[Column]) -> int:
        """Take the patterns not known yet; how many were new."""
        new = [c for c in dict.fromkeys(columns) if c not in self.known]
        if not new:
            return 0
        starts: list[int] = []
        index: list[int] = []
        value: list[float] = []
        for kind, counts in new:
            starts.append(len(index))
            for i, count in counts:
                index.append(i)
                value.append(float(count))
            if kind in self._supply_row:
                index.append(self._supply_row[kind])
                value.append(1.0)
        costs = [self.problem.costs[kind] / self._unit for kind, _ in new]
        none = [0.0] * len(new)
        endless = [highspy.kHighsInf] * len(new)
        self._lp.addCols(len(new), costs, none, endless, len(index), starts, index, value)
        self.columns.extend(new)
        self.known.update(new)
        return len(new)

    def solve(self) -> LpPoint | None:
        """Solve the LP; None where the patterns known cannot meet the demand (or the solver gives up)."""
        self._lp.run()
        self.solves += 1
        if self._lp.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        solution = self._lp.getSolution()
        duals = [d * self._unit for d in solution.row_dual]
        rows = len(self.problem.demands)
        scarcity = [
            (-duals[self._supply_row[k]] if self._signed else max(0.0, -duals[self._supply_row[k]]))
            if k in self._supply_row
            else 0.0
            for k in range(len(self.problem.costs))
        ]
        return LpPoint(
            float(self._lp.getInfo().objective_function_value) * self._unit,
            list(solution.col_value)[self._first :],
            [max(0.0, d) for d in duals[:rows]],
            scarcity,
        )

    def lean(self, demands: Sequence[float]) -> None:
        """Ask for demands that need not be whole (to see other duals of the same LP)."""
        for i, demand in enumerate(demands):
            self._lp.changeRowBounds(i, demand, highspy.kHighsInf)

    def want(
        self, demands: Sequence[int], supplies: Sequence[int | None], allowed: Sequence[bool] | None
    ) -> None:
        """Set what remains to be cut and from what; patterns not `allowed` are shut (None: all open)."""
        inf = highspy.kHighsInf
        for i, demand in enumerate(demands):
            self._lp.changeRowBounds(i, float(demand), inf)
        for k, row in self._supply_row.items():
            self._lp.changeRowBounds(row, -inf, float(supplies[k] or 0))
        n = len(self.columns)
        upper = [inf if allowed is None or allowed[j] else 0.0 for j in range(n)]
        self._lp.changeColsBounds(n, list(range(n)), [0.0] * n, upper)


def quiet_highs() -> Any:
    """A HiGHS model that says nothing and uses one thread (so that a plan does not depend on the machine)."""
    lp: Any = highspy.Highs()
    lp.setOptionValue("output_flag", False)
    lp.setOptionValue("threads", 1)
    lp.setOptionValue("parallel", "off")
    lp.setOptionValue("simplex_scale_strategy", 0)  # small whole numbers need no scaling
    return lp
