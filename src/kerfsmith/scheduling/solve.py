"""The week found: a good one at once, then bettered, then proven as far as the effort goes."""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from kerfsmith.errors import InvalidValue
from kerfsmith.nesting.stop import Watch
from kerfsmith.scheduling.engines.bounds import Bounds, bounds_by_counting, bounds_by_pricing
from kerfsmith.scheduling.engines.descent import relay, search
from kerfsmith.scheduling.engines.grid import make_grid
from kerfsmith.scheduling.engines.kernels import BROKEN
from kerfsmith.scheduling.engines.reading import Sequences, placements_of, put
from kerfsmith.scheduling.problem import Aim, Problem
from kerfsmith.scheduling.reasons import WhyNot, why_not
from kerfsmith.scheduling.result import AimValue, Placement, Status, Week
from kerfsmith.scheduling.score import score
from kerfsmith.units.told import Told

if TYPE_CHECKING:
    from kerfsmith.scheduling.engines.cp import Proof

    Prove = Callable[..., Proof]

MOST_ARCS = 2_500
"""The exact engine is asked where at most so many pairs of runs can follow each other.

Beyond, its model alone takes longer than a planner waits.
"""


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


def as_ordered(
    problem: Problem, order: Sequences, opened: Mapping[str, tuple[int, ...]] | None = None
) -> Week:
    """The week in exactly that order, laid as early as hours, crane and people allow: what a person
    drags to.

    Nothing is searched, so nothing is proven. A week that misses a pin, finds too few hours or moves
    more than is allowed comes back without placements and with the reasons. Raises InvalidValue for an
    order that isn't of the problem's runs, each once, on saws that may take them.
    """
    _check_order(problem, order)
    grid = make_grid(problem, opened or {})
    laid = relay(grid, put(problem, grid, order))
    if laid.values[BROKEN]:
        text = Told(
            "in this order a pinned start is missed, hours are too few, or more is moved than allowed"
        )
        return Week(Status.UNFINISHED, (), MappingProxyType({}), (), "by hand", 0.0, 0, (text,))
    week = _week(problem, placements_of(problem, grid, laid), opened or {}, "by hand", 0)
    return with_bounds(week, bounds_by_counting(problem), 0.0)


def _check_order(problem: Problem, order: Sequences) -> None:
    named = Counter(name for names in order.values() for name in names)
    if named != Counter(run.id for run in problem.runs):
        raise InvalidValue("an order names every run once")
    for saw, names in order.items():
        for place, name in enumerate(names):
            run = problem.run(name)
            if all(option.saw != saw for option in run.open_options):
                raise InvalidValue(f"run {name} can't go on saw {saw}")
            if run.pin is not None and run.pin.rank not in (None, place):
                raise InvalidValue(f"run {name} is settled as number {run.pin.rank} on its saw")


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
