"""The exact engine: aims one after the other, each proven as far as the effort allows.

One worker, a fixed seed and a limit in the solver's own deterministic time give the same week each time; a
limit by the clock stands behind it.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from ortools.sat.python import cp_model

from kerfsmith.nesting.stop import Watch
from kerfsmith.scheduling.engines.model import build
from kerfsmith.scheduling.engines.model_parts import Model
from kerfsmith.scheduling.engines.reading import load_times, set_up_of
from kerfsmith.scheduling.problem import Aim, Problem
from kerfsmith.scheduling.result import Placement, Week
from kerfsmith.scheduling.score import score

Overtime = dict[str, tuple[int, ...]]
Reached = tuple[tuple[Placement, ...], Overtime]


@dataclass(frozen=True, slots=True)
class Proof:
    """What the exact engine found: placements (none where it found no week), overtime, and a bound an aim.

    ``refuted`` is whether it proved that there is no week at all.
    """

    placements: tuple[Placement, ...]
    opened: Overtime
    bounds: dict[Aim, int]
    refuted: bool


class _Listener(cp_model.CpSolverSolutionCallback):
    """Tells of each week found and passes the wish to stop on."""

    def __init__(self, watch: Watch, aim: Aim) -> None:
        super().__init__()
        self.watch, self.aim = watch, aim

    def on_solution_callback(self) -> None:
        self.watch.tell(round(self.objective_value), round(self.best_objective_bound), self.aim.value)
        if self.watch.is_over:
            self.stop_search()


def _listen(solver: cp_model.CpSolver, watch: Watch, aim: Aim) -> Callable[[float], None]:
    """Tells of each better bound, and passes the wish to stop on where weeks are rare."""

    def on_bound(bound: float) -> None:
        watch.tell(None, whole(bound), aim.value)
        if watch.is_over:
            solver.stop_search()

    return on_bound


def prove(
    problem: Problem,
    *,
    seed: int,
    effort: float,
    watch: Watch,
    known: Week | None = None,
    bounds: dict[Aim, int] | None = None,
) -> Proof:
    """Solve aim by aim, each with the earlier ones held at what was reached.

    ``effort`` is deterministic time for each aim; ``known`` a week to begin with, whose values are never
    given up; ``bounds`` what is proven already.
    """
    model = build(problem)
    if model is None:
        return Proof((), {}, {}, True)
    least = dict(bounds or {})
    best: Reached | None = None
    if known is not None:
        best = known.placements, dict(known.opened)
        hint(model, problem, *best)
    for aim in problem.aims:
        expression = model.aims[aim]
        if aim in least:
            model.cp.add(expression >= least[aim])
        model.cp.minimize(expression)
        solver = solver_for(seed, effort, watch)
        solver.best_bound_callback = _listen(solver, watch, aim)
        status = solver.solve(model.cp, _Listener(watch, aim))
        if status == cp_model.INFEASIBLE:
            return Proof((), {}, {}, best is None)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            best = _better(problem, best, read(solver, model, problem))
            model.cp.clear_hints()  # type: ignore[no-untyped-call]  # the solver's library leaves it untyped
            hint(model, problem, *best)
        if best is None:
            return Proof((), {}, least, False)
        least[aim] = max(least.get(aim, -(1 << 60)), whole(solver.best_objective_bound))
        model.cp.add(expression <= score(problem, *best)[aim])
        if watch.is_over:
            break
    return Proof(*best, least, False) if best is not None else Proof((), {}, least, False)


def _better(problem: Problem, known: Reached | None, found: Reached) -> Reached:
    """What was known, unless what was found is better: the solver proves one aim at a time and forgets
    the later.
    """
    if known is None:
        return found
    old, new = score(problem, *known), score(problem, *found)
    return found if [new[aim] for aim in problem.aims] < [old[aim] for aim in problem.aims] else known


def whole(bound: float) -> int:
    """The solver's bound on a whole number; it reports whole numbers as floating point."""
    return math.ceil(bound - 1e-6)


def solver_for(seed: int, effort: float, watch: Watch) -> cp_model.CpSolver:
    """A solver that gives the same answer each time, unless the clock ends it first."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    solver.parameters.max_time_in_seconds = max(0.01, watch.left)
    return solver


def read(solver: cp_model.CpSolver, model: Model, problem: Problem) -> Reached:
    """The solver's week as placements and overtime."""
    return _placements(model, problem, solver.value, solver.boolean_value), {
        saw.id: tuple(p for p in saw.calendar.overtime if solver.boolean_value(model.opened[saw.id, p]))
        for saw in problem.saws
    }


def _placements(
    model: Model, problem: Problem, value: Callable[..., int], is_true: Callable[..., bool]
) -> tuple[Placement, ...]:
    found: list[Placement] = []
    for saw in problem.saws:
        row = [one for (_, name), one in model.places.items() if name == saw.id and is_true(one.there)]
        row.sort(key=lambda one: value(one.starts[0]))
        band, used = saw.mounted, set[str]()
        for one in row:
            loads = tuple(
                load_times(load, value(at)) for load, at in zip(one.option.loads, one.starts, strict=True)
            )
            after = one.option.band
            ready = set_up_of(problem, saw.id, band, after, after in used, value(one.begins))
            found.append(Placement(one.run.id, saw.id, after, ready, loads))
            band = after
            used.add(after)
    return tuple(sorted(found, key=lambda one: (one.begins, one.saw)))


def hint(model: Model, problem: Problem, placements: tuple[Placement, ...], opened: Overtime) -> None:
    """Begin from that week."""
    placed = {one.run: one for one in placements}
    for (run, saw), place in model.places.items():
        one = placed[run]
        model.cp.add_hint(place.there, one.saw == saw)
        if one.saw == saw:
            model.cp.add_hint(place.begins, one.begins)
            for start, load in zip(place.starts, one.loads, strict=True):
                model.cp.add_hint(start, load.start)
    for (saw, number), is_open in model.opened.items():
        model.cp.add_hint(is_open, number in opened.get(saw, ()))
    for sheet in problem.saws:
        row = ["", *(one.run for one in placements if one.saw == sheet.id), ""]
        followers = set(pairwise(row))
        for (name, before, after), arc in model.arcs.items():
            if name == sheet.id:
                model.cp.add_hint(arc, (before, after) in followers)
