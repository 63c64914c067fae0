"""A program in whole numbers, solved by HiGHS, its answer checked again in whole numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil, gcd
from typing import Any, Literal

import highspy
import numpy as np

from kerfsmith.nesting.engines.keep_time import ended_by_wall, keep_time
from kerfsmith.nesting.engines.silence import silenced
from kerfsmith.nesting.stop import Watch

Ended = Literal["optimal", "feasible", "infeasible", "open"]

START_S, COLUMN_S, STEP_S, STEP_ENTRY_S, ITERATION_S = 5e-3, 2e-5, 1e-3, 1e-6, 5e-5
"""Work [s] of a search: to begin, for each variable, for each look at the watch and each entry of the rows
then, for each step of its linear programs. Fitted to 270 searches of up to 4,000 variables (HiGHS 1.12)."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What the solver ended with. ``values`` is empty without a solution; ``bound`` is None where none is
    known.
    """

    ended: Ended
    values: tuple[int, ...]
    value: int | None
    bound: int | None


@dataclass(slots=True)
class Row:
    """least <= sum of coefficient x variable <= most; None is no limit."""

    terms: dict[int, int]
    least: int | None
    most: int | None


@dataclass(slots=True)
class Program:
    """Whole-number variables from 0 to their upper limits, rows between limits, objectives given at
    solving.
    """

    uppers: list[int] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def variable(self, upper: int) -> int:
        """A new variable; its number."""
        self.uppers.append(upper)
        return len(self.uppers) - 1

    def row(self, terms: Mapping[int, int], least: int | None, most: int | None) -> None:
        """A new row."""
        self.rows.append(Row(dict(terms), least, most))

    def keeps(self, values: Sequence[int]) -> bool:
        """Whether whole-number values keep every limit and row, exactly."""
        if any(not 0 <= value <= upper for value, upper in zip(values, self.uppers, strict=True)):
            return False
        for row in self.rows:
            total = sum(coefficient * values[number] for number, coefficient in row.terms.items())
            if (row.least is not None and total < row.least) or (row.most is not None and total > row.most):
                return False
        return True

    def solve(
        self,
        objective: Mapping[int, int],
        watch: Watch,
        seed: int,
        start: Sequence[int] | None = None,
        hint: Mapping[int, int] | None = None,
    ) -> Answer:
        """Least value of the objective.

        ``start``: a solution known beforehand, never made worse. ``hint``: some variables' values to try
        first."""
        if not self.uppers:
            return Answer("optimal", (), 0, 0) if self.keeps(()) else Answer("infeasible", (), None, None)
        divisor = gcd(*objective.values()) or 1
        model = self._model({number: cost // divisor for number, cost in objective.items()}, seed)
        watch.count(START_S + COLUMN_S * len(self.uppers))
        step = STEP_S + STEP_ENTRY_S * sum(len(row.terms) for row in self.rows)

        def is_over() -> bool:
            watch.count(step)
            return watch.is_over

        keep_time(model, watch.left, len(self.uppers), is_over, watch.by_clock.left)
        if start is not None:
            solution = highspy.HighsSolution()
            solution.col_value = [float(value) for value in start]
            model.setSolution(solution)
        elif hint:
            numbers = np.array(sorted(hint), dtype=np.int32)
            values = np.array([float(hint[number]) for number in sorted(hint)])
            model.setSolution(len(numbers), numbers, values)
        with silenced():
            model.run()
        if ended_by_wall(model):
            watch.was_late()
        watch.count(ITERATION_S * max(0, model.getInfo().simplex_iteration_count))
        return self._read(model, objective, divisor, start)

    def _read(
        self, model: Any, objective: Mapping[int, int], divisor: int, start: Sequence[int] | None
    ) -> Answer:
        status = model.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible and start is None:
            return Answer("infeasible", (), None, None)
        info = model.getInfo()
        values: tuple[int, ...] = tuple(start) if start is not None else ()
        if info.primal_solution_status == 2:
            found = tuple(round(x) for x in model.getSolution().col_value)
            if self.keeps(found) and (not values or _worth(objective, found) <= _worth(objective, values)):
                values = found
        bound = _whole_bound(info.mip_dual_bound)
        bound = None if bound is None else bound * divisor
        if not values:
            return Answer("open", (), None, bound)
        value = _worth(objective, values)
        # All coefficients are whole multiples of the divisor: less than one of it is no gap.
        if status == highspy.HighsModelStatus.kOptimal and value <= (
            round(info.objective_function_value) * divisor
        ):
            return Answer("optimal", values, value, value)
        bound = None if bound is None else min(bound, value)
        return Answer("optimal" if bound == value else "feasible", values, value, bound)

    def _model(self, objective: Mapping[int, int], seed: int) -> Any:
        model: Any = highspy.Highs()
        model.silent()
        for name, setting in (
            ("random_seed", seed % 2**31),
            ("threads", 1),
            ("mip_rel_gap", 0.0),
            ("mip_abs_gap", 0.5),
            ("mip_feasibility_tolerance", 1e-9),
            ("primal_feasibility_tolerance", 1e-9),
            ("dual_feasibility_tolerance", 1e-9),
        ):
            model.setOptionValue(name, setting)
        count = len(self.uppers)
        costs = [float(objective.get(number, 0)) for number in range(count)]
        empty = np.empty(0, dtype=np.int32)
        model.addCols(
            count, costs, [0.0] * count, [float(u) for u in self.uppers], 0, empty, empty, np.empty(0)
        )
        model.changeColsIntegrality(count, list(range(count)), [highspy.HighsVarType.kInteger] * count)
        infinite = highspy.kHighsInf
        for row in self.rows:
            least = -infinite if row.least is None else float(row.least)
            most = infinite if row.most is None else float(row.most)
            terms = [(number, coefficient) for number, coefficient in row.terms.items() if coefficient]
            model.addRow(least, most, len(terms), [n for n, _ in terms], [float(c) for _, c in terms])
        return model


def _worth(objective: Mapping[int, int], values: Sequence[int]) -> int:
    return sum(cost * values[number] for number, cost in objective.items())


def _whole_bound(bound: float) -> int | None:
    """The bound rounded up to a whole number after giving back the solver's tolerance."""
    if not abs(bound) < 1e15:
        return None
    return ceil(bound - 1e-6 - 1e-9 * abs(bound))
