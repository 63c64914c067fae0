"""Without any time, and with the wish to stop from the start, there is the plan that filling bars finds."""

from itertools import count
from random import Random

import pytest
from benchmarks.nesting.shop_rooms import CASES, plain
from tests.nesting.small_rooms import small_room

from kerfsmith.nesting.check import check
from kerfsmith.nesting.engines.slow.enumerate import enumerate_plans
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.result import Result, Status
from kerfsmith.nesting.solve import solve


def at_once(problem: Problem, seed: int) -> tuple[Result, Result]:
    """By a clock that has run out before it starts, and by a wish to stop that is there already."""
    return (
        solve(problem, seconds=0.0, seed=seed, now=count().__next__),
        solve(problem, seconds=600.0, seed=seed, now=lambda: 0.0, should_stop=lambda: True),
    )


@pytest.mark.parametrize("name", CASES)
def test_every_kind_of_room_has_a_plan_at_once(name: str) -> None:
    for seed in (5, 6):
        problem = CASES[name](plain(seed), Random(seed))
        for result in at_once(problem, seed):
            assert result.status is Status.FEASIBLE
            assert check(problem, result) == ()


def test_small_rooms_have_a_plan_at_once_and_a_bound_that_holds() -> None:
    """Held against plain enumeration; filling may miss a plan where bars are few, and then says nothing of
    it."""
    had = could = 0
    for seed in range(100):
        problem, rules = small_room(seed)
        best = enumerate_plans(problem)
        for result in at_once(problem, seed):
            assert check(problem, result) == (), (seed, sorted(rules))
            if best is None:
                assert result.cost is None
                continue
            assert result.status is not Status.INFEASIBLE, (seed, sorted(rules))
            could += 1
            had += result.cost is not None
            first = problem.aims[0]
            least = totals(problem, best.runs)[first]
            if result.aims and result.aims[0].bound is not None:
                assert result.aims[0].bound <= least <= result.aims[0].value
    assert had >= 0.9 * could > 50


def test_bars_without_number_hold_every_piece_at_once() -> None:
    """No more bars than first fit decreasing takes at worst: 11/9 of the least and 6/9 (G. Dosa, "The tight
    bound of first fit decreasing bin-packing algorithm is FFD(I) <= 11/9 OPT(I) + 6/9", 2007)."""
    for seed in range(20):
        chance = Random(seed)
        pieces = tuple(
            Piece(f"p{n}", chance.randrange(200_000, 2_900_000, 500), chance.randint(1, 9))
            for n in range(chance.randint(2, 8))
        )
        problem = Problem(
            kerf_um=1_600,
            front_trim_um=0,
            grip_um=0,
            bars=(BarStock("B", 6_000_000, None, 1),),
            pieces=pieces,
        )
        best = solve(problem, seconds=600.0, seed=seed, now=lambda: 0.0)
        assert best.status is Status.OPTIMAL
        for result in at_once(problem, seed):
            assert check(problem, result) == ()
            assert result.lower_bound <= best.bars_used <= result.bars_used
            assert 9 * result.bars_used <= 11 * best.bars_used + 6
