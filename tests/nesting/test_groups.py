"""Groups through an executor: the same results wherever they are solved."""

from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from time import perf_counter
from typing import Any

import pytest

from kerfsmith.nesting.groups import solve_groups
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.result import Result
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
    return {name: solve(one, seconds=20, seed=3, now=perf_counter) for name, one in problems().items()}


def same(found: dict[str, Result], wanted: dict[str, Result]) -> bool:
    return list(found) == list(wanted) and all(
        (found[name].runs, found[name].cost, found[name].lower_bound)
        == (wanted[name].runs, wanted[name].cost, wanted[name].lower_bound)
        for name in wanted
    )


def test_processes_and_threads_give_what_is_found_here() -> None:
    wanted = here()
    with ThreadPoolExecutor(2) as threads:
        assert same(solve_groups(problems(), threads, seconds=20, seed=3, now=perf_counter), wanted)
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        assert same(solve_groups(problems(), processes, seconds=20, seed=3, now=perf_counter), wanted)


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
    assert same(solve_groups(problems(), Failing(2, OSError), seconds=20, seed=3, now=perf_counter), here())


def test_what_keeps_failing_is_raised() -> None:
    with pytest.raises(OSError, match="killed"):
        solve_groups(problems(), Failing(100, OSError), seconds=20, seed=3, now=perf_counter)


def test_what_a_broken_pool_leaves_is_done_here() -> None:
    done: list[str] = []
    found = solve_groups(
        problems(), Failing(100, BrokenExecutor), seconds=20, seed=3, now=perf_counter,
        on_done=lambda name, _: done.append(name),
    )  # fmt: skip
    assert same(found, here())
    assert sorted(done) == sorted(found)
