"""Weeks read from the kernels' arrays, and orders of runs put into them."""

from collections.abc import Mapping, Sequence

from kerfsmith.scheduling.engines.grid import FIRST_LOAD, Grid
from kerfsmith.scheduling.engines.kernels import SET_UP_AT, Laid, room_for
from kerfsmith.scheduling.problem import Load, Problem
from kerfsmith.scheduling.result import LoadTimes, Placement, SetUp

Sequences = Mapping[str, Sequence[str]]
"""Saw -> its runs in order."""


def put(problem: Problem, grid: Grid, sequences: Sequences) -> Laid:
    """An unlaid week with ``sequences`` as its order."""
    week = room_for(grid)
    number = {run.id: r for r, run in enumerate(problem.runs)}
    for m, saw in enumerate(problem.saws):
        names = sequences.get(saw.id, ())
        week.sizes[m] = len(names)
        week.seq[m, : len(names)] = [number[name] for name in names]
    return week


def sequences_of(problem: Problem, week: Laid) -> dict[str, tuple[str, ...]]:
    """The order of runs on each saw."""
    return {
        saw.id: tuple(problem.runs[r].id for r in week.seq[m, : week.sizes[m]])
        for m, saw in enumerate(problem.saws)
    }


def placements_of(problem: Problem, grid: Grid, week: Laid) -> tuple[Placement, ...]:
    """A laid week as placements, by the tick from which each takes its saw."""
    found: list[Placement] = []
    for m, saw in enumerate(problem.saws):
        band, used = saw.mounted, set[str]()
        for r in week.seq[m, : week.sizes[m]]:
            run = problem.runs[int(r)]
            option = run.on(saw.id)
            first = int(grid.options[r, m, FIRST_LOAD])
            starts = week.load_at[first : first + len(option.loads)]
            loads = tuple(load_times(load, int(at)) for load, at in zip(option.loads, starts, strict=True))
            ready = set_up_of(
                problem, saw.id, band, option.band, option.band in used, int(week.when[SET_UP_AT, r])
            )
            found.append(Placement(run.id, saw.id, option.band, ready, loads))
            band = option.band
            used.add(band)
    return tuple(sorted(found, key=lambda one: (one.begins, one.saw)))


def load_times(load: Load, at: int) -> LoadTimes:
    """A load that comes at tick ``at``."""
    lifted = at + load.crane
    hands = lifted + load.hand
    return LoadTimes(at, lifted, hands, hands + load.cut)


def set_up_of(problem: Problem, saw: str, before: str, after: str, used: bool, at: int) -> SetUp | None:
    """The set-up between two bands at tick ``at``; None where the band stays and nothing is to be done."""
    sheet = problem.saw(saw)
    break_in = 0 if used else sheet.fresh.get(after, 0)
    change = sheet.set_up(before, after)
    if change + break_in == 0:
        return None
    return SetUp(at, at + change + break_in, before, after, before != after, break_in)


def due_first(problem: Problem) -> list[str]:
    """Runs in the order in which a planner takes them up: due first, then what came first."""
    far = problem.horizon + 1

    def key(run_id: str) -> tuple[int, int, str]:
        run = by_id[run_id]
        return (far if run.due is None else run.due, run.release, run.id)

    by_id = {run.id: run for run in problem.runs}
    return sorted(by_id, key=key)
