"""Lots of bars cut together: the rows that forbid parts of them, against every way to share pieces out."""

from collections.abc import Iterator

import pytest

from kerfsmith.nesting.aims import Aim, Rates, SawTime
from kerfsmith.nesting.check import check
from kerfsmith.nesting.engines.sawroom.columns import Room
from kerfsmith.nesting.engines.sawroom.generation import Generation
from kerfsmith.nesting.engines.sawroom.lots import LotRow, rounded_rows
from kerfsmith.nesting.engines.sawroom.solve import solve_room
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.solve import solve
from kerfsmith.nesting.stop import Watch


def standing() -> float:
    """A clock that stands still."""
    return 0.0


def ways(wanted: int, sizes: list[int]) -> Iterator[dict[int, int]]:
    """Every way to have so many pieces from lots of these sizes; size 0 counts pieces one by one."""
    if not sizes:
        if wanted == 0:
            yield {}
        return
    worth = sizes[0] or 1
    for number in range(wanted // worth + 1):
        for rest in ways(wanted - number * worth, sizes[1:]):
            yield {sizes[0]: number} | rest


@pytest.mark.parametrize("sizes", [[1, 2], [1, 2, 3], [1, 2, 3, 4], [0, 1, 2, 3, 4, 5]], ids=str)
@pytest.mark.parametrize("wanted", range(1, 14))
def test_no_whole_sharing_out_is_forbidden(wanted: int, sizes: list[int]) -> None:
    # Each size alone taking all of it, in parts, is what a linear program likes; no row it breaks may be
    # broken by a way in whole numbers, and each row is met by one of them exactly or it says too little.
    for size in sizes[1:]:
        parts = dict.fromkeys(sizes, 0.0) | {size: wanted / size}
        for missed, row, least in rounded_rows(wanted, parts, 0):
            sums = [sum(weight * way[s] for s, weight in row.weights) for way in ways(wanted, sizes)]
            assert min(sums) >= least
            assert missed > 0
        if wanted % size:
            assert list(rounded_rows(wanted, parts, 0))


def test_twenty_one_from_lots_of_four() -> None:
    # Five lots of four and a quarter: one piece is left for a single bar, or three and two more for lots of
    # three and two, and so on. The parts of one row: a single bar counts 3, a lot of two 2, of three 1.
    parts = {1: 0.0, 2: 0.0, 3: 0.0, 4: 5.25}
    found = {row: least for _, row, least in rounded_rows(21, parts, 0)}
    assert found[LotRow("piece", 0, ((1, 3), (2, 2), (3, 1)))] == 3
    assert found[LotRow("piece", 0, ((1, 1), (3, 1)))] == 1


def test_a_load_in_parts_is_rounded() -> None:
    # Five bars of one piece each, two at once: parts say 2.5 loads; the odd bar needs a load of its own. Of
    # two kinds of piece with three each the same bars take six, and 2 loads of two and 2 of one are least:
    # parts would say 3.
    bars = (BarStock("B", 10, None, 1_000),)
    asked = Problem(
        0, 0, 0, bars, (Piece("a", 10, 3), Piece("b", 9, 3)),
        bundle_most=2, saw_time=SawTime(1, (1, 1)), aims=(Aim.LOADS,),
    )  # fmt: skip
    stage = Generation(Room(asked), Aim.LOADS, {}, Watch(standing, 0.0, 60.0))
    stage.to_optimum()
    assert stage.bound == 3
    stage.tightened()
    assert stage.bound == 4
    result = solve(asked, seconds=60, seed=1, now=standing)
    assert check(asked, result) == ()
    assert [(aim.value, aim.bound) for aim in result.aims] == [(4, 4)]


def test_runs_of_patterns_longer_than_those_looked_at_one_by_one() -> None:
    # Twenty bars of 6 + 4, all alike: one pattern. With 13 of the 4 only, 13 bars of 6 + 4 and 7 of 6: two.
    for fours, patterns in ((20, 1), (13, 2)):
        asked = Problem(
            0, 0, 0, (BarStock("B", 10, None, 1_000),), (Piece("a", 6, 20), Piece("b", 4, fours)),
            rates=Rates(per_pattern=800), aims=(Aim.MONEY,),
        )  # fmt: skip
        answer = solve_room(asked, Watch(standing, 0.0, 60.0), seed=1, full_list=0)
        assert answer.runs is not None
        assert totals(asked, answer.runs)[Aim.MONEY] == 20_000 + 800 * patterns
        assert answer.bounds == (20_000 + 800 * patterns,)
