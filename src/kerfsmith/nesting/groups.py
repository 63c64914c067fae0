"""Independent problems through any executor, their results in the order asked for."""

from collections.abc import Callable, Mapping
from concurrent.futures import BrokenExecutor, Executor, Future
from dataclasses import dataclass

from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.result import Result
from kerfsmith.nesting.solve import solve
from kerfsmith.nesting.stop import Clock


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


def solve_groups(
    problems: Mapping[str, Problem],
    executor: Executor,
    *,
    seconds: float,
    seed: int,
    now: Clock,
    on_done: Callable[[str, Result], None] | None = None,
    tries: int = 3,
) -> dict[str, Result]:
    """Solve each group's problem by the executor, in at most ``seconds`` each; results by the groups' names.

    The largest go first, so that no worker sits over one alone at the end. A task that comes back with an
    error (as from a worker that was killed) is sent again, up to ``tries`` times in all; then the error is
    raised. The results are those of :func:`solve` for the same seed, whatever the executor."""
    order = sorted(problems, key=lambda name: (-_weight(problems[name]), name))
    waiting: dict[str, tuple[GroupTask, Future[Result]]] = {}
    for name in order:
        task = GroupTask(problems[name], seconds, seed, now)
        waiting[name] = task, executor.submit(task.run)
    found: dict[str, Result] = {}
    for name in order:
        task, future = waiting.pop(name)
        found[name] = _result(task, future, executor, tries)
        if on_done is not None:
            on_done(name, found[name])
    return {name: found[name] for name in problems}


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
