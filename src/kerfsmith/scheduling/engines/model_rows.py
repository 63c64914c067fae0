"""The order on a saw in the constraint model: a circuit through its runs, which carries the set-ups."""

from collections.abc import Sequence
from typing import Any

from ortools.sat.python import cp_model

from kerfsmith.scheduling.calendar import Span
from kerfsmith.scheduling.engines.model_parts import Model, Place, shut, starts_within
from kerfsmith.scheduling.problem import WHOLE_PERSON, Aim, Problem, Saw


def add_row(model: Model, problem: Problem, saw: Saw) -> None:
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
        shut(model, saw, takes, one.begins, ticks)
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
