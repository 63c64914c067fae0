"""Closing the gap: list what a cheaper plan could use, and find that plan or show there is none."""

from kerfsmith.nesting.engines.columns.diving import dive_until
from kerfsmith.nesting.engines.columns.generation import Generation
from kerfsmith.nesting.engines.columns.listing import useful_patterns
from kerfsmith.nesting.engines.columns.pricing import Duals
from kerfsmith.nesting.engines.columns.problem import Problem
from kerfsmith.nesting.engines.columns.recombine import recombine
from kerfsmith.nesting.engines.columns.run import Run

MOST_PATTERNS = 60_000


def size_duals(problem: Problem) -> Duals | None:
    """Duals that pay for length alone (one kind only): they keep patterns whose waste a plan can afford."""
    if len(problem.capacities) > 1 or problem.supplies[0] is not None:
        return None
    return Duals(tuple(s * problem.costs[0] for s in problem.sizes), (0,), problem.capacities[0])


def prove(generation: Generation) -> None:
    """Raise the bound or find better plans until they meet, listing useful patterns target by target."""
    run = generation.run
    generation.to_optimum(settle=False)
    share = 1
    most = MOST_PATTERNS
    while not run.over():
        target = run.target()
        if target is None:
            target = run.problem.most_cost()
        aim = max(run.bound, run.problem.cost_below(run.bound + (target - run.bound) // share + 1))
        filters = _filters(generation)
        columns = useful_patterns(run.problem, filters, aim, most)
        run.counters["lists"] += 1
        run.counters["work"] += 1
        if columns is None and aim > run.bound:
            share *= 4
            continue
        if columns is None:
            _try_harder(generation)
            most *= 4
            if most > 64 * MOST_PATTERNS:
                return
            continue
        run.counters["listed"] += len(columns)
        outcome = _settle(run, columns, aim)
        if outcome == "open":
            return
        share = 1


def _settle(run: Run, columns: list[tuple[int, tuple[tuple[int, int], ...]]], aim: int) -> str:
    """Solve over the complete list of patterns for `aim`: a plan, or a raised bound."""
    result = recombine(run, columns, exact=True, nodes=None, seconds=None, aim=aim)
    if result.outcome == "none":
        run.raise_bound(aim + 1, "patterns listed in full")
    elif result.plan is not None:
        run.offer(result.plan)
        if result.best:
            run.raise_bound(result.plan.cost, "patterns listed in full")
    return result.outcome


def _try_harder(generation: Generation) -> None:
    root = generation.point
    if root is not None:
        dive_until(generation, root, 10)


def _filters(generation: Generation) -> list[Duals]:
    filters = [] if generation.best is None else [generation.best]
    by_size = size_duals(generation.run.problem)
    if by_size is not None:
        filters.append(by_size)
    filters.extend(generation.good_duals)
    return filters
