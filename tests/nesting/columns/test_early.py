"""What settles a problem before any LP: bounds by length, shifting, dives over full lists; and what it must
never do: claim a bound above the optimum or a plan that cannot be cut."""

from random import Random
from time import process_time

import pytest
from benchmarks.nesting.families import draw, one_kind
from benchmarks.nesting.peers import assignment
from tests.nesting.columns.plain_search import faults, least_cost

from kerfsmith.nesting.engines.columns import ColumnsInstance, ColumnsResult, Item, Kind, early, solve_columns
from kerfsmith.nesting.engines.columns.filling import quick_plans
from kerfsmith.nesting.engines.columns.kinked import kinked_duals, length_duals
from kerfsmith.nesting.engines.columns.listdive import dive_listed
from kerfsmith.nesting.engines.columns.listing import useful_patterns
from kerfsmith.nesting.engines.columns.pricing import Duals
from kerfsmith.nesting.engines.columns.problem import Problem
from kerfsmith.nesting.engines.columns.reduction import reduce_instance
from kerfsmith.nesting.engines.columns.run import Run
from kerfsmith.nesting.engines.columns.shifting import shift_until
from kerfsmith.nesting.engines.columns.stepped import stepped_duals

FAMILIES = (
    "uniform", "triplet", "scholl_1", "scholl_2", "scholl_3", "schwerin_1", "schwerin_2", "waescher_gau",
    "broad_1000", "long_bars",
)  # fmt: skip


def solved(instance: ColumnsInstance, seed: int = 1) -> ColumnsResult:
    return solve_columns(instance, seconds=60, seed=seed, should_stop=lambda: False, now=process_time)


@pytest.fixture
def compiled_always(monkeypatch: pytest.MonkeyPatch) -> None:
    """Small problems take the way of large ones, too."""
    monkeypatch.setattr(early, "_is_large", lambda _: True)


def small_problem(chance: Random, *, pieces: int, capacity: int) -> Problem:
    least = chance.choice((1, capacity // 10, capacity // 5))
    drawn = [chance.randint(least, capacity) for _ in range(chance.randint(1, pieces))]
    problem = reduce_instance(one_kind(capacity, [max(1, size) for size in drawn])).problem
    assert problem is not None
    return problem


def most_worth(problem: Problem, duals: Duals) -> int:
    """Most that a pattern is worth, each size as often as it fits: a table over every length of the bar."""
    capacity = problem.capacities[0]
    worth = [0] * (capacity + 1)
    for at in range(1, capacity + 1):
        worth[at] = max(
            worth[at - 1],
            *(
                worth[at - s] + u
                for s, u in zip(problem.sizes, duals.items, strict=True)
                if s <= at
            ),
            0,
        )  # fmt: skip
    return worth[capacity]


@pytest.mark.parametrize("block", range(4))
def test_no_pattern_is_worth_more_than_its_bar(block: int) -> None:
    # weak duality is the whole proof of a bound; here by a table, not by the function's own argument
    for seed in range(250 * block, 250 * (block + 1)):
        chance = Random(seed)
        problem = small_problem(chance, pieces=30, capacity=chance.choice((30, 97, 100, 240)))
        for duals in (kinked_duals(problem), length_duals(problem), stepped_duals(problem)):
            if duals is not None:
                assert most_worth(problem, duals) <= problem.costs[0] * duals.scale, seed


def test_kinked_duals_by_hand() -> None:
    # ten pieces of 34 on bars of 100: two to a bar, five bars; their length alone fills 3.4
    problem = Problem([34], [10], [100], [None], [1])
    duals = kinked_duals(problem)
    assert duals is not None
    assert -(-duals.bound(problem) // duals.scale) == 5
    # 24 to a bar of 100 and more than a quarter each: three to a bar, though four quarters fill it
    problem = Problem([26], [12], [100], [None], [1])
    duals = kinked_duals(problem)
    assert duals is not None
    assert -(-duals.bound(problem) // duals.scale) == 4


def test_stepped_duals_by_hand() -> None:
    # on bars of 10 a 7 leaves 3, a 4 never fits beside it: three 7s and three 4s, two 4s to a bar: five bars
    problem = Problem([7, 4], [3, 3], [10], [None], [1])
    duals = stepped_duals(problem)
    assert duals is not None
    assert (duals.items, duals.scale) == ((4, 2), 4)  # a step of 4: whole bars for the 7s, halves for the 4s
    assert -(-duals.bound(problem) // duals.scale) == 5


def test_stepped_duals_on_long_bars_prove_no_more_than_is_true() -> None:
    # four of 400,001 and two of 199,998 on bars of 1,000,000: two and one of them fill a bar to the last
    problem = Problem([400_001, 199_998], [4, 2], [1_000_000], [None], [1])
    duals = stepped_duals(problem)
    assert duals is not None
    assert -(-duals.bound(problem) // duals.scale) == 2


def test_length_beyond_the_lp_of_material() -> None:
    # Scholl, Klein, Juergens 1997, set 3, drawn anew: four pieces to a bar or three. Where the plan found
    # meets the bound by length, no LP was needed; the plan is counted through piece by piece.
    for number in range(6):
        case = draw("scholl_3", number)
        result = solved(case.instance)
        assert result.status == "optimal"
        assert faults(case.instance, result) == []


@pytest.mark.usefixtures("compiled_always")
@pytest.mark.parametrize("block", range(6))
def test_agrees_with_plain_search(block: int) -> None:
    for seed in range(70 * block, 70 * (block + 1)):
        chance = Random(f"early/{seed}")
        capacity = chance.choice((12, 20, 37, 100))
        least = max(1, capacity // chance.choice((3, 5, 8)))
        items = tuple(
            Item(size, chance.randint(1, 3))
            for size in chance.sample(range(least, capacity + 1), chance.randint(1, 4))
        )
        if sum(item.demand for item in items) > 10:
            continue
        instance = ColumnsInstance((Kind(capacity, None, chance.choice((1, 7))),), items)
        result, best = solved(instance), least_cost(instance)
        assert faults(instance, result) == [], seed
        assert (result.status, result.cost, result.lower_bound) == ("optimal", best, best), seed


@pytest.mark.usefixtures("compiled_always")
@pytest.mark.parametrize("family", FAMILIES)
def test_agrees_with_an_assignment_model(family: str) -> None:
    # CP-SAT on an assignment model, which shares nothing with the engine (in a process of its own)
    case = draw(family, 4, seed=77)
    pieces = [item.size for item in case.instance.items for _ in range(item.demand)]
    chance = Random(family)
    instance = one_kind(case.instance.kinds[0].capacity, chance.sample(pieces, min(len(pieces), 17)))
    result = solved(instance)
    told = assignment(instance, 60.0)
    assert faults(instance, result) == []
    assert result.status == "optimal"
    assert told.lower_bound <= (result.cost or 0)
    assert result.lower_bound <= (told.cost or 0)
    if told.proven:
        assert told.cost == result.cost


def run_of(problem: Problem, seed: int = 3) -> Run:
    return Run(problem, process_time, lambda: False, None, Random(seed))


def test_shifting_gives_a_plan_that_can_be_cut_or_none() -> None:
    for number in range(12):
        problem = reduce_instance(draw("scholl_2", number, seed=5).instance).problem
        assert problem is not None
        run = run_of(problem)
        plans = early.settle_early(run)
        assert run.plan is not None
        before = run.plan.cost
        patterns = shift_until(run, run.plan, before - 1, 20_000)
        for _, counts in patterns:
            assert sum(problem.sizes[i] * n for i, n in counts) <= problem.capacities[0]
        held = [0] * len(problem.sizes)
        for _, counts in patterns:
            for i, n in counts:
                held[i] += n
        assert all(h <= d for h, d in zip(held, problem.demands, strict=True))
        # a bar less than the bound cannot be: the search must never say it found that
        assert run.plan.cost >= run.bound
        assert plans


def test_shifting_cannot_do_with_a_bar_too_few() -> None:
    # 334 on bars of 1000: two to a bar, so 40 pieces need 20 bars and no number of moves makes it 19
    problem = Problem([334, 333], [40, 1], [1000], [None], [1])
    run = run_of(problem)
    start = quick_plans(problem, problem.demands, problem.supplies)[0]
    shift_until(run, start, 19, 100_000)
    assert run.plan is None


@pytest.mark.parametrize("number", range(4))
def test_dives_over_the_full_list_fill_every_bar(number: int) -> None:
    # Falkenauer 1996, triplets: by construction every bar can be full
    case = draw("triplet", number, seed=11)
    problem = reduce_instance(case.instance).problem
    assert problem is not None
    assert case.optimum is not None
    run = run_of(problem)
    assert dive_listed(run, case.optimum, [])
    assert run.plan is not None
    assert run.plan.cost == case.optimum


def test_dives_give_up_where_no_plan_is() -> None:
    # 40 bars of 1000 would have to be full, three pieces each; three odd lengths are never an even one
    problem = Problem([335, 333, 331], [30, 80, 10], [1000], [None], [1])
    assert problem.total_size == 40 * 1000
    run = run_of(problem)
    assert not dive_listed(run, 40, [])
    assert run.plan is None


def test_listed_patterns_hold_something() -> None:
    # where a bar may be empty altogether, the pattern of nothing is no use to anyone
    problem = Problem([300, 200], [2, 2], [1000], [None], [1])
    columns = useful_patterns(problem, [length_duals(problem) or Duals((0, 0), (0,), 1)], 3, 1000)
    assert columns
    assert all(counts for _, counts in columns)


def test_same_seed_same_plan_and_another_seed_as_good() -> None:
    instance = draw("scholl_3", 3, seed=8).instance
    first, again, other = solved(instance), solved(instance), solved(instance, seed=2)
    assert first == again
    assert (other.status, other.cost) == ("optimal", first.cost)


def test_duals_by_length_come_with_their_bound() -> None:
    # a reader checks the bound with one table: no pattern worth more than a bar, demand times worth above
    sizes = [26] * 40 + [27] * 20 + [49] * 2
    result = solved(one_kind(100, sizes))
    assert result.status == "optimal"
    assert result.bound_from == "worth by length"
    problem = Problem([49, 27, 26], [2, 20, 40], [100], [None], [1])
    duals = Duals(
        tuple(result.duals[::-1]) if len(result.duals) < 3 else result.duals, (0,), result.dual_scale
    )
    assert most_worth(problem, duals) <= duals.scale
    assert -(-duals.bound(problem) // duals.scale) == result.lower_bound
