"""Proofs of hours and changes: which saw takes which run, with the hours there are up to each due time.

The week without its order: each run goes whole to one saw, each saw holds by each due time what must be
done by then, people likewise, and a band that isn't on the saw is mounted at least once where a run uses
it. What is late already is allowed for: where the earlier aims came to so much, no run ends later than
that alone would let it. Whatever this cannot undercut, no week can.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from ortools.sat.python import cp_model

from kerfsmith.nesting.stop import Watch
from kerfsmith.scheduling.calendar import Span
from kerfsmith.scheduling.engines.cp import solver_for, whole
from kerfsmith.scheduling.problem import WHOLE_PERSON, Aim, Option, Problem, Run, Saw
from kerfsmith.scheduling.result import Week
from kerfsmith.scheduling.wanted import with_one_due


@dataclass(slots=True)
class Sharing:
    """The model: who takes what, which bands each saw needs by each time, which overtime is asked for."""

    cp: cp_model.CpModel
    takes: dict[tuple[str, str], Any] = field(default_factory=dict)
    needs: dict[tuple[str, str, int], Any] = field(default_factory=dict)
    """(saw, band, time) -> whether a run to be done by then uses the band on the saw."""
    opened: dict[tuple[str, int], Any] = field(default_factory=dict)


def assigning_bounds(
    problem: Problem, week: Week, *, seed: int, effort: float, watch: Watch
) -> dict[Aim, int]:
    """Bounds on hours and changes, with the aims before each at most what ``week`` reaches."""
    found: dict[Aim, int] = {}
    for aim in (Aim.HOURS, Aim.CHANGES):
        one = next((one for one in week.aims if one.aim is aim), None)
        if one is None or one.is_proven or watch.is_over:
            continue
        before = problem.aims[: problem.aims.index(aim)]
        model = _share(problem, _latest_ends(problem, week, before))
        hours, changes = _hours(model, problem), _changes(model, problem)
        if Aim.HOURS in before:
            model.cp.add(hours <= (week.value(Aim.HOURS) or 0))
        if Aim.CHANGES in before:
            model.cp.add(changes <= (week.value(Aim.CHANGES) or 0))
        model.cp.minimize(hours if aim is Aim.HOURS else changes)
        solver = solver_for(seed, effort, watch)
        if solver.solve(model.cp) != cp_model.INFEASIBLE:
            found[aim] = whole(solver.best_objective_bound)
    return found


def _latest_ends(problem: Problem, week: Week, aims: Iterable[Aim]) -> dict[str, int]:
    """By when each run is done in any week that is no worse on ``aims``."""
    ends = {run.id: problem.horizon for run in problem.runs}
    for aim in aims:
        value = week.value(aim) or 0
        for run in with_one_due(problem).runs:
            if (latest := _latest_end(run, aim, value)) is not None:
                ends[run.id] = min(ends[run.id], latest)
    return ends


def _latest_end(run: Run, aim: Aim, value: int) -> int | None:
    if aim is Aim.MAKESPAN:
        return value
    if run.due is None or run.weight == 0:
        return None
    if aim is Aim.TARDINESS:
        return run.due + value // run.weight
    if aim is Aim.MAX_LATENESS:
        return run.due + value
    return run.due if aim is Aim.LATE and value < run.weight else None


def _share(problem: Problem, ends: dict[str, int]) -> Sharing:
    model = Sharing(cp_model.CpModel())
    cp = model.cp
    for saw in problem.saws:
        for place in saw.calendar.overtime:
            model.opened[saw.id, place] = cp.new_bool_var("overtime")
    for run in problem.runs:
        for option in run.open_options:
            model.takes[run.id, option.saw] = cp.new_bool_var(f"{run.id} on {option.saw}")
        cp.add_exactly_one(model.takes[run.id, option.saw] for option in run.open_options)
    times = sorted({*ends.values(), problem.horizon})
    for by in times:
        due = [run for run in problem.runs if ends[run.id] <= by]
        for saw in problem.saws:
            _hold(model, saw, due, by)
        if problem.crews:
            _staff(model, problem, due, by)
    return model


def _hold(model: Sharing, saw: Saw, due: list[Run], by: int) -> None:
    """What one saw must have done by a time fits its hours up to then, those with somebody there apart."""
    cp = model.cp
    here = [(run, option) for run in due for option in run.open_options if option.saw == saw.id]
    for band in {option.band for _, option in here}:
        needed = model.needs[saw.id, band, by] = cp.new_bool_var(f"{band} on {saw.id} by {by}")
        for run, option in here:
            if option.band == band:
                cp.add_implication(model.takes[run.id, saw.id], needed)
    mounting = sum(ticks * model.needs[saw.id, band, by] for band, ticks in _mountings(saw, here).items())
    running = sum(option.ticks * model.takes[run.id, saw.id] for run, option in here) + mounting
    manned = sum(_manned(run, option) * model.takes[run.id, saw.id] for run, option in here) + mounting
    calendar = saw.calendar
    extra = sum(
        model.opened[saw.id, place] * _until([Span(window.start, window.end)], by)
        for place in calendar.overtime
        for window in (calendar.windows[place],)
    )
    cp.add(running <= _until(calendar.running(), by) + extra)
    cp.add(manned <= _until(calendar.attended(), by) + extra)


def _mountings(saw: Saw, here: list[tuple[Run, Option]]) -> dict[str, int]:
    """Bands that are not on the saw, each with the least ticks that mounting and breaking it in takes."""
    bands = {option.band for _, option in here}
    every = {before for before, _ in saw.set_ups} | bands | {saw.mounted}
    return {
        band: min(saw.set_up(before, band) for before in every - {band}) + saw.fresh.get(band, 0)
        for band in bands
        if band != saw.mounted
    }


def _manned(run: Run, option: Option) -> int:
    """Ticks of the option in which somebody must be there."""
    return sum(load.crane + load.hand + (0 if run.unattended.allowed else load.cut) for load in option.loads)


def _until(spans: Iterable[Span], by: int) -> int:
    return sum(max(0, min(span.end, by) - span.start) for span in spans)


def _staff(model: Sharing, problem: Problem, due: list[Run], by: int) -> None:
    """The people there up to a time can do what must be done by then."""
    work = sum(
        _person_ticks(run, option) * model.takes[run.id, option.saw]
        for run in due
        for option in run.open_options
    )
    there = sum(crew.people * max(0, min(crew.end, by) - crew.start) for crew in problem.crews)
    model.cp.add(work <= there * WHOLE_PERSON)


def _person_ticks(run: Run, option: Option) -> int:
    """Hundredths of a person, times ticks, that the option ties up."""
    tending = 0 if run.unattended.allowed else option.tending
    return sum(WHOLE_PERSON * (load.crane + load.hand) + tending * load.cut for load in option.loads)


def _hours(model: Sharing, problem: Problem) -> Any:
    total: Any = 0
    for saw in problem.saws:
        here = [(run, option) for run in problem.runs for option in run.open_options if option.saw == saw.id]
        total += sum(option.ticks * model.takes[run.id, saw.id] for run, option in here)
        for band, ticks in _mountings(saw, here).items():
            total += ticks * model.needs[saw.id, band, problem.horizon]
        for place in saw.calendar.overtime:
            total += saw.calendar.windows[place].ticks * model.opened[saw.id, place]
    return total


def _changes(model: Sharing, problem: Problem) -> Any:
    mounted = {saw.id: saw.mounted for saw in problem.saws}
    return sum(
        needed
        for (saw, band, by), needed in model.needs.items()
        if by == problem.horizon and band != mounted[saw]
    )
