"""The referee rejects every wrong plan: right ones spoilt in one place, and plans too good to be true."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from random import Random
from time import process_time

from tests.nesting.small_rooms import small_room

from kerfsmith.nesting.check import check
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.problem import Placed, Problem
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.result import AimValue, Result, Run, Status
from kerfsmith.nesting.rules import LEAVES, Rule, rules_of, without
from kerfsmith.nesting.solve import solve

SEEDS = range(150)


def solved(problem: Problem, seed: int) -> Result:
    return solve(problem, seconds=30, seed=seed, now=process_time)


@cache
def solved_room(seed: int) -> Result:
    """The plan of a small room: the same for every test that asks."""
    return solved(small_room(seed)[0], seed)


def with_run(result: Result, number: int, run: Run) -> Result:
    return replace(result, runs=(*result.runs[:number], run, *result.runs[number + 1 :]))


def spoilt_figures(problem: Problem, result: Result) -> Iterator[tuple[str, Result]]:
    """The plan as it is, its figures wrong."""
    assert result.cost is not None
    yield "dearer", replace(result, cost=result.cost + 1)
    yield "cheaper", replace(result, cost=result.cost - 1)
    yield "bound above cost", replace(result, lower_bound=result.cost + 1)
    first = result.aims[0]
    yield (
        "aim too good",
        replace(result, aims=(replace(first, value=first.value - 1, bound=None), *result.aims[1:])),
    )
    yield (
        "aim's bound too high",
        replace(result, aims=(replace(first, bound=first.value + 1), *result.aims[1:])),
    )
    yield "not proven", replace(result, aims=(replace(first, bound=first.value - 1), *result.aims[1:]))
    yield "aim left out", replace(result, aims=result.aims[1:])
    yield "no plan", replace(result, runs=())
    yield "plan though infeasible", replace(result, status=Status.INFEASIBLE)


def spoilt_runs(problem: Problem, result: Result, chance: Random) -> Iterator[tuple[str, Result]]:
    """One run of the plan spoilt."""
    number = chance.randrange(len(result.runs))
    run = result.runs[number]
    place = chance.randrange(len(run.placed))
    placed = run.placed[place]
    piece = problem.piece_by_id[placed.piece]

    def put(other: Placed) -> Result:
        changed = (*run.placed[:place], other, *run.placed[place + 1 :])
        return with_run(result, number, replace(run, placed=changed))

    yield "run lost", replace(result, runs=result.runs[:number] + result.runs[number + 1 :])
    yield "run twice", replace(result, runs=(*result.runs, run))
    yield "piece lost", with_run(result, number, replace(run, placed=run.placed[:-1]))
    yield "piece more", with_run(result, number, replace(run, placed=(*run.placed, placed)))
    yield "piece nobody knows", put(Placed("nobody"))
    for other in problem.pieces:
        if other.id != piece.id:
            yield "piece for another", put(Placed(other.id))
    yield "bar nobody knows", with_run(result, number, replace(run, bar="nobody"))
    for bar in problem.bars:
        mine = problem.bar_by_id[run.bar]
        if (bar.length_um, bar.cost) != (mine.length_um, mine.cost):
            yield "other bar", with_run(result, number, replace(run, bar=bar.id))
    yield "load more", with_run(result, number, replace(run, loads=(*run.loads, 1)))
    yield "load too large", with_run(result, number, replace(run, loads=(problem.bundle_most + 1,)))
    yield "empty load", with_run(result, number, replace(run, loads=(*run.loads, 0)))
    yield "more left over", with_run(result, number, replace(run, remnant_um=run.remnant_um + 1))
    yield "less left over", with_run(result, number, replace(run, remnant_um=run.remnant_um - 1))
    yield "cut more", with_run(result, number, replace(run, cuts=run.cuts + 1))
    yield "cut less", with_run(result, number, replace(run, cuts=run.cuts - 1))
    yield "kept more than there are", with_run(result, number, replace(run, kept=run.times + 1))
    if not problem.leftovers.may_keep(run.remnant_um):
        yield "kept too short", with_run(result, number, replace(run, kept=1))
    yield "other end", with_run(result, number, replace(run, ends_in_vise=not run.ends_in_vise))
    yield "too long a piece", put(replace(placed, over_um=piece.over_um + 1))
    yield "too short a piece", put(replace(placed, over_um=-1))
    for turn in set(Turn) - problem.turns:
        yield "turn", put(replace(placed, turn=turn))


def test_spoilt_plans_are_rejected() -> None:
    spoilt = 0
    for seed in SEEDS:
        problem, _ = small_room(seed)
        result = solved_room(seed)
        if result.runs:
            assert check(problem, result) == ()
            chance = Random(seed)
            for how, wrong in (*spoilt_figures(problem, result), *spoilt_runs(problem, result, chance)):
                assert check(problem, wrong), (seed, how)
                spoilt += 1
    assert spoilt > 2000


def test_plans_too_good_to_be_true_are_rejected() -> None:
    # A plan made without one rule that is better than the proven best with it must break that rule.
    broken: dict[Rule, int] = {}
    for seed in range(260):
        problem, _ = small_room(seed)
        narrowing = [rule for rule in rules_of(problem) if rule not in LEAVES]
        result = solved_room(seed) if narrowing else None
        for rule in narrowing:
            assert result is not None
            free = without(problem, rule)
            other = solved(free, seed)
            best = [aim.value for aim in result.aims]
            if other.runs and (result.status is Status.INFEASIBLE or [a.value for a in other.aims] < best):
                reached = totals(problem, other.runs)
                aims = tuple(AimValue(aim, reached[aim], reached[aim]) for aim in problem.aims)
                if result.runs and [aim.value for aim in aims] >= best:
                    continue
                wrong = replace(other, aims=aims, cost=sum(
                    run.times * problem.bar_by_id[run.bar].cost for run in other.runs))  # fmt: skip
                assert check(problem, wrong), (seed, rule)
                broken[rule] = broken.get(rule, 0) + 1
    narrow = set(Rule) - LEAVES
    assert {rule for rule in narrow if broken.get(rule, 0) >= 3} == narrow, broken


def test_infeasible_needs_a_true_reason() -> None:
    problem, _ = small_room(0)
    without_reason = Result(Status.INFEASIBLE, None, 0, "", (), 0.0, "none")
    assert [fault.code for fault in check(problem, without_reason)] == ["reason"]
