"""Groups through an executor: the same results wherever they are solved."""

from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from time import process_time
from typing import Any

import pytest

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.groups import SharedTime, solve_groups
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.result import AimValue, Result, Status, best_of
from kerfsmith.nesting.solve import solve


def problems() -> dict[str, Problem]:
    return {
        f"group {n}": Problem(
            1600, 0, 50_000,
            (BarStock("B", 6_000_000, None, 6_000_000_000),),
            tuple(Piece(f"P{i}", 300_000 + 97_000 * i + 1000 * n, 3 + i) for i in range(8)),
        )
        for n in range(6)
    }  # fmt: skip


def here() -> dict[str, Result]:
    return {name: solve(one, seconds=20, seed=3, now=process_time) for name, one in problems().items()}


def same(found: dict[str, Result], wanted: dict[str, Result]) -> bool:
    return list(found) == list(wanted) and all(
        (found[name].runs, found[name].cost, found[name].lower_bound)
        == (wanted[name].runs, wanted[name].cost, wanted[name].lower_bound)
        for name in wanted
    )


def test_processes_and_threads_give_what_is_found_here() -> None:
    wanted = here()
    with ThreadPoolExecutor(2) as threads:
        assert same(solve_groups(problems(), threads, seconds=20, seed=3, now=process_time), wanted)
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        assert same(solve_groups(problems(), processes, seconds=20, seed=3, now=process_time), wanted)


class Failing(Executor):
    """Runs tasks at once; the first few fail."""

    def __init__(self, failures: int, error: type[Exception]) -> None:
        self.failures, self.error = failures, error

    def submit(self, task: Callable[..., Any], /, *args: Any, **named: Any) -> Future[Any]:
        future: Future[Any] = Future()
        if self.failures:
            self.failures -= 1
            future.set_exception(self.error("a worker was killed"))
        else:
            future.set_result(task(*args, **named))
        return future


def test_what_fails_is_sent_again() -> None:
    assert same(solve_groups(problems(), Failing(2, OSError), seconds=20, seed=3, now=process_time), here())


def test_what_keeps_failing_is_raised() -> None:
    with pytest.raises(OSError, match="killed"):
        solve_groups(problems(), Failing(100, OSError), seconds=20, seed=3, now=process_time)


def test_what_a_broken_pool_leaves_is_done_here() -> None:
    done: list[str] = []
    found = solve_groups(
        problems(), Failing(100, BrokenExecutor), seconds=20, seed=3, now=process_time,
        on_done=lambda name, _: done.append(name),
    )  # fmt: skip
    assert same(found, here())
    assert sorted(done) == sorted(found)


class Slow(Executor):
    """Does not solve: after so many seconds a group's plan is proven, before it has a gap."""

    def __init__(self, wanted: dict[str, tuple[float, int]], clock: list[float]) -> None:
        self.wanted, self.clock = wanted, clock
        self.turns: list[tuple[str, float]] = []

    def submit(self, task: Callable[..., Any], /, *_args: Any, **_named: Any) -> Future[Any]:
        mine = task.__self__  # type: ignore[attr-defined]  # the task is a GroupTask's bound method
        name = mine.problem.pieces[0].id
        needed, gap = self.wanted[name]
        self.turns.append((name, mine.seconds))
        self.clock[0] += min(needed, mine.seconds)
        proven = mine.seconds >= needed
        bound = 1000 if proven else 1000 - gap
        aims = (AimValue(Aim.COST, 1000, bound),)
        future: Future[Any] = Future()
        status = Status.OPTIMAL if proven else Status.FEASIBLE
        future.set_result(Result(status, 1000, bound, "", (), min(needed, mine.seconds), "none", aims))
        return future


def test_groups_still_open_share_what_is_left_of_the_time() -> None:
    # A, B easy; C, D above 0.5 % until 3 and 9 s; E below it until 100 s: 100 s in all for one worker.
    wanted = {"A": (0.1, 4), "B": (0.2, 4), "C": (3.0, 30), "D": (9.0, 40), "E": (100.0, 4)}
    some = {name: Problem(0, 0, 0, (BarStock("B", 10, None, 1),), (Piece(name, 5, 1),)) for name in wanted}
    clock = [0.0]
    executor = Slow(wanted, clock)
    found = solve_groups(
        some, executor, seconds=0.5, seed=1, now=lambda: clock[0], shared=SharedTime(100.0, 1)
    )
    # First turns cost 0.1 + 0.2 + 3 x 0.5 = 1.8 s. Then C and D, the wider first, by 2 s; again by 8 s, of
    # which C takes 3. D is given a third of the 83.2 s then left and takes 9; only then E.
    assert [turn for turn in executor.turns if turn[0] in "CD"][2:6] == [
        ("D", 2.0), ("C", 2.0), ("D", 8.0), ("C", 8.0)
    ]  # fmt: skip
    first_of_e = executor.turns.index(("E", 2.0))
    assert all(name == "E" for name, _ in executor.turns[first_of_e:])
    assert [found[name].status for name in "ABCD"] == [Status.OPTIMAL] * 4
    assert found["E"].status is Status.FEASIBLE
    assert clock[0] <= 100.0


def test_of_two_turns_the_best_plan_and_the_best_bound_are_kept() -> None:
    def result(cost: int, bound: int, scrap: int, scrap_bound: int | None) -> Result:
        aims = (AimValue(Aim.COST, cost, bound), AimValue(Aim.SCRAP, scrap, scrap_bound))
        return Result(Status.FEASIBLE, cost, bound, f"of {cost}", (), 1.0, "", aims)

    kept = best_of(result(10, 7, 3, None), result(9, 6, 5, 4))
    assert (kept.cost, kept.lower_bound, kept.bound_source, kept.seconds) == (9, 7, "of 10", 2.0)
    assert [(aim.value, aim.bound) for aim in kept.aims] == [(9, 7), (5, 4)]
    # The scrap's bound of a plan that costs 10 says nothing of plans that cost 9.
    kept = best_of(result(10, 7, 3, 3), result(9, 9, 5, None))
    assert [(aim.value, aim.bound) for aim in kept.aims] == [(9, 9), (5, None)]
    # Together they prove what neither did.
    kept = best_of(result(9, 9, 5, None), result(9, 8, 5, 5))
    assert kept.status is Status.OPTIMAL
    nothing = Result(Status.UNFINISHED, None, 8, "early", (), 1.0, "")
    kept = best_of(nothing, result(10, 7, 3, None))
    assert (kept.cost, kept.lower_bound, kept.bound_source) == (10, 8, "early")
