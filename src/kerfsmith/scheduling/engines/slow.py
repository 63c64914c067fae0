"""The slow and honest engine: every assignment, every order, every interleaving, for a handful of runs.

All aims but the hours grow with the ends of runs, so among the weeks in which every step is placed as early
as the steps placed before it allow, in some order of all steps, is a best one (the active schedules of
Giffler and Thompson, "Algorithms for solving production-scheduling problems", Operations Research 8, 1960).
All of them are tried, for every set of overtime windows. Hours, crane and people are looked at tick by
tick.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, permutations, product

from kerfsmith.scheduling.problem import WHOLE_PERSON, Aim, Problem, Run
from kerfsmith.scheduling.result import LoadTimes, Placement, SetUp
from kerfsmith.scheduling.score import score

Opened = dict[str, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Step:
    """A set-up or one load, with its ticks: crane, then a person, then sawing."""

    saw: str
    run: Run
    load: int
    crane: int
    hand: int
    cut: int
    tending: int
    ready: tuple[str, str, bool, int] | None = None
    """For a set-up: band before, band after, whether it changes, and the breaking in."""


@dataclass(frozen=True, slots=True)
class Best:
    """The best week and its values in the order of the aims."""

    values: tuple[int, ...]
    placements: tuple[Placement, ...]
    opened: Opened


def enumerate_weeks(problem: Problem) -> Best | None:
    """The best of all weeks, None where there is none. For some five runs; its time grows with their
    factorial.
    """
    best: Best | None = None
    for opened in _overtimes(problem):
        for rows in _orders(problem):
            steps = {saw: _steps(problem, saw, row) for saw, row in rows.items()}
            for placed in _interleavings(problem, opened, steps, {}, dict.fromkeys(rows, 0)):
                placements = _read(placed)
                values = score(problem, placements, opened)
                if problem.most_moves is not None and values[Aim.MOVES] > problem.most_moves:
                    continue
                reached = tuple(values[aim] for aim in problem.aims)
                if best is None or reached < best.values:
                    best = Best(reached, placements, opened)
    return best


def _overtimes(problem: Problem) -> Iterator[Opened]:
    """Every set of overtime windows."""
    each = []
    for saw in problem.saws:
        places = saw.calendar.overtime
        each.append([chosen for n in range(len(places) + 1) for chosen in combinations(places, n)])
    for picked in product(*each):
        yield {saw.id: chosen for saw, chosen in zip(problem.saws, picked, strict=True)}


def _orders(problem: Problem) -> Iterator[dict[str, tuple[Run, ...]]]:
    """Every assignment of runs to saws, in every order."""
    for chosen in product(*(run.open_options for run in problem.runs)):
        on = {
            saw.id: [run for run, option in zip(problem.runs, chosen, strict=True) if option.saw == saw.id]
            for saw in problem.saws
        }
        for rows in product(*(permutations(runs) for runs in on.values())):
            found = dict(zip(on, rows, strict=True))
            if all(_ranks_kept(row) for row in found.values()):
                yield found


def _ranks_kept(row: Sequence[Run]) -> bool:
    return all(run.pin is None or run.pin.rank in (None, place) for place, run in enumerate(row))


def _steps(problem: Problem, saw: str, row: Sequence[Run]) -> list[Step]:
    """What one saw does, in order."""
    sheet = problem.saw(saw)
    found: list[Step] = []
    band, used = sheet.mounted, set[str]()
    for run in row:
        option = run.on(saw)
        break_in = 0 if option.band in used else sheet.fresh.get(option.band, 0)
        ticks = sheet.set_ups.get((band, option.band), 0) + break_in
        if ticks:
            ready = (band, option.band, band != option.band, break_in)
            found.append(Step(saw, run, -1, 0, ticks, 0, 0, ready))
        for k, load in enumerate(option.loads):
            found.append(Step(saw, run, k, load.crane, load.hand, load.cut, option.tending))
        band = option.band
        used.add(band)
    return found


Placed = dict[str, list[tuple[Step, int]]]


def _interleavings(
    problem: Problem,
    opened: Opened,
    steps: Mapping[str, Sequence[Step]],
    placed: Placed,
    free: Mapping[str, int],
) -> Iterator[Placed]:
    """Every order in which the saws' next steps can be placed, each as early as those before it allow."""
    waiting = [saw for saw, row in steps.items() if len(placed.get(saw, ())) < len(row)]
    if not waiting:
        yield placed
        return
    shared = problem.crane is not None or problem.crews
    for saw in waiting if shared else waiting[:1]:
        step = steps[saw][len(placed.get(saw, ()))]
        at = _earliest(problem, opened, placed, step, free[saw])
        if at is None:
            continue
        end = at + step.crane + step.hand + step.cut
        after = placed | {saw: [*placed.get(saw, ()), (step, at)]}
        yield from _interleavings(problem, opened, steps, after, {**free, saw: end})


def _earliest(problem: Problem, opened: Opened, placed: Placed, step: Step, free: int) -> int | None:
    first = free if step.load else max(free, step.run.release)
    pin = step.run.pin
    if step.load == 0 and pin is not None and pin.start is not None:
        return (
            pin.start if first <= pin.start and _allowed(problem, opened, placed, step, pin.start) else None
        )
    last = problem.horizon - step.crane - step.hand - step.cut
    return next((at for at in range(first, last + 1) if _allowed(problem, opened, placed, step, at)), None)


def _allowed(problem: Problem, opened: Opened, placed: Placed, step: Step, at: int) -> bool:
    """Whether hours, crane and people allow the step at that tick."""
    calendar = problem.saw(step.saw).calendar
    hands = at + step.crane + step.hand
    end = hands + step.cut
    manned = hands if step.run.unattended.allowed else end
    attended, running = calendar.attended(opened[step.saw]), calendar.running(opened[step.saw])
    if manned > at and not any(span.start <= at and manned <= span.end for span in attended):
        return False
    if not any(span.start <= at and end <= span.end for span in running):
        return False
    return all(
        _lifted(problem, placed, tick) + (tick < at + step.crane) <= (problem.crane or len(problem.saws))
        and _people(problem, tick) >= _minded(placed, tick) + _needs(step, at, tick)
        for tick in range(at, end)
    )


def _lifted(problem: Problem, placed: Placed, tick: int) -> int:
    if problem.crane is None:
        return -1
    return sum(at <= tick < at + step.crane for row in placed.values() for step, at in row)


def _needs(step: Step, at: int, tick: int) -> int:
    """Hundredths of a person that the step, begun at ``at``, ties up."""
    hands = at + step.crane + step.hand
    if at <= tick < hands:
        return WHOLE_PERSON
    return 0 if step.run.unattended.allowed or not hands <= tick < hands + step.cut else step.tending


def _minded(placed: Placed, tick: int) -> int:
    return sum(_needs(step, at, tick) for row in placed.values() for step, at in row)


def _people(problem: Problem, tick: int) -> int:
    if not problem.crews:
        return WHOLE_PERSON * (len(problem.saws) + 1)
    return WHOLE_PERSON * sum(crew.people for crew in problem.crews if crew.start <= tick < crew.end)


def _read(placed: Placed) -> tuple[Placement, ...]:
    found: list[Placement] = []
    for saw, row in placed.items():
        ready: SetUp | None = None
        loads: list[LoadTimes] = []
        for place, (step, at) in enumerate(row):
            hands = at + step.crane + step.hand
            if step.ready is not None:
                before, after, changes, break_in = step.ready
                ready = SetUp(at, hands, before, after, changes, break_in)
                continue
            loads.append(LoadTimes(at, at + step.crane, hands, hands + step.cut))
            if place + 1 == len(row) or row[place + 1][0].run.id != step.run.id:
                band = step.run.on(saw).band
                found.append(Placement(step.run.id, saw, band, ready, tuple(loads)))
                ready, loads = None, []
    return tuple(sorted(found, key=lambda one: (one.begins, one.saw)))
