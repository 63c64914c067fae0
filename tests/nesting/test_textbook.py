"""Cutting-stock problems with known optima, and the bars a reader can lay out by hand."""

from time import process_time

import pytest

from kerfsmith.nesting.check import check
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.result import Result, Status, Want
from kerfsmith.nesting.solve import solve

MM = 1000
MONEY = 1_000_000


def problem(
    bars: list[tuple[float, int | None, float]],
    pieces: list[tuple[float, int]],
    kerf: float = 0,
    trim: float = 0,
    grip: float = 0,
) -> Problem:
    """Bars as (mm, count, price), pieces as (mm, count)."""
    return Problem(
        round(kerf * MM),
        round(trim * MM),
        round(grip * MM),
        tuple(
            BarStock(f"B{i}", round(length * MM), count, round(price * MONEY))
            for i, (length, count, price) in enumerate(bars)
        ),
        tuple(Piece(f"P{i}", round(length * MM), count) for i, (length, count) in enumerate(pieces)),
    )


def solved(asked: Problem, seconds: float = 20.0) -> Result:
    """The result, passed by the referee."""
    result = solve(asked, seconds=seconds, seed=1, now=process_time)
    assert check(asked, result) == ()
    return result


def test_chvatal_needs_453_rolls() -> None:
    # Chvatal, Linear Programming (1983), ch. 13: LP 452.25, so 453 is the least.
    asked = problem([(100, None, 1)], [(45, 97), (36, 610), (31, 395), (14, 211)])
    result = solved(asked)
    assert (result.status, result.cost, result.lower_bound) == (Status.OPTIMAL, 453 * MONEY, 453 * MONEY)


def test_thirteen_widths_need_73_rolls() -> None:
    # The worked example of the encyclopaedia article "Cutting stock problem": 73 rolls, waste 0.401 %.
    widths = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200)
    wanted = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20)
    asked = problem([(5600, None, 1)], list(zip(widths, wanted, strict=True)))
    result = solved(asked)
    assert (result.status, result.bars_used, result.lower_bound) == (Status.OPTIMAL, 73, 73 * MONEY)
    cut = sum(width * number for width, number in zip(widths, wanted, strict=True))
    assert 100 * (1 - cut / (73 * 5600)) == pytest.approx(0.401, abs=0.0005)


@pytest.mark.parametrize(
    ("length", "in_one_bar"),
    [(1190, 4), (1180.08, 5), (1180.081, 4)],
    ids=["4.96 go in", "exactly 5", "a micrometre too long for 5"],
)
def test_a_bar_with_facing_and_grip(length: float, in_one_bar: int) -> None:
    # Bar 6000, facing 10 and one kerf of 1.6, grip 80: 5908.4 / (length + 1.6), by hand.
    for number in (in_one_bar, in_one_bar + 1):
        asked = problem([(6000, None, 1)], [(length, number)], kerf=1.6, trim=10, grip=80)
        assert solved(asked).bars_used == (1 if number == in_one_bar else 2)


def test_fewer_long_bars_are_cheaper() -> None:
    # 6000 (3000 + 3000), 4000 (3000), 4000 (1900 x 2) twice; filling the long bars first costs 20000.
    asked = problem([(6000, 2, 6000), (4000, 3, 4000)], [(3000, 3), (1900, 4)])
    result = solved(asked)
    assert (result.status, result.cost) == (Status.OPTIMAL, 18_000 * MONEY)


def test_several_lengths_in_limited_numbers() -> None:
    # 5000 (2500 + 2500), 5000 (2000 + 2000), 2100 (2000): 12 100, found by plain enumeration.
    asked = problem(
        [(5000, 3, 5000), (3000, 2, 3000), (2100, 1, 2100)],
        [(2000, 3), (2500, 2)],
    )
    assert solved(asked).cost == 12_100 * MONEY


def test_too_short_a_rack_says_what_is_missing() -> None:
    result = solved(problem([(6000, 1, 1)], [(2500, 3)]))
    assert result.status is Status.INFEASIBLE
    (reason,) = result.reasons
    assert (reason.want, reason.piece, reason.count, reason.length_um) == (
        Want.SHORT_OF_BARS,
        "P0",
        1,
        2500 * MM,
    )


def test_too_long_a_piece_says_by_how_much() -> None:
    # 5990 and a closing cut of 3 want 5993; after facing (5 + 3) and grip (80) the bar has 5912.
    result = solved(problem([(6000, None, 1), (3000, 2, 1)], [(5990, 1), (100, 1)], kerf=3, trim=5, grip=80))
    assert result.status is Status.INFEASIBLE
    (reason,) = result.reasons
    assert (reason.want, reason.piece, reason.length_um) == (Want.TOO_LONG, "P0", 81 * MM)


def test_the_last_cut_is_saved_only_at_the_exact_end() -> None:
    # 3 x 1998 and two cuts of 3 are 6000 exactly. A micrometre less leaves a sliver no closing cut fits into.
    assert solved(problem([(6000, None, 1)], [(1998, 3)], kerf=3)).bars_used == 1
    assert solved(problem([(6000, None, 1)], [(1997.999, 3)], kerf=3)).bars_used == 2
    # At 1997 the closing cut just fits.
    assert solved(problem([(6000, None, 1)], [(1997, 3)], kerf=3)).bars_used == 1


def test_no_grip_is_worth_a_piece() -> None:
    # Bar 6000, face 10, grip 80, kerf 3, by hand:
    # 6 x (980 + 3) + 13 = 5911 <= 5920, but 6 x (983 + 3) + 13 = 5929 > 5920; without grip 5929 <= 6000.
    assert solved(problem([(6000, None, 1)], [(980, 6)], kerf=3, trim=10, grip=80)).bars_used == 1
    assert solved(problem([(6000, None, 1)], [(983, 6)], kerf=3, trim=10, grip=80)).bars_used == 2
    assert solved(problem([(6000, None, 1)], [(983, 6)], kerf=3, trim=10, grip=0)).bars_used == 1


def test_same_problem_and_seed_give_the_same_plan() -> None:
    asked = problem([(6000, None, 1), (4000, 7, 0.7)], [(1234, 31), (876, 44), (2345, 17)], kerf=1.6, grip=60)
    assert solved(asked).runs == solved(asked).runs


def test_nothing_to_cut_costs_nothing() -> None:
    result = solved(problem([(6000, None, 1)], []))
    assert (result.status, result.cost, result.runs) == (Status.OPTIMAL, 0, ())


def test_a_wish_to_stop_keeps_an_honest_bound() -> None:
    asked = problem([(1000, None, 1)], [(300 + 7 * i, 5 + i) for i in range(30)], kerf=1)
    result = solve(asked, seconds=20, seed=1, now=process_time, should_stop=lambda: True)
    assert check(asked, result) == ()
    best = solved(asked)
    assert best.cost is not None
    assert result.lower_bound <= best.cost
