"""Closing the gap: list what a cheaper plan could use, and find that plan or show there is none."""

import importlib

from kerfsmith.nesting.engines.columns.diving import dive_until
from kerfsmith.nesting.engines.columns.early import shift_longer, worth_listing
from kerfsmith.nesting.engines.columns.generation import Generation
from kerfsmith.nesting.engines.columns.kinds import count_out_kinds
from kerfsmith.nesting.engines.columns.kinked import kinked_duals
from kerfsmith.nesting.engines.columns.listing import list_raw, size_duals, useful_patterns
from kerfsmith.nesting.engines.columns.pairing import branch
from kerfsmith.nesting.engines.columns.pool import Pool
from kerfsmith.nesting.engines.columns.pricing import Duals
from kerfsmith.nesting.engines.columns.problem import Column, plan_of
from kerfsmith.nesting.engines.columns.recombine import recombine
from kerfsmith.nesting.engines.columns.run import Run

MOST_PATTERNS = 60_000
MOST_POOLED = 1_200_000
BRANCHES = 4000
LIST_STEPS = 120_000_000
"""At most: patterns for an integer program, patterns in a pool, nodes of branching, steps of listing."""

MOST_TRIES, TRY_WORK_S = 8, 2.0
"""How often other ways are tried where listing settles nothing, and work of an integer program by tries."""

FEW_PATTERNS, FEW_NODES, FEW_WORK_S = 3000, 60, 0.3
"""Over so few patterns an integer program of so much work is tried after so many LPs of branching."""

SHARES = (8, 64, 512)
PART_NODES = 300
"""Where the patterns are too many: parts of what they may waste that are tried, nodes of branching then."""

FULL_LIST = "patterns listed in full"


def prove(generation: Generation) -> None:
    """Raise the bound or find better plans until they meet, listing useful patterns target by target."""
    run, problem = generation.run, generation.run.problem
    generation.to_optimum(settle=False)
    if run.over():
        return
    if size_duals(problem) is not None:
        generation.good_duals = generation.spread(6)
        _prove_single(generation)
    elif not count_out_kinds(generation):
        generation.good_duals = generation.spread(6)
        _prove_kinds(generation)


def _prove_single(generation: Generation) -> None:
    """One endless kind: all patterns for a plan at the bound in a pool, or the best of them."""
    run, filters = generation.run, _filters(generation)
    tries, too_many = 0, -1
    while not run.over():
        if run.bound != too_many:
            settled = _pooled(run, filters, run.bound)
            if settled:
                continue
            if settled is None:
                too_many = run.bound
                if _pooled_in_part(run, filters, run.bound):
                    continue
        tries += 1
        if tries > MOST_TRIES or generation.point is None:
            return
        _try_harder(generation, tries)


def _prove_kinds(generation: Generation) -> None:
    """Several kinds: integer programs over all patterns for a cost between bound and plan."""
    run, problem = generation.run, generation.run.problem
    share, tries = 1, 0
    while not run.over():
        target = run.target()
        if target is None:
            target = problem.most_cost()
        aim = max(run.bound, problem.cost_below(run.bound + (target - run.bound) // share + 1))
        if _listed(run, _filters(generation), aim, MOST_PATTERNS << min(tries, 6)):
            share = 1
        elif aim > run.bound:
            share *= 4
        else:
            tries += 1
            if tries > MOST_TRIES or generation.point is None:
                return
            _try_harder(generation, tries)


def prove_tight(run: Run) -> None:
    """Where a plan at the bound may waste next to nothing, its patterns are known before any LP."""
    by_size = size_duals(run.problem)
    if by_size is not None and worth_listing(run):
        kinked = kinked_duals(run.problem)
        _pooled(run, [by_size] if kinked is None else [by_size, kinked], run.bound)


def _pooled(run: Run, filters: list[Duals], aim: int) -> bool | None:
    """One kind: hold all patterns useful for `aim` in a pool, branch on pairs; True when that settled it,
    None where they are too many.
    """
    pool = _pool(run, filters, aim, MOST_POOLED)
    if pool is None:
        return None
    limits = (FEW_NODES, BRANCHES) if len(pool.alive) <= FEW_PATTERNS else (BRANCHES,)
    for nodes in limits:
        ended = branch(run, pool, nodes)
        if ended.outcome == "plan":
            return run.offer(plan_of(run.problem, ended.uses))
        if ended.outcome == "none":
            return run.raise_bound(aim + 1, FULL_LIST)
        columns = pool.columns_alive()
        if run.over() or len(columns) > MOST_PATTERNS:
            return False
        run.counters["sifted"] += len(columns)
        if _solve_full(run, columns, aim, None if nodes == BRANCHES else FEW_WORK_S):
            return True
    return False


def _pooled_in_part(run: Run, filters: list[Duals], aim: int) -> bool:
    """Look for a plan of `aim` among the best patterns alone, where all of them are too many to hold."""
    for share in SHARES:
        pool = None if run.over() else _pool(run, filters, aim, MOST_PATTERNS, share)
        if pool is not None and len(pool.alive):
            ended = branch(run, pool, PART_NODES)
            return ended.outcome == "plan" and run.offer(plan_of(run.problem, ended.uses))
    return False


def _pool(run: Run, filters: list[Duals], aim: int, most: int, share: int = 1) -> Pool | None:
    """The patterns useful for `aim`, all or (`share`) the best of them; None where they are too many."""
    problem = run.problem
    raw = list_raw(problem, filters, aim, most, LIST_STEPS, share=share)
    run.counters["lists"] += 1
    if raw is None:
        return None
    start, flat = raw
    run.counters["listed"] += len(start) - 1
    alive = importlib.import_module("numpy").ones(len(start) - 1, "uint8")
    return Pool(problem, aim // problem.costs[0], start, flat, alive)


def _listed(run: Run, filters: list[Duals], aim: int, most: int) -> bool:
    """Integer program over every pattern useful for `aim`; True when that settled it."""
    columns: list[Column] | None = useful_patterns(run.problem, filters, aim, most)
    run.counters["lists"] += 1
    run.counters["work"] += 1
    if columns is None:
        return False
    run.counters["listed"] += len(columns)
    return _solve_full(run, columns, aim)


def _solve_full(run: Run, columns: list[Column], aim: int, work_s: float | None = None) -> bool:
    """Integer program over patterns that no plan of at most `aim` goes beyond; True when it settled that."""
    result = recombine(run, columns, aim, least=run.bound, exact=True, work_s=work_s)
    if result.outcome == "none":
        run.raise_bound(aim + 1, FULL_LIST)
    elif result.plan is not None:
        run.offer(result.plan)
        if result.best:
            run.raise_bound(result.plan.cost, FULL_LIST)
    return result.outcome != "open"


def _try_harder(generation: Generation, tries: int) -> None:
    """More dives, longer shifting, and later an integer program over the patterns generated so far."""
    run = generation.run
    if generation.point is not None:
        dive_until(generation, generation.point, 8 * tries)
    shift_longer(run)
    target = run.target()
    if tries > 1 and target is not None and not run.over():
        known = generation.master.columns
        result = recombine(
            run, known, target, least=run.bound, exact=False, nodes=200 * tries, work_s=TRY_WORK_S * tries
        )
        run.offer(result.plan)


def _filters(generation: Generation) -> list[Duals]:
    """Proven duals to sift patterns with, the sharpest first."""
    by_size = size_duals(generation.run.problem)
    filters = [*generation.good_duals[::-1], *([] if generation.best is None else [generation.best])]
    return filters if by_size is None else [*filters, by_size]
