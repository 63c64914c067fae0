"""One way in: a problem, its limits, and out comes a plan with its proof or the reason why there is none."""

from kerfsmith.nesting.engines.sawroom.solve import RoomEffort
from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.pure import solve_pure
from kerfsmith.nesting.reasons import pieces_without_bar
from kerfsmith.nesting.reduce import is_pure
from kerfsmith.nesting.result import AimValue, Result, Status
from kerfsmith.nesting.sawroom import solve_sawroom
from kerfsmith.nesting.stop import Clock, OnProgress, ShouldStop, Watch, never_stop, tell_nobody


def solve(
    problem: Problem,
    *,
    seconds: float,
    seed: int,
    now: Clock,
    should_stop: ShouldStop = never_stop,
    on_progress: OnProgress = tell_nobody,
    work: float | None = None,
    known: Result | None = None,
) -> Result:
    """Best plan for the problem's aims in their order, with a proven bound.

    Stops after ``seconds`` by the clock ``now``, or when ``should_stop`` says so, with the best plan known.
    The saw-room engine ends before that by work counted: ``work`` seconds of a plain machine, as many as
    ``seconds`` where None. ``known``: a plan whose own aims are the problem's first; the saw-room engine
    holds them as they are and goes on to the rest. The same problem and seed give the same plan unless the
    result says that the clock cut the search short.
    """
    watch = Watch(now, now(), seconds, should_stop, on_progress)
    reasons = pieces_without_bar(problem)
    if reasons:
        return Result(
            Status.INFEASIBLE, None, 0, "length of each piece", (), watch.spent, "none", reasons=reasons
        )
    if not any(piece.count for piece in problem.pieces) and not any(bar.begun for bar in problem.bars):
        aims = tuple(AimValue(aim, 0, 0) for aim in problem.aims)
        return Result(Status.OPTIMAL, 0, 0, "nothing to cut", (), watch.spent, "none", aims)
    if is_pure(problem):
        return solve_pure(problem, watch, seed)
    return solve_sawroom(problem, watch, seed, RoomEffort(work, known))
