"""The engines against plain enumeration, on small problems over random combinations of the saw room's rules.

The seeds here are the first of the 2,000 that `benchmarks/nesting/agree_rooms.py` runs.
"""

from dataclasses import replace
from functools import cache
from random import Random
from time import process_time

import pytest
from tests.nesting.small_rooms import RULES, small_room

from kerfsmith.nesting.check import check
from kerfsmith.nesting.engines.plain.arcflow import solve_arcflow
from kerfsmith.nesting.engines.sawroom.solve import solve_room
from kerfsmith.nesting.engines.slow.enumerate import enumerate_plans
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.reduce import reduce
from kerfsmith.nesting.result import Result, Status
from kerfsmith.nesting.solve import solve
from kerfsmith.nesting.stop import Watch


@cache
def best_plan(seed: int) -> Result | None:
    """What enumeration finds for a small room: the same for every test that asks."""
    return enumerate_plans(small_room(seed)[0])


BLOCKS = [range(start, start + 50) for start in range(0, 300, 50)]


@pytest.mark.parametrize("seeds", BLOCKS, ids=lambda seeds: f"from {seeds.start}")
def test_the_saw_room_engine_agrees_with_enumeration(seeds: range) -> None:
    for seed in seeds:
        problem, rules = small_room(seed)
        result = solve(problem, seconds=30, seed=seed, now=process_time)
        assert check(problem, result) == (), (seed, sorted(rules))
        best = best_plan(seed)
        if best is None:
            assert result.status is Status.INFEASIBLE, (seed, sorted(rules))
            assert result.reasons
        else:
            assert result.status is Status.OPTIMAL, (seed, sorted(rules))
            assert [aim.value for aim in result.aims] == [aim.value for aim in best.aims], (
                seed,
                sorted(rules),
            )


@pytest.mark.parametrize("seeds", BLOCKS[:3], ids=lambda seeds: f"from {seeds.start}")
def test_columns_found_as_needed_agree_with_the_whole_list(seeds: range) -> None:
    # The way for larger problems, forced on small ones: no list of all columns to begin with.
    for seed in seeds:
        problem, rules = small_room(seed)
        watch = Watch(process_time, process_time(), 30.0)
        whole = solve_room(problem, watch, seed, full_list=10_000)
        parts = solve_room(problem, watch, seed, full_list=0)
        assert parts.refuted == whole.refuted, (seed, sorted(rules))
        if whole.runs is not None:
            assert parts.runs is not None
            reached = [
                [totals(problem, runs)[aim] for aim in problem.aims] for runs in (whole.runs, parts.runs)
            ]
            assert reached[0] == reached[1], (seed, sorted(rules))
            assert list(parts.bounds) == reached[0], (seed, sorted(rules))


def test_bounds_hold_where_nothing_may_be_listed() -> None:
    # With hardly a column listed all that is left is the linear program, lengths alone, and branching on the
    # numbers of bars: the first aim's bound may stay low, but never above the best.
    reached = 0
    for seed in range(300):
        problem, rules = small_room(seed)
        watch = Watch(process_time, process_time(), 5.0)
        best = best_plan(seed)
        if best is not None:
            found = solve_room(problem, watch, seed, full_list=0, within=1)
            bound = found.bounds[0]
            assert bound is None or bound <= best.aims[0].value, (seed, sorted(rules))
            reached += bound == best.aims[0].value
    # Few of these small problems need more than that.
    assert reached >= 150


def test_every_rule_is_met_often_and_together_with_every_other() -> None:
    met = [small_room(seed)[1] for seed in range(2000)]
    for one in RULES:
        for other in RULES:
            assert sum({one, other} <= rules for rules in met) >= 100


def test_dropping_dominated_layouts_loses_nothing() -> None:
    # Enumeration leaves out layouts with less left over and more cuts; with them it finds nothing better.
    checked = 0
    for seed in range(400):
        problem, rules = small_room(seed)
        few = sum(piece.count for piece in problem.pieces) <= 4
        if "mitres" in rules and few and "dues" not in rules:
            some, all_of_them = best_plan(seed), enumerate_plans(problem, keep_all=True)
            assert (some is None) == (all_of_them is None)
            if some is not None and all_of_them is not None:
                assert [aim.value for aim in some.aims] == [aim.value for aim in all_of_them.aims]
                checked += 1
    assert checked >= 20


def pure_problem(seed: int) -> Problem:
    """Lengths, numbers and prices only."""
    chance = Random(seed)
    bars = tuple(
        BarStock(f"B{i}", chance.randint(12, 40), chance.choice([None, 1, 2, 3]), chance.randint(1, 9))
        for i in range(chance.randint(1, 3))
    )
    pieces = tuple(
        Piece(f"P{i}", chance.randint(3, 14), chance.randint(1, 2)) for i in range(chance.randint(1, 3))
    )
    grip = chance.choice([0, 0, 0, 5])
    return Problem(chance.randint(0, 3), chance.choice([0, 0, 1]), grip, bars, pieces)


def test_the_pure_engines_agree_with_enumeration() -> None:
    # The exact end of a bar without grip included: columns, arc flow and enumeration count it alike.
    for seed in range(200):
        problem = pure_problem(seed)
        result = solve(problem, seconds=30, seed=seed, now=process_time)
        assert check(problem, result) == ()
        best = enumerate_plans(problem)
        flow = solve_arcflow(reduce(problem), Watch(process_time, process_time(), 30.0), seed)
        assert flow is not None
        if best is None:
            assert result.status is Status.INFEASIBLE
            assert flow.ended == "infeasible"
        else:
            assert (result.status, result.cost, result.lower_bound) == (Status.OPTIMAL, best.cost, best.cost)
            assert (flow.ended, flow.cost) == ("optimal", best.cost)


def test_the_same_seed_gives_the_same_plan() -> None:
    for seed in range(20):
        problem, _ = small_room(seed)
        first = solve(problem, seconds=30, seed=seed, now=process_time)
        again = solve(replace(problem), seconds=30, seed=seed, now=process_time)
        assert first.runs == again.runs
