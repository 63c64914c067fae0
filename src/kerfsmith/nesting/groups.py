"""Independent problems through any executor, their results in the order asked for."""

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future
from dataclasses import dataclass

from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.result import Result, Status, best_of
from kerfsmith.nesting.solve import solve
from kerfsmith.nesting.stop import Clock

OVERRUN = 3.0
"""A turn may last so many times its length: the integer solver looks at the clock late when it is at a large
linear program, and the machine may be at other work."""


@dataclass(frozen=True, slots=True)
class GroupTask:
    """A problem to be solved somewhere else. ``now`` must be a clock that can be sent there, as
    time.perf_counter."""

    problem: Problem
    seconds: float
    seed: int
    now: Clock

    def run(self) -> Result:
        """Solve it here."""
        return solve(self.problem, seconds=self.seconds, seed=self.seed, now=self.now)


@dataclass(frozen=True, slots=True)
class SharedTime:
    """Time that groups share once each has had its first turn.

    ``seconds``: for all groups together, by the clock ``now``, counted from the first turn's start. Until it
    is spent the groups that are still open take turns of ``longer`` times the length of their last: those
    whose gap is above ``near`` before those only not proven, short turns before long, wide gaps first.
    ``workers`` is how many groups the executor solves at once.
    """

    seconds: float
    workers: int
    near: float = 0.005
    longer: float = 4.0


def solve_groups(
    problems: Mapping[str, Problem],
    executor: Executor,
    *,
    seconds: float,
    seed: int,
    now: Clock,
    on_done: Callable[[str, Result], None] | None = None,
    tries: int = 3,
    shared: SharedTime | None = None,
) -> dict[str, Result]:
    """Solve each group's problem by the executor, in at most ``seconds`` each; results by the groups' names.

    The largest go first, so that no worker sits over one alone at the end. A task that comes back with an
    error (as from a worker that was killed) is sent again, up to ``tries`` times in all; then the error is
    raised. The results are those of :func:`solve` for the same seed, whatever the executor. With ``shared``
    the groups not proven in ``seconds`` get further turns; of each group's turns the best plan and the best
    bound are kept. ``on_done`` is told a group's result whenever it is new or has become better."""
    start = now()
    order = sorted(problems, key=lambda name: (-_weight(problems[name]), name))
    found: dict[str, Result] = {}

    def turn(names: Sequence[str], length: float) -> None:
        waiting: dict[str, tuple[GroupTask, Future[Result]]] = {}
        for name in names:
            task = GroupTask(problems[name], length, seed, now)
            waiting[name] = task, executor.submit(task.run)
        for name in names:
            task, future = waiting.pop(name)
            before, result = found.get(name), _result(task, future, executor, tries)
            found[name] = result if before is None else best_of(before, result)
            if on_done is not None and found[name] != before:
                on_done(name, found[name])

    turn(order, seconds)
    had = dict.fromkeys(order, seconds)
    while shared is not None:
        names, length = _next_turn(found, had, shared, shared.seconds - (now() - start))
        if not names:
            break
        turn(names, length)
        had |= dict.fromkeys(names, length)
    return {name: found[name] for name in problems}


def _next_turn(
    found: Mapping[str, Result], had: Mapping[str, float], shared: SharedTime, left: float
) -> tuple[list[str], float]:
    """Who has the next turn, the widest gap first, and how long; nobody when the time is spent.

    ``had``: how long each group's longest turn so far was."""
    waiting = [
        name
        for name, result in found.items()
        # A turn hardly longer than the one before would only find the same again.
        if result.status in (Status.FEASIBLE, Status.UNFINISHED) and left > 1.5 * OVERRUN * had[name]
    ]
    wide = [name for name in waiting if _gap(found[name]) > shared.near]
    names = sorted(wide or waiting, key=lambda name: (had[name], -_gap(found[name]), name))
    if not names:
        return [], 0.0
    length = min(left / OVERRUN, shared.longer * had[names[0]])
    most = max(1, int(left / (OVERRUN * length))) * shared.workers
    return [name for name in names if 1.5 * had[name] < length][:most], length


def _gap(result: Result) -> float:
    return 1.0 if result.gap is None else result.gap


def _weight(problem: Problem) -> int:
    return len(problem.pieces) * max(1, len(problem.bars))


def _result(task: GroupTask, future: Future[Result], executor: Executor, tries: int) -> Result:
    """The task's result; sent again when it failed, done here when the executor itself is broken."""
    left = tries
    while True:
        try:
            return future.result()
        except BrokenExecutor:
            return task.run()
        except Exception:
            left -= 1
            if left < 1:
                raise
        try:
            future = executor.submit(task.run)
        except BrokenExecutor:
            return task.run()
