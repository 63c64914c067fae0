"""The choice between plans of one cost: by work counted, never by the clock, and told as it is."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from random import Random

import pytest
from tests.planning.saws import make_saw

from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Round
from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.result import AimValue
from kerfsmith.planning.nest_group import CUT_SHORT, SEARCH_CUT_SHORT, Effort, Nested, nest_group, next_aims
from kerfsmith.planning.pose_group import Bench
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import NextAim, ShopRules

ROUND = Section("round 80 mm", Round(80.0))
RULES = ShopRules(next_aims=(NextAim.REMNANT_WORTH, NextAim.FEW_PATTERNS), long_remnant_um=800_000)
BENCH = Bench(make_saw(), 1_600, "")


def clock(step_s: float) -> Callable[[], float]:
    """A clock that is a step further each time it is asked."""
    asked = [0]

    def now() -> float:
        asked[0] += 1
        return asked[0] * step_s

    return now


def nested(now: Callable[[], float], seconds: float = 2.0, rules: ShopRules = RULES) -> Nested:
    """A group too large for every pattern to be listed, so that work ends its polish."""
    chance = Random(4)
    lines = tuple(
        OrderLine(f"l{n}", f"m{n}", "1045", ROUND, chance.randrange(300_000, 1_900_000, 500), 3)
        for n in range(12)
    )
    bars = [Bar("A", "1045", ROUND, 6_000_000, 30, heat="H"), Bar("B", "1045", ROUND, 4_200_000, 2, heat="H")]
    return nest_group(Work("1045", ROUND, lines), bars, BENCH, rules, Effort(seconds, 3, now, lambda: False))


@cache
def plain() -> Nested:
    """By a clock that leaves time enough: the same for every test that asks."""
    return nested(clock(1e-5))


def test_the_same_plan_by_a_clock_five_times_slower_or_faster() -> None:
    slow, fast = (nested(clock(step)) for step in (2e-6, 5e-5))
    assert plain().result.runs == slow.result.runs == fast.result.runs
    assert plain().result.aims == slow.result.aims == fast.result.aims
    assert CUT_SHORT not in plain().notes
    # Some aim was left open: it was work that ended the choice, not a proof.
    assert not all(aim.is_proven for aim in plain().result.aims)


def test_the_clock_as_a_last_guard_is_told() -> None:
    # So fast a clock that the whole guard is gone within some looks at it, after the cost was proven.
    found = nested(clock(0.4), seconds=2.0)
    assert CUT_SHORT in found.notes


@pytest.mark.parametrize("aims", [RULES.next_aims, ()], ids=["next aims", "cost alone"])
def test_a_clock_that_ends_the_search_for_the_cost_is_told(aims: tuple[NextAim, ...]) -> None:
    found = nested(clock(0.4), rules=replace(RULES, next_aims=aims, one_heat_an_order=True))
    assert found.result.cost is not None
    assert SEARCH_CUT_SHORT in found.notes
    assert SEARCH_CUT_SHORT not in plain().notes


@pytest.mark.parametrize("polished", [True, False])
def test_next_aims_tell_what_the_plan_is_worth(polished: bool) -> None:
    found = plain()
    if not polished:
        cost = found.result.aims[0]
        found = replace(found, result=replace(found.result, aims=(cost,)))
    worth, patterns = next_aims(found, RULES)
    # Reckoned from the bars: metres left over by the price that the rules give a long remnant.
    steps = found.problem.leftovers.worth
    kept = sum(
        run.kept * (steps[-1].per_metre * run.remnant_um // 1_000_000)
        for run in found.result.runs
        if run.remnant_um >= RULES.long_remnant_um
    )
    assert kept > 0
    assert worth.value == pytest.approx(kept / 1e6)
    distinct = {(run.bar, tuple(sorted(run.counts.items()))) for run in found.result.runs}
    assert patterns.value == len(distinct)
    if not polished:
        assert (worth.best, patterns.best) == (None, None)


def test_a_polish_never_costs_more_and_keeps_the_proof() -> None:
    found = nested(clock(1e-5))
    bare = nested(clock(1e-5), rules=replace(RULES, next_aims=()))
    assert found.result.aims[0] == AimValue(Aim.COST, bare.result.cost or 0, bare.result.lower_bound)
    assert found.result.bound_source == bare.result.bound_source
