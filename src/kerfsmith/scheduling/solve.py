"""The week found: a good one at once, then bettered, then proven as far as the effort goes."""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from kerfsmith.nesting.stop import Watch
from kerfsmith.scheduling.engines.bounds import Bounds, bounds_by_counting, bounds_by_pricing
from kerfsmith.scheduling.engines.descent import search
from kerfsmith.scheduling.engines.reading import Sequences, placements_of
from kerfsmith.scheduling.problem import Aim, Problem
from kerfsmith.scheduling.reasons import WhyNot, why_not
from kerfsmith.scheduling.result import AimValue, Placement, Status, Week
from kerfsmith.scheduling.score import score

if TYPE_CHECKING:
    from kerfsmith.scheduling.engines.cp import Proof

    Prove = Callable[..., Proof]

MOST_ARCS = 5_000
"""The exact engine is asked where at most so many pairs of runs can follow each other: beyond, its model
alone takes
longer than a planner waits."""


@dataclass(frozen=True, slots=True)
class Effort:
    """How much to do: neighbours tried, starts priced, and deterministic time of the exact engine an aim.

    All three are counts, so that the same seed and effort give the same week wherever it is found, unless the
    clock ends the search first.
    """

    steps: int = 30_000
    starts: int = 300_000_000
    exact: float = 4.0


WHOLE_WEEK = Effort()
CHANGED_WEEK = Effort(steps=12_000, starts=60_000_000, exact=1.0)
"""Enough when a week that was good is changed in one place."""


def line_up(
    problem: Problem,
    *,
    watch: Watch,
    seed: int = 0,
    effort: Effort = WHOLE_WEEK,
    start: Sequences | None = None,
) -> Week:
    """The best week found for ``problem``, with a bound for each aim.

    ``start`` is an order of runs to begin from: the week that is being changed. ``watch`` ends the search
    with the best week so far. The status is INFEASIBLE only where that is proven.
    """
    if not problem.runs:
        aims = tuple(AimValue(aim, 0, 0, "nothing to do") for aim in problem.aims)
        return Week(Status.OPTIMAL, (), MappingProxyType({}), aims, "none", watch.spent, seed)
    found = search(problem, seed=seed, steps=effort.steps, watch=watch, start=start)
    if not found.holds:
        return _force(problem, seed, effort, watch)
    week = _week(problem, placements_of(problem, found.grid, found.week), found.opened, "search", seed)
    bounds = bounds_by_counting(problem)
    bounds |= bounds_by_pricing(problem, found, bounds, starts=effort.starts, watch=watch)
    week = with_bounds(week, bounds, watch.spent)
    if week.status is Status.OPTIMAL or effort.exact <= 0 or watch.is_over:
        return week
    for aim, bound in _assign(problem, week, seed, effort, watch).items():
        if bound > bounds[aim][0]:
            bounds[aim] = (bound, "runs shared among saws by their due times")
    week = with_bounds(week, bounds, watch.spent)
    if week.status is Status.OPTIMAL or not _may_prove(problem, effort, watch):
        return week
    return _prove(problem, week, bounds, seed, effort, watch)


def _may_prove(problem: Problem, effort: Effort, watch: Watch) -> bool:
    return effort.exact > 0 and not watch.is_over and arcs(problem) <= MOST_ARCS


def arcs(problem: Problem) -> int:
    """How many pairs of runs can follow each other on some saw."""
    taking = Counter(option.saw for run in problem.runs for option in run.open_options)
    return sum(count**2 for count in taking.values())


def _prove(problem: Problem, week: Week, bounds: Bounds, seed: int, effort: Effort, watch: Watch) -> Week:
    prove = _exact_engine()
    least = {aim: bound for aim, (bound, _) in bounds.items()}
    proof = prove(problem, seed=seed, effort=effort.exact, watch=watch, known=week, bounds=least)
    proven = dict(bounds)
    for aim, bound in proof.bounds.items():
        if aim not in least or bound > least[aim]:
            proven[aim] = (bound, "exact search")
    if not proof.placements:
        return week
    better = _week(problem, proof.placements, proof.opened, "exact search", seed)
    return with_bounds(better, proven, watch.spent)


def _force(problem: Problem, seed: int, effort: Effort, watch: Watch) -> Week:
    """The search found no week that holds: the exact engine finds one, or proves that there is none."""
    prove = _exact_engine()
    reasons = why_not(problem)
    if _may_prove(problem, effort, watch):
        proof = prove(problem, seed=seed, effort=effort.exact, watch=watch)
        if proof.placements:
            week = _week(problem, proof.placements, proof.opened, "exact search", seed)
            bounds = {aim: (bound, "exact search") for aim, bound in proof.bounds.items()}
            return with_bounds(week, bounds, watch.spent)
        if proof.refuted:
            return _no_week(Status.INFEASIBLE, reasons, seed, watch)
    status = Status.INFEASIBLE if reasons.proven else Status.UNFINISHED
    return _no_week(status, reasons, seed, watch)


def _assign(problem: Problem, week: Week, seed: int, effort: Effort, watch: Watch) -> dict[Aim, int]:
    from kerfsmith.scheduling.engines.assigning import assigning_bounds

    return assigning_bounds(problem, week, seed=seed, effort=effort.exact / 4, watch=watch)


def _exact_engine() -> "Prove":
    """Loaded when it is first needed: its solver takes most of a second to load."""
    from kerfsmith.scheduling.engines.cp import prove

    return prove


def _no_week(status: Status, why: WhyNot, seed: int, watch: Watch) -> Week:
    return Week(status, (), MappingProxyType({}), (), "none", watch.spent, seed, why.texts)


def _week(
    problem: Problem,
    placements: tuple[Placement, ...],
    opened: Mapping[str, tuple[int, ...]],
    engine: str,
    seed: int,
) -> Week:
    values = score(problem, placements, opened)
    aims = tuple(AimValue(aim, values[aim], None) for aim in problem.aims)
    return Week(Status.FEASIBLE, placements, MappingProxyType(dict(opened)), aims, engine, 0.0, seed)


def with_bounds(week: Week, bounds: Bounds, seconds: float) -> Week:
    """``week`` with what is proven; it is OPTIMAL where every aim is."""
    aims = tuple(
        replace(one, bound=bounds[one.aim][0], bound_source=bounds[one.aim][1]) if one.aim in bounds else one
        for one in week.aims
    )
    status = Status.OPTIMAL if all(one.is_proven for one in aims) else Status.FEASIBLE
    return replace(week, aims=aims, status=status, seconds=seconds)
