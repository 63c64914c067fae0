"""Harder instances with optima that their construction proves, and racks of many lengths."""

from random import Random

import pytest
from benchmarks.nesting.augmented import augmented
from benchmarks.nesting.families import draw
from benchmarks.nesting.missed import ranged
from tests.nesting.columns.plain_search import faults

from kerfsmith.nesting.engines.columns import ColumnsInstance, ColumnsResult, Item, Kind, solve_columns


def solved(instance: ColumnsInstance, work: int = 1_000) -> ColumnsResult:
    """Within so many programs solved, whatever the time; the clock stands still."""
    return solve_columns(
        instance, seconds=None, seed=1, should_stop=lambda: False, now=lambda: 0.0, max_work=work
    )


@pytest.mark.parametrize("number", range(2))
@pytest.mark.parametrize("with_property", [False, True])
def test_augmented_of_201_pieces(number: int, with_property: bool) -> None:
    # optimum by construction (Delorme, Iori, Martello 2016); the argument stands in augmented.py
    case = augmented(201, number, with_property=with_property)
    result = solved(case.instance)
    assert (result.status, result.cost, result.lower_bound) == ("optimal", case.optimum, case.optimum)
    assert faults(case.instance, result) == []


@pytest.mark.parametrize("number", range(4))
def test_triplets_fill_every_bar(number: int) -> None:
    # Falkenauer 1996: a third of the pieces is the number of bars, by construction
    case = draw("triplet", number)
    result = solved(case.instance)
    assert (result.status, result.cost) == ("optimal", case.optimum)
    assert faults(case.instance, result) == []


@pytest.mark.parametrize("seed", range(6))
def test_rack_of_many_lengths_cut_without_waste(seed: int) -> None:
    # bars cut into pieces without waste, cost the length: nothing is cheaper than the pieces' length
    chance = Random(seed)
    kinds, sizes = [], []
    for _ in range(5):
        length, bars = chance.randint(2000, 6000), chance.randint(1, 3)
        kinds.append(Kind(length, bars, length))
        for _ in range(bars):
            first = chance.randint(300, length // 2)
            second = chance.randint(200, (length - first) // 2)
            sizes += [first, second, length - first - second]
    kinds += [Kind(chance.randint(2000, 6000), 2, 6000) for _ in range(2)]
    instance = ColumnsInstance(tuple(kinds), tuple(Item(s, 1) for s in sizes))
    result = solved(instance)
    assert (result.status, result.cost) == ("optimal", sum(sizes))
    assert faults(instance, result) == []


def test_equal_pieces_by_the_thousand_cost_nothing() -> None:
    # each of the sizes divides the bar, so the length of material is the optimum
    instance = ColumnsInstance((Kind(6000),), (Item(2000, 30_000), Item(1500, 40_000), Item(1000, 60_000)))
    result = solved(instance)
    assert (result.status, result.cost) == ("optimal", 30_000)


def test_pieces_by_the_hundred_million_are_cut_bars_alike_at_once() -> None:
    # greed misses the bound here, so a dive has to fix its bars; the 36s need a bar each, and beside each one
    # stands a 10, or two 6s, with less than 10 left over: never fewer bars than there are 36s
    items = (Item(36, 70_756_352), Item(10, 72_702_752), Item(6, 41_478_552))
    instance = ColumnsInstance((Kind(51),), items)
    result = solved(instance)
    assert result.status == "optimal"
    assert result.cost is not None
    assert result.cost >= 70_756_352
    assert faults(instance, result) == []


def test_lengths_in_micrometres_on_long_bars() -> None:
    # two of 1499.2 mm and kerf of 1.6 mm stand four to a bar of 6003.2 mm: 25 bars for 100 pieces
    instance = ColumnsInstance((Kind(6_003_200, None, 6_000_000),), (Item(1_500_800, 100),))
    result = solved(instance)
    assert (result.status, result.cost) == ("optimal", 25 * 6_000_000)


def test_bound_holds_when_cut_off_at_any_work() -> None:
    # the optimum is known by construction: a bound above it would be wrong, whenever the run is cut off
    case = augmented(201, 0, with_property=True)
    assert case.optimum is not None
    for work in (1, 5, 20, 60, 120):
        result = solved(case.instance, work)
        assert result.cost is not None
        assert result.lower_bound <= case.optimum <= result.cost
        assert faults(case.instance, result) == []


def test_one_bar_more_than_the_lp_is_proven_over_few_patterns() -> None:
    # no bound by LP reaches 80: a plan of 79 bars is ruled out over all patterns it could use
    case = ranged(77, 100, 800, 64)
    result = solved(case.instance)
    assert (result.status, result.cost, result.bound_from) == ("optimal", 80, "patterns listed in full")
    assert faults(case.instance, result) == []
