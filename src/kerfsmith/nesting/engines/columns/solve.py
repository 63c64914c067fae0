"""The way through: reduce, fill quickly, bound, generate, dive, prove what is left."""

from collections.abc import Callable
from random import Random

from kerfsmith.nesting.engines.columns.diving import dive_until, greedy_columns
from kerfsmith.nesting.engines.columns.early import settle_early
from kerfsmith.nesting.engines.columns.generation import Generation
from kerfsmith.nesting.engines.columns.instance import ColumnsInstance, ColumnsResult, Status
from kerfsmith.nesting.engines.columns.kinked import length_duals
from kerfsmith.nesting.engines.columns.master import Master
from kerfsmith.nesting.engines.columns.pricing import Pricer
from kerfsmith.nesting.engines.columns.problem import Problem
from kerfsmith.nesting.engines.columns.proving import prove, prove_tight
from kerfsmith.nesting.engines.columns.reduction import Reduced, reduce_instance, restore
from kerfsmith.nesting.engines.columns.run import Run


def solve_columns(
    instance: ColumnsInstance,
    *,
    seconds: float | None,
    seed: int,
    should_stop: Callable[[], bool],
    now: Callable[[], float],
    on_progress: Callable[[int, int | None], None] | None = None,
    max_work: int | None = None,
) -> ColumnsResult:
    """Cheapest plan for `instance` with a proven lower bound.

    `seconds` limits the time by the clock `now`; `max_work` limits LP and MIP solves, so that a cut-off
    run can be repeated exactly. Same instance and seed give the same plan unless time or a stop cut the
    run off.
    """
    reduced = reduce_instance(instance)
    if reduced.too_long:
        return ColumnsResult("infeasible", (), None, 0, "a piece longer than every bar")
    if reduced.problem is None:
        return ColumnsResult("optimal", reduced.free, 0, 0, "nothing that costs")
    run = Run(
        problem=reduced.problem,
        now=now,
        should_stop=should_stop,
        deadline=None if seconds is None else now() + seconds,
        chance=Random(seed),
        max_work=max_work,
        on_progress=on_progress,
    )
    solve_run(run)
    return _result(instance, reduced, run)


def solve_run(run: Run) -> None:
    """Solve the reduced problem as far as the run's limits allow."""
    problem = run.problem
    plans = settle_early(run)
    if run.plan is None and not _find_first_plan(run):
        return
    if not run.over():
        prove_tight(run)
    if run.over():
        return
    if run.plan is not None:
        plans.append(run.plan)
    generation = Generation(run, Master(problem), Pricer(problem))
    generation.master.add(greedy_columns(plans))
    generation.lean_on(length_duals(problem))
    root = generation.to_optimum()
    if root is None or run.over():
        return
    dive_until(generation, root, 2)
    if not run.over():
        prove(generation)


def _find_first_plan(run: Run) -> bool:
    """Where no quick plan exists: how many bars of the longest kind would have to be added (none: a plan)?"""
    problem = run.problem
    if None in problem.supplies and problem.capacities[-1] == max(
        c for c, s in zip(problem.capacities, problem.supplies, strict=True) if s is None
    ):
        return True
    kinds = len(problem.capacities)
    wider = Problem(
        list(problem.sizes),
        list(problem.demands),
        [*problem.capacities, problem.capacities[-1]],
        [*problem.supplies, None],
        [*([0] * kinds), 1],
    )
    inner = Run(
        wider, run.now, run.should_stop, run.deadline, run.chance, run.max_work, counters=run.counters
    )
    solve_run(inner)
    if inner.bound > 0:
        run.impossible = True
        room = sum(c * (s or 0) for c, s in zip(problem.capacities, problem.supplies, strict=True))
        run.short_length = max(0, problem.total_size - room) if None not in problem.supplies else 0
        run.bound_from = inner.bound_from
        return False
    if inner.plan is None or inner.plan.cost > 0:
        return False
    uses = inner.plan.uses
    cost = sum(problem.costs[kind] * times for (kind, _), times in uses)
    run.offer(type(inner.plan)(uses, cost))
    return True


def _result(instance: ColumnsInstance, reduced: Reduced, run: Run) -> ColumnsResult:
    if run.impossible:
        return ColumnsResult(
            "infeasible",
            (),
            None,
            0,
            run.bound_from,
            short_length=run.short_length * run.problem.unit,
            counters=dict(run.counters),
        )
    if run.plan is None:
        return ColumnsResult("unknown", (), None, run.bound, run.bound_from, counters=dict(run.counters))
    status: Status = "optimal" if run.bound >= run.plan.cost else "feasible"
    patterns = restore(reduced, run.plan)
    cost = sum(instance.kinds[use.kind].cost * use.times for use in patterns)
    duals = [0] * len(instance.items)
    if run.bound_from in ("column generation", "worth by length"):
        for sources, dual in zip(reduced.item_sources, run.duals, strict=True):
            for i, _ in sources:
                duals[i] = dual
    return ColumnsResult(
        status, patterns, cost, min(run.bound, cost), run.bound_from, tuple(duals), run.dual_scale,
        counters=dict(run.counters),
    )  # fmt: skip
