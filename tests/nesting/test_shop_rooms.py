"""Groups as large as a shop's, with the saw room's rules: right plans and true bounds however soon it has to
stop."""

from collections.abc import Callable
from random import Random
from time import process_time

import pytest
from benchmarks.nesting.shop_rooms import CASES, plain

from kerfsmith.nesting.check import check
from kerfsmith.nesting.result import Status
from kerfsmith.nesting.solve import solve
from kerfsmith.nesting.stop import Progress

ROOMS = sorted(name for name in CASES if name != "plain")


@pytest.mark.parametrize("name", ROOMS)
def test_a_plan_by_the_time_asked_for(name: str) -> None:
    problem = CASES[name](plain(5), Random(5))
    told: list[Progress] = []
    result = solve(problem, seconds=3.0, seed=5, now=process_time, on_progress=told.append)
    assert check(problem, result) == ()
    assert result.status in (Status.OPTIMAL, Status.FEASIBLE)
    first = result.aims[0]
    assert first.bound is not None
    assert told
    # No worse than a tenth above what is proven to be the least.
    assert first.value - first.bound <= 0.1 * abs(first.value)


def after(calls: int) -> Callable[[], bool]:
    """Wants to stop from the given call on."""
    left = [calls]

    def should_stop() -> bool:
        left[0] -= 1
        return left[0] < 0

    return should_stop


@pytest.mark.parametrize("calls", [0, 20, 200])
def test_a_wish_to_stop_is_heard(calls: int) -> None:
    problem = CASES["worth of remnants"](plain(6), Random(6))
    result = solve(problem, seconds=60.0, seed=6, now=process_time, should_stop=after(calls))
    assert check(problem, result) == ()
    assert result.status in (Status.FEASIBLE, Status.UNFINISHED)
