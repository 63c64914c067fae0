"""The column engine against worked examples from the literature and against a plain search."""

import time
from random import Random

import pytest
from tests.nesting.columns.plain_search import faults, least_cost

from kerfsmith.nesting.engines.columns import ColumnsInstance, ColumnsResult, Item, Kind, solve_columns


def solved(instance: ColumnsInstance, seconds: float = 30.0) -> ColumnsResult:
    return solve_columns(instance, seconds=seconds, seed=1, should_stop=lambda: False, now=time.process_time)


def one_kind(capacity: int, *items: tuple[int, int]) -> ColumnsInstance:
    return ColumnsInstance((Kind(capacity),), tuple(Item(s, d) for s, d in items))


def test_chvatal_four_sizes() -> None:
    # Chvatal, Linear Programming (1983), chapter 13: bars of 100, LP 452.25, 453 bars
    instance = one_kind(100, (45, 97), (36, 610), (31, 395), (14, 211))
    result = solved(instance)
    assert (result.status, result.cost, result.lower_bound) == ("optimal", 453, 453)
    assert faults(instance, result) == []


def test_thirteen_widths_of_5600() -> None:
    # the encyclopaedia article "Cutting stock problem": 73 bars of 5600, waste 0.401 %
    sizes = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200)
    demands = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20)
    instance = one_kind(5600, *zip(sizes, demands, strict=True))
    result = solved(instance)
    assert (result.status, result.cost, result.lower_bound) == ("optimal", 73, 73)
    used = sum(s * d for s, d in zip(sizes, demands, strict=True))
    assert 100 * (1 - used / (73 * 5600)) == pytest.approx(0.401, abs=0.0005)
    assert faults(instance, result) == []


def test_fewer_long_bars_is_cheaper() -> None:
    # by hand: 6000 (3000 + 3000), 4000 (3000), 4000 (1900 x 2) twice; three bars of 6000 are not at hand
    instance = ColumnsInstance((Kind(6000, 2, 6000), Kind(4000, 3, 4000)), (Item(3000, 3), Item(1900, 4)))
    result = solved(instance)
    assert (result.status, result.cost) == ("optimal", 18000)
    assert faults(instance, result) == []


def test_three_lengths_two_limited() -> None:
    # by enumeration: 3 x 2000 + 2 x 2500 from 3 x 5000, 2 x 3000, 1 x 2100, cost the length: 12100
    instance = ColumnsInstance(
        (Kind(5000, 3, 5000), Kind(3000, 2, 3000), Kind(2100, 1, 2100)), (Item(2000, 3), Item(2500, 2))
    )
    result = solved(instance)
    assert (result.status, result.cost) == ("optimal", 12100)
    assert faults(instance, result) == []


def test_rack_too_short_names_the_length() -> None:
    result = solved(ColumnsInstance((Kind(6000, 1, 1),), (Item(2500, 3),)))
    assert result.status == "infeasible"
    assert result.short_length == 2500  # a bar holds two, so one piece is left over


def test_piece_longer_than_every_bar() -> None:
    result = solved(one_kind(100, (101, 1), (5, 2)))
    assert result.status == "infeasible"
    assert result.bound_from == "a piece longer than every bar"


def random_instance(seed: int) -> ColumnsInstance:
    chance = Random(seed)
    capacity = chance.choice([10, 20, 37, 100])
    items = tuple(
        Item(chance.randint(max(1, capacity // 8), capacity), chance.randint(1, 3))
        for _ in range(chance.randint(1, 4))
    )
    price = chance.randint(0, 2)
    kinds = []
    for _ in range(chance.randint(1, 3)):
        length = chance.randint(capacity // 2, int(capacity * 1.3))
        cost = length if price == 0 else 1 if price == 1 else chance.randint(0, 30)
        kinds.append(Kind(length, chance.choice([None, 0, 1, 2, 3, 5]), cost))
    return ColumnsInstance(tuple(kinds), items)


@pytest.mark.parametrize("block", range(8))
def test_agrees_with_plain_search(block: int) -> None:
    for seed in range(10_000 + 60 * block, 10_000 + 60 * (block + 1)):
        instance = random_instance(seed)
        if sum(item.demand for item in instance.items) > 9:
            continue
        result, best = solved(instance), least_cost(instance)
        assert faults(instance, result) == [], seed
        if best is None:
            assert result.status == "infeasible", seed
        else:
            assert (result.status, result.cost, result.lower_bound) == ("optimal", best, best), seed


def test_duals_prove_the_bound_with_one_knapsack() -> None:
    # weak duality: no pattern may be worth more than a bar, then demand times worth bounds every plan
    sizes, demands, capacity = (45, 36, 31, 14), (97, 610, 395, 211), 100
    result = solved(one_kind(capacity, *zip(sizes, demands, strict=True)))
    assert result.bound_from == "column generation"
    worth = [0] * (capacity + 1)
    for at in range(1, capacity + 1):
        worth[at] = max(
            [worth[at - 1], *(worth[at - s] + u for s, u in zip(sizes, result.duals, strict=True) if s <= at)]
        )
    assert worth[capacity] <= result.dual_scale
    total = sum(u * d for u, d in zip(result.duals, demands, strict=True))
    assert -(-total // result.dual_scale) == result.lower_bound


def test_same_seed_same_plan() -> None:
    chance = Random(5)
    instance = one_kind(1000, *((chance.randint(100, 500), chance.randint(1, 5)) for _ in range(25)))
    assert solved(instance) == solved(instance)


def test_stop_keeps_best_and_bound() -> None:
    chance = Random(8)
    instance = one_kind(1000, *((chance.randint(100, 500), chance.randint(1, 5)) for _ in range(25)))
    result = solve_columns(instance, seconds=None, seed=1, should_stop=lambda: True, now=time.process_time)
    assert result.cost is not None
    assert 0 < result.lower_bound <= result.cost
    assert faults(instance, result) == []
