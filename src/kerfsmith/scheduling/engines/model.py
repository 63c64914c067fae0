"""The week as a constraint model: when each load comes, which run follows which, and what each aim adds up
to.

Every load is an interval that must start where the saw's hours hold all of it, so that hours and stops are
domains, not constraints. The order on a saw is a circuit through its runs, which carries the set-ups.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from ortools.sat.python import cp_model

from kerfsmith.scheduling.calendar import Span
from kerfsmith.scheduling.problem import WHOLE_PERSON, Aim, Option, Problem, Run, Saw
from kerfsmith.scheduling.score import overtime_ticks


@dataclass(slots=True)
class Place:
    """One run on one saw, if ``there``: from ``begins`` (set-up) over its loads' ``starts`` to ``end``."""

    run: Run
    option: Option
    there: Any
    begins: Any
    starts: list[Any]
    end: Any
    set_up: Any = 0
    """Ticks of its set-up, an expression."""
    change: Any = 0
    first_use: Any = None


@dataclass(slots=True)
class Model:
    """The solver's model with the variables that are read back."""

    cp: cp_model.CpModel
    places: dict[tuple[str, str], Place] = field(default_factory=dict)
    opened: dict[tuple[str, int], Any] = field(default_factory=dict)
    arcs: dict[tuple[str, str, str], Any] = field(default_factory=dict)
    """(saw, run before, run after) -> whether the one follows the other; "" is the row's end."""
    lifts: list[Any] = field(default_factory=list)
    minds: list[tuple[Any, int]] = field(default_factory=list)
    aims: dict[Aim, Any] = field(default_factory=dict)


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
        _add_row(model, problem, saw)
    _add_shared(model, problem)
    _add_aims(model, problem)
    return model


def starts_within(spans: Sequence[Span], ticks: int) -> list[list[int]]:
    """Starts at which ``ticks`` fit in one of ``spans``."""
    return [[span.start, span.end - ticks] for span in spans if span.ticks >= ticks]


def both(one: list[list[int]], other: list[list[int]]) -> list[list[int]]:
    """What two rising lists of ranges have in common."""
    found = [
        [max(a[0], b[0]), min(a[1], b[1])] for a in one for b in other if max(a[0], b[0]) <= min(a[1], b[1])
    ]
    return sorted(found)


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
        _shut(model, saw, there, start, load.ticks)
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


def _shut(model: Model, saw: Saw, happens: Any, start: Any, ticks: int) -> None:
    """Nothing that ``happens`` lies within overtime that isn't asked for."""
    for number in saw.calendar.overtime:
        window = saw.calendar.windows[number]
        before = model.cp.new_bool_var("before")
        shut = [happens, model.opened[saw.id, number].negated()]
        model.cp.add(start + ticks <= window.start).only_enforce_if([*shut, before])
        model.cp.add(start >= window.end).only_enforce_if([*shut, before.negated()])


def _add_row(model: Model, problem: Problem, saw: Saw) -> None:
    """The order of runs on one saw, and their set-ups."""
    cp = model.cp
    row = [place for (_, name), place in model.places.items() if name == saw.id]
    if not row:
        return
    spans = []
    for place in row:
        taken = cp.new_int_var(1, problem.horizon, "taken")
        spans.append(
            cp.new_optional_interval_var(
                place.begins, taken, place.end, place.there, f"{place.run.id} {saw.id}"
            )
        )
        place.first_use = cp.new_bool_var("first use") if saw.fresh.get(place.option.band, 0) else None
    cp.add_no_overlap(spans)
    if any(saw.set_ups.values()) or any(saw.fresh.values()) or needs_order(problem):
        _circuit(model, saw, row)
        _set_ups(model, saw, row)
    else:
        for place in row:
            cp.add(place.begins == place.starts[0])


def needs_order(problem: Problem) -> bool:
    """Whether who follows whom matters even where no set-up takes time."""
    ranked = any(run.pin is not None and run.pin.rank is not None for run in problem.runs)
    return ranked or Aim.CHANGES in problem.aims


def _circuit(model: Model, saw: Saw, row: Sequence[Place]) -> None:
    cp = model.cp
    empty = cp.new_bool_var(f"{saw.id} empty")
    circuit: list[tuple[int, int, Any]] = [(0, 0, empty)]
    for i, one in enumerate(row, start=1):
        circuit.append((i, i, one.there.negated()))
        cp.add_implication(empty, one.there.negated())
        for j in range(len(row) + 1):
            if j == i:
                continue
            follows = cp.new_bool_var("")
            circuit.append((i, j, follows))
            model.arcs[saw.id, one.run.id, row[j - 1].run.id if j else ""] = follows
            if j:
                cp.add(row[j - 1].begins >= one.end).only_enforce_if(follows)
        first = cp.new_bool_var("")
        circuit.append((0, i, first))
        model.arcs[saw.id, "", one.run.id] = first
    cp.add_circuit(circuit)
    ranked = sorted(
        (one for one in row if one.run.pin is not None and one.run.pin.rank is not None),
        key=lambda one: one.run.pin.rank or 0 if one.run.pin is not None else 0,
    )
    before = ""
    for one in ranked:
        cp.add(model.arcs[saw.id, before, one.run.id] == 1)
        before = one.run.id


def _set_ups(model: Model, saw: Saw, row: Sequence[Place]) -> None:
    cp = model.cp
    bands = {one.run.id: one.option.band for one in row} | {"": saw.mounted}
    attended = saw.calendar.attended(saw.calendar.overtime)
    _break_in(model, saw, row)
    for one in row:
        name, band = one.run.id, one.option.band
        before = [other for other in ("", *(place.run.id for place in row)) if other != name]
        arcs = {other: model.arcs[saw.id, other, name] for other in before}
        one.change = sum(arc for other, arc in arcs.items() if bands[other] != band)
        timed = [(arc, saw.set_up(bands[other], band)) for other, arc in arcs.items()]
        change = sum(arc * ticks for arc, ticks in timed if ticks)
        fresh = saw.fresh.get(band, 0)
        lengths = {ticks for _, ticks in timed}
        if one.first_use is not None:
            change = change + fresh * one.first_use
            lengths |= {ticks + fresh for ticks in lengths}
        one.set_up = change
        cp.add(one.starts[0] >= one.begins + change).only_enforce_if(one.there)
        _time_set_up(model, saw, one, sorted(lengths - {0}), attended)


def _time_set_up(
    model: Model, saw: Saw, one: Place, lengths: Sequence[int], attended: Sequence[Span]
) -> None:
    """The set-up of one run lies in attended hours, whichever of its possible lengths it has."""
    cp = model.cp
    picked = []
    for ticks in lengths:
        takes = cp.new_bool_var(f"set up {ticks}")
        picked.append((takes, ticks))
        cp.add_implication(takes, one.there)
        domain = cp_model.Domain.from_intervals(starts_within(attended, ticks))
        cp.add_linear_expression_in_domain(one.begins, domain).only_enforce_if(takes)
        use = cp.new_optional_fixed_size_interval_var(one.begins, ticks, takes, "set up")
        model.minds.append((use, WHOLE_PERSON))
        _shut(model, saw, takes, one.begins, ticks)
    if picked:
        cp.add(sum(takes * ticks for takes, ticks in picked) == one.set_up)
        cp.add_at_most_one(takes for takes, _ in picked)


def _break_in(model: Model, saw: Saw, row: Sequence[Place]) -> None:
    """Of the runs that use a new band the first pays for breaking it in."""
    cp = model.cp
    for band in saw.fresh:
        users = [one for one in row if one.option.band == band and one.first_use is not None]
        if not users:
            continue
        first = cp.new_int_var(0, 1 << 40, f"first use of {band}")
        for one in users:
            cp.add_implication(one.first_use, one.there)
            cp.add(first == one.starts[0]).only_enforce_if(one.first_use)
            cp.add(one.starts[0] >= first).only_enforce_if(one.there)
            cp.add_bool_or([*(user.first_use for user in users)]).only_enforce_if(one.there)
        cp.add_at_most_one(one.first_use for one in users)


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


def _add_aims(model: Model, problem: Problem) -> None:
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


def _aim(model: Model, problem: Problem, aim: Aim, ends: dict[str, Any]) -> Any:
    cp = model.cp
    owed = [(run, run.due) for run in problem.runs if run.due is not None]
    match aim:
        case Aim.TARDINESS:
            parts = []
            for run, due in owed:
                late = cp.new_int_var(0, max(0, problem.horizon - due), f"{run.id} late")
                cp.add(late >= ends[run.id] - due)
                parts.append(run.weight * late)
            return sum(parts)
        case Aim.LATE:
            parts = []
            for run, due in owed:
                is_late = cp.new_bool_var(f"{run.id} is late")
                cp.add(ends[run.id] <= due).only_enforce_if(is_late.negated())
                parts.append(run.weight * is_late)
            return sum(parts)
        case Aim.MAX_LATENESS:
            worst = cp.new_int_var(-problem.horizon, problem.horizon, "worst")
            for run, due in owed:
                cp.add(worst >= ends[run.id] - due)
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
