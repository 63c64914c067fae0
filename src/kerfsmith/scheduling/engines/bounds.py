"""What no week can undercut, aim by aim, and by what that is known."""

from kerfsmith.nesting.stop import Watch
from kerfsmith.scheduling.engines.counting import (
    least_changes,
    least_hours,
    least_lateness,
    least_makespan,
)
from kerfsmith.scheduling.engines.descent import Found
from kerfsmith.scheduling.engines.grid import AIM_PLACE, make_grid
from kerfsmith.scheduling.engines.pricing import PRICED, price_bound
from kerfsmith.scheduling.problem import Aim, Problem
from kerfsmith.scheduling.wanted import with_one_due

Bounds = dict[Aim, tuple[int, str]]
"""The proven least of an aim, whatever the others come to, and by what it is proven."""


def bounds_by_counting(problem: Problem) -> Bounds:
    """Bounds that need no search."""
    found: Bounds = {
        Aim.TARDINESS: (0, "nothing is less than not late"),
        Aim.LATE: (0, "nothing is less than not late"),
        Aim.MOVES: (0, "nothing is less than no move"),
        Aim.COMPLETION: (0, "nothing ends before the beginning"),
        Aim.HOURS: (
            least_hours(problem),
            "every run at its quickest saw, and the bands that must be mounted",
        ),
        Aim.CHANGES: (least_changes(problem), "the bands that must be mounted"),
        Aim.MAKESPAN: (least_makespan(problem), "all runs in all the hours there are"),
        Aim.MAX_LATENESS: (
            least_lateness(problem),
            "what is due by each due time, in all the hours there are",
        ),
    }
    return {aim: found[aim] for aim in problem.aims}


def bounds_by_pricing(problem: Problem, found: Found, known: Bounds, *, starts: int, watch: Watch) -> Bounds:
    """Bounds on what is late, where the week found is above the ones known."""
    better: Bounds = {}
    for aim in problem.aims:
        kind, value = AIM_PLACE[aim], int(found.week.values[AIM_PLACE[aim]])
        if kind not in PRICED or value <= known[aim][0]:
            continue
        everything = {saw.id: saw.calendar.overtime for saw in problem.saws}
        grid = make_grid(with_one_due(problem), everything)
        bound = price_bound(grid, found.week, kind, starts=starts, watch=watch)
        if bound > known[aim][0]:
            better[aim] = (bound, "saws' ticks priced")
    return better
