"""What a week is worth: every aim reckoned from the placements alone."""

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence

from kerfsmith.scheduling.problem import Aim, Problem
from kerfsmith.scheduling.result import Placement
from kerfsmith.scheduling.wanted import lateness_of


def score(
    problem: Problem, placements: Sequence[Placement], opened: Mapping[str, Iterable[int]]
) -> dict[Aim, int]:
    """Every aim's value. ``opened`` maps a saw to its overtime windows that are asked for."""
    runs = {run.id: run for run in problem.runs}
    weight = {run.id: run.weight for run in problem.runs}
    owed = [pair for one in placements for pair in lateness_of(runs[one.run], one)]
    return {
        Aim.TARDINESS: sum(pieces * max(0, ticks) for ticks, pieces in owed),
        Aim.LATE: sum(pieces for ticks, pieces in owed if ticks > 0),
        Aim.MAX_LATENESS: max((ticks for ticks, _ in owed), default=0),
        Aim.COMPLETION: sum(weight[one.run] * one.end for one in placements),
        Aim.MAKESPAN: max((one.end for one in placements), default=0),
        Aim.HOURS: saw_ticks(placements) + overtime_ticks(problem, opened),
        Aim.CHANGES: band_changes(problem, placements),
        Aim.MOVES: moves(problem.previous, placements),
    }


def lateness(problem: Problem, placement: Placement) -> int | None:
    """Ticks by which the worst piece of a run misses its due time, below zero when early; None where nobody
    waits.
    """
    return max((ticks for ticks, _ in lateness_of(problem.run(placement.run), placement)), default=None)


def saw_ticks(placements: Iterable[Placement]) -> int:
    """Ticks in which saws are set up, loaded and sawing; waiting left out."""
    total = 0
    for one in placements:
        total += sum(load.end - load.start for load in one.loads)
        if one.set_up is not None:
            total += one.set_up.end - one.set_up.start
    return total


def overtime_ticks(problem: Problem, opened: Mapping[str, Iterable[int]]) -> int:
    """Ticks of the overtime windows that are asked for: who is called in is paid for all of it."""
    return sum(saw.calendar.windows[place].ticks for saw in problem.saws for place in opened.get(saw.id, ()))


def band_changes(problem: Problem, placements: Iterable[Placement]) -> int:
    """How often a saw's band is another than for its run before, the band it begins with counted."""
    on = {saw.id: saw.mounted for saw in problem.saws}
    changes = 0
    for one in sorted(placements, key=lambda one: one.start):
        changes += one.band != on[one.saw]
        on[one.saw] = one.band
    return changes


def moves(previous: Mapping[str, Sequence[str]], placements: Iterable[Placement]) -> int:
    """How many runs of the week before were taken from their place: put on another saw or out of their order.

    As few as explain the change: on each saw the longest row of runs still in their old order has stayed.
    Runs that are no longer, or weren't yet, in the week don't count.
    """
    now: dict[str, list[str]] = {}
    for one in sorted(placements, key=lambda one: one.begins):
        now.setdefault(one.saw, []).append(one.run)
    present = {name for names in now.values() for name in names}
    moved = 0
    for saw, names in previous.items():
        rank = {name: place for place, name in enumerate(names)}
        moved += sum(1 for name in names if name in present)
        moved -= longest_rising([rank[name] for name in now.get(saw, ()) if name in rank])
    return moved


def longest_rising(ranks: Iterable[int]) -> int:
    """Length of the longest rising row within ``ranks`` (patience sorting)."""
    tails: list[int] = []
    for rank in ranks:
        place = bisect_left(tails, rank)
        tails[place : place + 1] = [rank]
    return len(tails)
