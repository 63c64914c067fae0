"""A pattern's price in the bound, and loads put together again, each reckoned by hand."""

from dataclasses import replace

from kerfsmith.nesting.aims import Aim, Rates, SawTime
from kerfsmith.nesting.engines.sawroom.columns import Room
from kerfsmith.nesting.engines.sawroom.generation import Generation
from kerfsmith.nesting.engines.sawroom.solve import solve_room
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.stop import Watch

ROOM = Problem(
    0, 0, 0, (BarStock("B", 10, None, 1_000),), (Piece("a", 6, 4), Piece("b", 4, 2)),
    rates=Rates(per_pattern=800), aims=(Aim.MONEY,),
)  # fmt: skip


def standing() -> float:
    """A clock that stands still."""
    return 0.0


def test_each_bar_bears_its_share_of_its_pattern() -> None:
    # Four bars hold the four of 6, two of them with a 4 beside: 4 x 1000 and two patterns, 5600. A bar of 6 +
    # 4 can be cut twice at most (two of b), one of 6 alone four times: their shares are 400 and 200, and the
    # cheapest mixture of parts is 2 x 1400 + 2 x 1200 = 5200. Without shares it would be 4000.
    watch = Watch(standing, 0.0, 60.0)
    stage = Generation(Room(ROOM), Aim.MONEY, {}, watch)
    stage.to_optimum()
    assert stage.bound == 5200
    answer = solve_room(ROOM, watch, seed=1, full_list=0)
    assert answer.runs is not None
    assert totals(ROOM, answer.runs)[Aim.MONEY] == 5600
    assert answer.bounds == (5600,)


def test_patterns_have_a_bound_of_their_own() -> None:
    # Shares of one pattern: 2 x 1/2 and 2 x 1/4 make a pattern and a half, so two at least.
    watch = Watch(standing, 0.0, 60.0)
    stage = Generation(Room(replace(ROOM, aims=(Aim.BARS, Aim.PATTERNS))), Aim.PATTERNS, {Aim.BARS: 4}, watch)
    stage.to_optimum()
    assert stage.bound == 2


def test_bars_alike_share_loads_once_loads_count() -> None:
    # Nine bars alike, four at once: three loads, though the price doesn't care.
    asked = Problem(
        0, 0, 0, (BarStock("B", 10, None, 1_000),), (Piece("a", 5, 18),),
        bundle_most=4, saw_time=SawTime(1, (1, 1, 1, 1)), aims=(Aim.COST, Aim.LOADS),
    )  # fmt: skip
    answer = solve_room(asked, Watch(standing, 0.0, 60.0), seed=1, full_list=0)
    assert answer.runs is not None
    assert (totals(asked, answer.runs)[Aim.LOADS], answer.bounds) == (3, (9_000, 3))
