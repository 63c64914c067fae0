"""The aims of the constraint model: what each adds up to."""

from typing import Any

from kerfsmith.scheduling.engines.model_parts import Model, Place
from kerfsmith.scheduling.problem import Aim, Problem, Run, Wanted
from kerfsmith.scheduling.score import overtime_ticks
from kerfsmith.scheduling.wanted import wanted_of


def add_aims(model: Model, problem: Problem) -> None:
    """Everything that the week is judged by, and the limit on moves."""
    ends = {run.id: _end_of(model, problem, run) for run in problem.runs}
    for aim in problem.aims:
        model.aims[aim] = _aim(model, problem, aim, ends)
    if problem.most_moves is not None:
        model.cp.add(_moves(model, problem) <= problem.most_moves)


def _end_of(model: Model, problem: Problem, run: Run) -> Any:
    end = model.cp.new_int_var(0, problem.horizon, f"end of {run.id}")
    for option in run.open_options:
        place = model.places.get((run.id, option.saw))
        if place is not None:
            model.cp.add(end == place.end).only_enforce_if(place.there)
    return end


def _owed(model: Model, problem: Problem) -> list[tuple[Any, Any, Wanted]]:
    """What is wanted on each saw that a run may go to: whether it goes there, when it is done, and what."""
    found = []
    for run in problem.runs:
        for option in run.open_options:
            place = model.places.get((run.id, option.saw))
            for at, one in wanted_of(run, option) if place is not None else ():
                assert place is not None, "asked only where there is one"
                found.append((place.there, place.starts[at] + option.loads[at].ticks, one))
    return found


def _aim(model: Model, problem: Problem, aim: Aim, ends: dict[str, Any]) -> Any:
    cp = model.cp
    owed = _owed(model, problem)
    match aim:
        case Aim.TARDINESS:
            parts = []
            for there, end, one in owed:
                late = cp.new_int_var(0, max(0, problem.horizon - one.due), "ticks late")
                cp.add(late >= end - one.due).only_enforce_if(there)
                parts.append(one.pieces * late)
            return sum(parts)
        case Aim.LATE:
            parts = []
            for there, end, one in owed:
                is_late = cp.new_bool_var("is late")
                cp.add(end <= one.due).only_enforce_if(there, is_late.negated())
                parts.append(one.pieces * is_late)
            return sum(parts)
        case Aim.MAX_LATENESS:
            worst = cp.new_int_var(-problem.horizon, problem.horizon, "worst")
            for there, end, one in owed:
                cp.add(worst >= end - one.due).only_enforce_if(there)
            return worst if owed else 0
        case Aim.COMPLETION:
            return sum(run.weight * ends[run.id] for run in problem.runs)
        case Aim.MAKESPAN:
            last = cp.new_int_var(0, problem.horizon, "last")
            cp.add_max_equality(last, list(ends.values()))
            return last
        case Aim.HOURS:
            work = sum(place.there * place.option.ticks + place.set_up for place in model.places.values())
            return work + sum(
                is_open * overtime_ticks(problem, {saw: (number,)})
                for (saw, number), is_open in model.opened.items()
            )
        case Aim.CHANGES:
            return sum(place.change for place in model.places.values())
        case Aim.MOVES:
            return _moves(model, problem)


def _moves(model: Model, problem: Problem) -> Any:
    """Runs that don't stay: those that stay are on their old saw, each after those that stood before it."""
    cp = model.cp
    stays, count = [], 0
    for saw, names in problem.previous.items():
        here = [place for name in names if (place := model.places.get((name, saw))) is not None]
        known = {run.id for run in problem.runs}
        count += sum(1 for name in names if name in known)
        kept: list[tuple[Any, Place]] = []
        for place in here:
            stay = cp.new_bool_var(f"{place.run.id} stays")
            cp.add_implication(stay, place.there)
            for other, before in kept:
                cp.add(place.begins >= before.end).only_enforce_if([stay, other])
            kept.append((stay, place))
            stays.append(stay)
    return count - sum(stays)
