"""An integer program over given patterns (HiGHS): the best plan they make, or that they make none."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import highspy

from kerfsmith.nesting.engines.columns.master import quiet_highs
from kerfsmith.nesting.engines.columns.problem import Column, Plan, Problem, plan_of
from kerfsmith.nesting.engines.columns.run import LATE, Run
from kerfsmith.nesting.engines.keep_time import ended_by_wall, keep_time
from kerfsmith.nesting.engines.silence import silenced

LOOK_S, LOOK_ENTRY_S = 8e-3, 1.3e-6
"""What the search does from one look at its limits to the next [s], and more for each entry of its rows.

Measured 2026-12-01 with HiGHS 1.12 on seven models of 337 to 15,000 patterns: 9 to 16 ms a look with 1,300 to
4,200 entries, 80 with 60,000. A limit in these is the same on every machine, fast or slow.
"""

REDUCING_S = 10.0
"""Work for which reductions before a search of no limit of its own are worth it, see `keep_time`."""


@dataclass(frozen=True, slots=True)
class Recombined:
    """What the integer program gave: a plan, `none` (no plan within the target), or `open` (cut off).

    `best`: no plan of the patterns given is cheaper.
    """

    outcome: Literal["plan", "none", "open"]
    plan: Plan | None = None
    best: bool = False


def recombine(
    run: Run,
    columns: Sequence[Column],
    aim: int,
    *,
    problem: Problem | None = None,
    least: int = 0,
    exact: bool,
    nodes: int | None = None,
    work_s: float | None = None,
) -> Recombined:
    """Best plan of `problem` (the run's) over `columns` of at most `aim`; `exact`: nothing is cut too often.

    `least` is a proven bound: a plan of that cost ends the search. `work_s` is work counted, not time.
    """
    problem = problem or run.problem
    model = _model(problem, columns, exact, least, aim)
    if nodes is not None:
        model.setOptionValue("mip_max_nodes", nodes)
    _hold(run, model, len(columns), work_s)
    model.setOptionValue("objective_target", float(least // problem.divisor) + 1e-6)
    model.setOptionValue("mip_rel_gap", 0.0)
    model.setOptionValue("mip_abs_gap", 1 - 1e-3)
    with silenced():
        model.run()
    run.counters["mip"] += 1
    run.counters[LATE] += ended_by_wall(model)
    run.counters["work"] += 1
    return _read_outcome(problem, model, columns)


def _hold(run: Run, model: Any, columns: int, work_s: float | None) -> None:
    """End the search after `work_s` of work, at the run's deadline, or when the run is to stop."""
    left = run.seconds_left()
    until = None if left is None else run.now() + left
    step, done = LOOK_S + LOOK_ENTRY_S * model.getNumNz(), 0.0

    def is_over() -> bool:
        nonlocal done
        done += step
        if run.should_stop() or (work_s is not None and done > work_s):
            return True
        late = until is not None and run.now() >= until
        run.counters[LATE] += late
        return late

    allowed = REDUCING_S if work_s is None else work_s
    keep_time(
        model,
        allowed if left is None else min(allowed, left),
        columns,
        is_over,
        highspy.kHighsInf if left is None else left,
    )


def _read_outcome(problem: Problem, model: Any, columns: Sequence[Column]) -> Recombined:
    """Turn what HiGHS ended with into an outcome; a plan is rebuilt and checked in whole numbers."""
    status = model.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return Recombined("none")
    info = model.getInfo()
    if info.primal_solution_status == 2:
        values = list(model.getSolution().col_value)
        plan = plan_of(problem, [(c, round(x)) for c, x in zip(columns, values, strict=True) if x > 0.5])
        if plan is not None:
            return Recombined("plan", plan, status == highspy.HighsModelStatus.kOptimal)
    return Recombined("open")


def _model(problem: Problem, columns: Sequence[Column], exact: bool, least: int, aim: int) -> Any:
    model = quiet_highs()
    inf = highspy.kHighsInf
    rows = len(problem.demands)
    for demand in problem.demands:
        model.addRow(float(demand), float(demand) if exact else inf, 0, [], [])
    supply_row: dict[int, int] = {}
    for k, supply in enumerate(problem.supplies):
        if supply is not None:
            supply_row[k] = rows
            rows += 1
            model.addRow(-inf, float(supply), 0, [], [])
    unit = problem.divisor
    model.addRow(float(least // unit), float(aim // unit), 0, [], [])
    starts: list[int] = []
    index: list[int] = []
    value: list[float] = []
    upper: list[float] = []
    for kind, counts in columns:
        starts.append(len(index))
        for i, n in counts:
            index.append(i)
            value.append(float(n))
        if kind in supply_row:
            index.append(supply_row[kind])
            value.append(1.0)
        if problem.costs[kind]:
            index.append(rows)
            value.append(float(problem.costs[kind] // unit))
        most = (problem.demands[i] // n if exact else -(-problem.demands[i] // n) for i, n in counts)
        upper.append(float(min(most) if exact else max(most)))
    n = len(columns)
    costs = [float(problem.costs[kind] // unit) for kind, _ in columns]
    model.addCols(n, costs, [0.0] * n, upper, len(index), starts, index, value)
    model.changeColsIntegrality(n, list(range(n)), [highspy.HighsVarType.kInteger] * n)
    return model
