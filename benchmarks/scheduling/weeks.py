"""A week of 120 runs on three saws, and the same week after a breakdown: how long each takes, how good
it is.

python -m benchmarks.scheduling.weeks

Prints Markdown tables for docs/benchmarks/scheduling.md. Times are of the clock and of this process' own
processor time; the first line is for compiling or loading the kernels, which happens once in a process.
"""

import time
from dataclasses import replace

from tests.scheduling.rooms import DAY, NO_CLOCK, shop_week

from kerfsmith.nesting.stop import Watch
from kerfsmith.scheduling.calendar import Stop
from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.problem import Aim, Load, Option, Problem, Run, Wanted
from kerfsmith.scheduling.replan import News, change_week
from kerfsmith.scheduling.result import Week
from kerfsmith.scheduling.solve import CHANGED_WEEK, WHOLE_WEEK, Effort, line_up

NOW = DAY + 10 * 60


def timed(problem: Problem, effort: Effort, limit_s: float, start: dict[str, tuple[str, ...]] | None) -> Week:
    """Line the week up and print its row."""
    wall, cpu = time.perf_counter(), time.process_time()
    # Limited by its own processor time, so that others on the machine don't change what is found.
    watch = Watch(time.process_time, cpu, limit_s)
    week = line_up(problem, watch=watch, seed=1, effort=effort, start=start)
    spent = f"{time.perf_counter() - wall:.1f} | {time.process_time() - cpu:.1f}"
    aims = " | ".join(
        f"{week.value(aim)} ({next(one.bound for one in week.aims if one.aim is aim)})"
        for aim in (Aim.TARDINESS, Aim.LATE, Aim.HOURS, Aim.CHANGES)
    )
    sound = "sound" if not faults(problem, week) else "REFUSED"
    moved = "" if week.value(Aim.MOVES) is None else str(week.value(Aim.MOVES))
    print(f"{len(problem.runs)} | {spent} | {aims} | {moved} | {sound} |")
    return week


def by_lines(problem: Problem) -> Problem:
    """The same week with each bar's pieces wanted by lines of their own: some by the run's due time, some a
    day or three later.
    """

    def load(one: Load, due: int, at: int) -> Load:
        first = Wanted(due, 2, f"line {at % 3}", "A")
        return replace(one, wanted=(first, Wanted(due + DAY * (1 + at % 3), 3, f"line {3 + at % 2}", "B")))

    def run(one: Run) -> Run:
        due = one.due or 0
        options = tuple(
            replace(option, loads=tuple(load(two, due, at) for at, two in enumerate(option.loads)))
            for option in one.options
        )
        return replace(one, options=options)

    return replace(problem, runs=tuple(run(one) for one in problem.runs))


def main() -> None:
    """Print the tables."""
    began = time.perf_counter()
    line_up(shop_week(1, count=6, weeks=1), watch=NO_CLOCK, effort=Effort(50, 10_000_000, 0.0))
    print(f"kernels ready after {time.perf_counter() - began:.1f} s\n")
    print(
        "| what | runs | s | processor s | late (bound) | pieces late | saw min | changes | moves | referee |"
    )
    print("|---|---|---|---|---|---|---|---|---|---|")
    for count in (10, 20, 30, 40, 60):
        print(f"| {count} runs in a week | ", end="")
        timed(shop_week(11, count=count, weeks=1), WHOLE_WEEK, 10.0, None)
    for seed in (1, 2, 3):
        problem = shop_week(seed)
        print(f"| week {seed} | ", end="")
        week = timed(problem, WHOLE_WEEK, 10.0, None)
        print(f"| week {seed}, each piece by its own line | ", end="")
        timed(by_lines(problem), WHOLE_WEEK, 10.0, None)
        down = {"saw 1": (Stop(NOW, NOW + 500, "bearing"),)}
        for most in (0, 5, None):
            change = change_week(problem, week, News(NOW, down=down, most_moves=most))
            print(f"| saw down, moves {'free' if most is None else most} | ", end="")
            timed(change.problem, CHANGED_WEEK, 3.0, dict(change.order))
        options = tuple(Option(f"saw {m}", "band 2", (Load(4, 2, 30),) * 3, 50) for m in range(3))
        came = (Run("urgent", options, NOW + 400, weight=30),)
        change = change_week(problem, week, News(NOW, came=came, most_moves=3))
        print("| new order, moves 3 | ", end="")
        timed(change.problem, CHANGED_WEEK, 3.0, dict(change.order))


if __name__ == "__main__":
    main()
