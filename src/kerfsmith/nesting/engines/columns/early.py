"""What often settles a problem before any LP: quick plans, bounds by size, shifting, short full lists."""

from kerfsmith.nesting.engines.columns.filling import quick_plans
from kerfsmith.nesting.engines.columns.kinked import kinked_duals
from kerfsmith.nesting.engines.columns.listdive import dive_listed
from kerfsmith.nesting.engines.columns.pricing import Duals
from kerfsmith.nesting.engines.columns.problem import Column, Plan, Problem
from kerfsmith.nesting.engines.columns.run import Run
from kerfsmith.nesting.engines.columns.shifting import shift_until
from kerfsmith.nesting.engines.columns.sizebounds import material_bound
from kerfsmith.nesting.engines.columns.stepped import stepped_duals

CHEAP_FILL = 1_000_000
"""Bit operations up to which bars are filled as full as can be before anything cleverer is tried."""

MOVES, LONG_MOVES, STARTS = 80_000, 200_000, 4
"""Shifting moves before any LP, after the first dives, and how often these begin anew."""

WORTH_COMPILING = 30_000
"""Estimated states of a pricing from which a problem still open is worth the kernels' start-up."""

TIGHT, VERY_TIGHT = 50, 1000
"""Waste up to a bar in so many leaves shifting no room: short lists of patterns are tried first; and from
which long ones are before any LP.
"""


def settle_early(run: Run) -> list[Plan]:
    """Quick plans and bounds, offered to the run; gives plans whose patterns are worth starting from."""
    problem = run.problem
    cheap = problem.pieces * problem.capacities[-1] // 64 <= CHEAP_FILL or not _is_large(problem)
    plans = quick_plans(problem, problem.demands, problem.supplies, thorough=cheap)
    for plan in plans:
        run.offer(plan)
    if run.plan is None and not cheap:
        # Whatever the clock says: a plan that filling finds must not be missing.
        plans, cheap = quick_plans(problem, problem.demands, problem.supplies), True
        for plan in plans:
            run.offer(plan)
    run.raise_bound(material_bound(problem), "length of material")
    if run.plan is None or run.over() or len(problem.capacities) > 1 or problem.supplies[0] is not None:
        return plans
    filters = [duals for duals in [kinked_duals(problem)] if duals is not None]
    _raise_by(run, filters)
    if _is_large(problem) and not run.over():
        stepped = [duals for duals in [stepped_duals(problem)] if duals is not None]
        _raise_by(run, stepped)
    if _is_large(problem) and not run.over():
        tight = _is_tight(run)
        if tight:
            dive_listed(run, run.bound, filters)
        if not run.over():
            shifted = shift_to_bound(run, MOVES // 4 if tight else MOVES)
            plans.append(Plan(tuple((column, 1) for column in shifted), 0))
            cheap = cheap or bool(shifted)
        if not tight and not run.over():
            dive_listed(run, run.bound, filters)
    if not cheap and not run.over():
        thorough = quick_plans(problem, problem.demands, problem.supplies)
        plans += thorough
        for plan in thorough:
            run.offer(plan)
    return plans


def _raise_by(run: Run, found: list[Duals]) -> None:
    for duals in found:
        if run.raise_bound(-(-duals.bound(run.problem) // duals.scale), "worth by length"):
            run.duals, run.dual_scale = duals.items, duals.scale


def shift_to_bound(run: Run, moves: int) -> list[Column]:
    """Search for a plan that meets the bound by shifting pieces (one endless kind)."""
    cost = run.problem.costs[0]
    if run.plan is None or not cost:
        return []
    return shift_until(run, run.plan, run.bound // cost, moves)


def shift_longer(run: Run) -> None:
    """Search on by shifting pieces, from more than one beginning, where that is worth its start-up."""
    problem = run.problem
    if len(problem.capacities) > 1 or problem.supplies[0] is not None or not _is_large(problem):
        return
    if not run.closed() and _is_tight(run):
        return
    for _ in range(STARTS):
        if run.over():
            return
        shift_to_bound(run, LONG_MOVES)


def worth_listing(run: Run) -> bool:
    """Whether a large problem with a plan may waste so little at the bound that its patterns are listed at
    once (and most of its pieces are wanted once, so that pairs of them decide something).
    """
    problem = run.problem
    if run.plan is None or len(problem.capacities) > 1 or problem.supplies[0] is not None:
        return False
    return 2 * len(problem.sizes) > problem.pieces and _is_large(problem) and _is_tight(run, VERY_TIGHT)


def _is_tight(run: Run, share: int = TIGHT) -> bool:
    """Whether a plan that meets the bound wastes next to nothing (one endless kind that costs something)."""
    problem = run.problem
    waste = run.bound // problem.costs[0] * problem.capacities[0] - problem.total_size
    return waste * share <= problem.capacities[0]


def _is_large(problem: Problem) -> bool:
    """Whether compiled kernels are worth their start-up (estimated as in pricing)."""
    longest = problem.capacities[-1]
    copies = sum(min(d, longest // s) for s, d in zip(problem.sizes, problem.demands, strict=True))
    return copies * min(longest, 3000) > WORTH_COMPILING
