"""What each rule of a saw room costs, and each leave saves."""

from time import process_time

from tests.nesting.small_rooms import small_room

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.result import Result
from kerfsmith.nesting.rules import Rule, price_of_rules, rules_of, without
from kerfsmith.nesting.solve import solve

MM = 1000


def solved(problem: Problem) -> Result:
    return solve(problem, seconds=30, seed=1, now=process_time)


def test_one_heat_for_each_order_costs_a_bar() -> None:
    # Orders of 3 x 3000 on bars of 6000: mixed they fill three bars, with one heat each an order needs two.
    bars = tuple(BarStock(heat, 6000 * MM, 2, 1, heat=heat) for heat in ("P", "Q"))
    pieces = tuple(Piece(order, 3000 * MM, 3, order=order) for order in ("O1", "O2"))
    problem = Problem(0, 0, 0, bars, pieces, one_heat_orders=frozenset({"O1", "O2"}), aims=(Aim.BARS,))
    (price,) = price_of_rules(problem, solved(problem), solved)
    assert (price.rule, price.is_leave, price.bars, price.is_proven) == (Rule.ONE_HEAT, False, -1, True)
    assert price.differences == ((Aim.BARS, -1),)


def test_a_leave_saves_what_the_plan_without_it_costs_more() -> None:
    # 4 x 1498 +2/-0 on 6000: three cuts; without the tolerance four.
    pieces = (Piece("a", 1498 * MM, 4, over_um=2 * MM),)
    problem = Problem(0, 0, 0, (BarStock("B", 6000 * MM, None, 1),), pieces, aims=(Aim.CUTS,))
    (price,) = price_of_rules(problem, solved(problem), solved)
    assert (price.rule, price.is_leave, price.differences) == (Rule.OVER_LENGTH, True, ((Aim.CUTS, 1),))


def test_no_rule_makes_a_plan_better_and_no_leave_worse() -> None:
    for seed in range(60):
        problem, _ = small_room(seed)
        result = solved(problem)
        if not result.runs:
            continue
        for price in price_of_rules(problem, result, solved):
            if price.differences is None:
                continue
            changes = [change for _, change in price.differences]
            assert (changes >= [0] * len(changes)) if price.is_leave else (changes <= [0] * len(changes)), (
                seed, price.rule,
            )  # fmt: skip


def test_a_problem_without_its_rules_has_none() -> None:
    for seed in range(100):
        problem, _ = small_room(seed)
        # Without its promises a problem may have remnants that it can do without.
        for _ in Rule:
            for rule in rules_of(problem):
                problem = without(problem, rule)
        assert rules_of(problem) == ()
