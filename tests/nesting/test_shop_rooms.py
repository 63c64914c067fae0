"""Groups as large as a shop's, with the saw room's rules: right plans and true bounds however soon it has to
stop, and the same by any clock. Work counted ends the searches here; the clocks are made up."""

from collections.abc import Callable
from random import Random

import pytest
from benchmarks.nesting.shop_rooms import CASES, plain

from kerfsmith.nesting.check import check
from kerfsmith.nesting.result import Status
from kerfsmith.nesting.solve import solve
from kerfsmith.nesting.stop import Progress

ROOMS = sorted(name for name in CASES if name != "plain")


def clock(step_s: float) -> Callable[[], float]:
    """A clock that is a step further each time it is asked."""
    asked = [0]

    def now() -> float:
        asked[0] += 1
        return asked[0] * step_s

    return now


@pytest.mark.parametrize("name", ROOMS)
def test_a_plan_by_the_work_asked_for(name: str) -> None:
    problem = CASES[name](plain(5), Random(5))
    told: list[Progress] = []
    result = solve(problem, seconds=600.0, work=1.5, seed=5, now=clock(0.0), on_progress=told.append)
    assert check(problem, result) == ()
    assert not result.cut_short
    assert result.status in (Status.OPTIMAL, Status.FEASIBLE)
    first = result.aims[0]
    assert first.bound is not None
    assert told
    # No worse than a tenth above what is proven to be the least.
    assert first.value - first.bound <= 0.1 * abs(first.value)


@pytest.mark.parametrize("name", ["money", "mitres", "bundles of four"])
def test_the_same_plan_by_any_clock(name: str) -> None:
    problem = CASES[name](plain(5), Random(5))
    slow, fast = (solve(problem, seconds=600.0, work=0.7, seed=5, now=clock(step)) for step in (1e-6, 2.5e-5))
    assert (slow.runs, slow.aims, slow.cut_short) == (fast.runs, fast.aims, False)


def test_a_clock_that_ends_the_search_is_told() -> None:
    problem = CASES["money"](plain(5), Random(5))
    result = solve(problem, seconds=1.0, work=600.0, seed=5, now=clock(0.01))
    assert check(problem, result) == ()
    assert result.cut_short


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
    result = solve(problem, seconds=600.0, work=5.0, seed=6, now=clock(0.0), should_stop=after(calls))
    assert check(problem, result) == ()
    assert result.status in (Status.FEASIBLE, Status.UNFINISHED)
