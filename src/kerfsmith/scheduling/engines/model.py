"""The week as a constraint model: when each load comes, which run follows which, and what each aim adds up
to.

Every load is an interval that must start where the saw's hours hold all of it, so that hours and stops are
domains, not constraints. The order on a saw is a circuit through its runs, which carries the set-ups.
"""

from typing import Any

from ortools.sat.python import cp_model

from kerfsmith.scheduling.calendar import Span
from kerfsmith.scheduling.engines.model_aims import add_aims
from kerfsmith.scheduling.engines.model_parts import Model, Place, both, shut, starts_within
from kerfsmith.scheduling.engines.model_rows import add_row
from kerfsmith.scheduling.problem import WHOLE_PERSON, Option, Problem, Run


def build(problem: Problem) -> Model | None:
    """The model, or None where some run has no hours for a load on any of its saws."""
    model = Model(cp_model.CpModel())
    for saw in problem.saws:
        for place in saw.calendar.overtime:
            model.opened[saw.id, place] = model.cp.new_bool_var(f"overtime {saw.id} {place}")
    for run in problem.runs:
        if not _add_run(model, problem, run):
            return None
    for saw in problem.saws:
        add_row(model, problem, saw)
    _add_shared(model, problem)
    add_aims(model, problem)
    return model


def _add_run(model: Model, problem: Problem, run: Run) -> bool:
    there = []
    for option in run.open_options:
        place = _place(model, problem, run, option)
        if place is not None:
            model.places[run.id, option.saw] = place
            there.append(place.there)
    if there:
        model.cp.add_exactly_one(there)
    return bool(there)


def _place(model: Model, problem: Problem, run: Run, option: Option) -> Place | None:
    cp, saw, tag = model.cp, problem.saw(option.saw), f"{run.id} on {option.saw}"
    attended = saw.calendar.attended(saw.calendar.overtime)
    running = saw.calendar.running(saw.calendar.overtime)
    domains = []
    for load in option.loads:
        manned = load.crane + load.hand + (0 if run.unattended.allowed else load.cut)
        domain = starts_within(running, load.ticks)
        if manned:
            domain = both(domain, starts_within(attended, manned))
        domain = both(domain, [[run.release, problem.horizon - load.ticks]])
        if not domain:
            return None
        domains.append(domain)
    there = cp.new_bool_var(f"{tag} there")
    starts = [
        cp.new_int_var_from_domain(cp_model.Domain.from_intervals(domain), f"{tag} load {k}")
        for k, domain in enumerate(domains)
    ]
    begins = cp.new_int_var(0, problem.horizon, f"{tag} begins")
    place = Place(run, option, there, begins, starts, starts[-1] + option.loads[-1].ticks)
    for k, (start, load) in enumerate(zip(starts, option.loads, strict=True)):
        _load(model, problem, place, start, k)
        if k:
            cp.add(start >= starts[k - 1] + option.loads[k - 1].ticks)
        shut(model, saw, there, start, load.ticks)
    if run.pin is not None and run.pin.start is not None:
        cp.add(starts[0] == run.pin.start)
    return place


def _load(model: Model, problem: Problem, place: Place, start: Any, k: int) -> None:
    """Crane and people of one load."""
    cp, load, there = model.cp, place.option.loads[k], place.there
    if problem.crane is not None and load.crane:
        model.lifts.append(cp.new_optional_fixed_size_interval_var(start, load.crane, there, "lift"))
    if not problem.crews:
        return
    hands = load.crane + load.hand
    if hands:
        model.minds.append(
            (cp.new_optional_fixed_size_interval_var(start, hands, there, "hands"), WHOLE_PERSON)
        )
    tending = 0 if place.run.unattended.allowed else place.option.tending
    if tending and load.cut:
        model.minds.append(
            (cp.new_optional_fixed_size_interval_var(start + hands, load.cut, there, "minding"), tending)
        )


def _add_shared(model: Model, problem: Problem) -> None:
    """The crane and the people."""
    cp = model.cp
    if problem.crane == 1 and model.lifts:
        cp.add_no_overlap(model.lifts)
    elif problem.crane is not None and model.lifts:
        cp.add_cumulative(model.lifts, [1] * len(model.lifts), problem.crane)
    if not problem.crews:
        return
    levels = crew_levels(problem)
    most = max(people for _, people in levels)
    uses, wanted = [use for use, _ in model.minds], [amount for _, amount in model.minds]
    for span, people in levels:
        if people < most:
            uses.append(cp.new_fixed_size_interval_var(span.start, span.ticks, "away"))
            wanted.append(most - people)
    cp.add_cumulative(uses, wanted, most)


def crew_levels(problem: Problem) -> list[tuple[Span, int]]:
    """The whole time up to the horizon in spans, each with its hundredths of people."""
    levels: list[tuple[Span, int]] = []
    reached = 0
    for crew in problem.crews:
        if crew.start > reached:
            levels.append((Span(reached, crew.start), 0))
        levels.append((Span(crew.start, crew.end), crew.people * WHOLE_PERSON))
        reached = crew.end
    if reached < problem.horizon:
        levels.append((Span(reached, problem.horizon), 0))
    return levels
