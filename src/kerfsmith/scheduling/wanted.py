"""What is wanted of each load, and when it is there: lateness piece by piece, told by order line."""

from dataclasses import dataclass, replace

from kerfsmith.scheduling.problem import Option, Problem, Run, Wanted
from kerfsmith.scheduling.result import Placement


@dataclass(frozen=True, slots=True)
class LineDone:
    """One order line in a placed run: when its last piece is off, and how many of its pieces are late.

    ``late`` is how many ticks the last of them is late, 0 where none is.
    """

    line: str
    mark: str
    due: int
    pieces: int
    done: int
    late_pieces: int
    late: int


def wanted_of(run: Run, option: Option) -> tuple[tuple[int, Wanted], ...]:
    """What is wanted of ``run`` on one saw: the place of a load, and pieces that are there when it ends.

    Where no load says, the whole run is wanted at its own due time, with its last load.
    """
    found = tuple((place, one) for place, load in enumerate(option.loads) for one in load.wanted)
    if found or run.due is None or run.weight < 1:
        return found
    return ((len(option.loads) - 1, Wanted(run.due, run.weight)),)


def lateness_of(run: Run, placement: Placement) -> tuple[tuple[int, int], ...]:
    """Ticks by which pieces of a placed run miss their due time, below zero when early; and how many."""
    option = run.on(placement.saw)
    return tuple((placement.loads[place].end - one.due, one.pieces) for place, one in wanted_of(run, option))


def with_one_due(problem: Problem) -> Problem:
    """A looser problem in which each run has one due time, that of its last load, and its weight.

    Whatever a week costs here it costs at least in ``problem``: pieces of earlier loads and pieces without
    a due time are left out, and of several saws the loosest counts. So bounds found here hold there.
    """
    return replace(problem, runs=tuple(_with_one_due(run) for run in problem.runs))


def _with_one_due(run: Run) -> Run:
    if all(not load.wanted for option in run.options for load in option.loads):
        return run if run.weight else replace(run, due=None)
    dues: list[int] = []
    weights: list[int] = []
    for option in run.options:
        last = len(option.loads) - 1
        owed = [one for place, one in wanted_of(run, option) if place == last]
        if not owed:
            return replace(run, due=None)
        dues.append(max(one.due for one in owed))
        weights.append(sum(one.pieces for one in owed))
    options = tuple(
        replace(option, loads=tuple(replace(load, wanted=()) for load in option.loads))
        for option in run.options
    )
    return replace(run, options=options, due=max(dues), weight=min(weights))


def lines_of(problem: Problem, placement: Placement) -> tuple[LineDone, ...]:
    """The order lines of a placed run with a due time, the latest first."""
    run = problem.run(placement.run)
    found: dict[tuple[str, str, int], list[tuple[int, int]]] = {}
    for place, one in wanted_of(run, run.on(placement.saw)):
        ends = placement.loads[place].end
        found.setdefault((one.line, one.mark, one.due), []).append((ends, one.pieces))
    lines = [
        LineDone(
            line,
            mark,
            due,
            sum(pieces for _, pieces in ends),
            max(end for end, _ in ends),
            sum(pieces for end, pieces in ends if end > due),
            max(0, max(end for end, _ in ends) - due),
        )
        for (line, mark, due), ends in found.items()
    ]
    return tuple(sorted(lines, key=lambda one: (-one.late, one.due, one.mark)))


def is_late(problem: Problem, placement: Placement) -> bool:
    """Whether any piece of a placed run is late."""
    return any(line.late > 0 for line in lines_of(problem, placement))
