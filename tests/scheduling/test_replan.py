"""The week changed in the middle of it."""

from dataclasses import replace
from functools import cache

import pytest
from tests.scheduling.rooms import DAY, NO_CLOCK, shop_week

from kerfsmith.scheduling.calendar import Hours, Stop
from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.problem import Aim, Load, Option, Problem, Run
from kerfsmith.scheduling.replan import Change, News, change_week
from kerfsmith.scheduling.result import Week
from kerfsmith.scheduling.score import moves
from kerfsmith.scheduling.solve import Effort, line_up

NOW = DAY + 10 * 60
BREAKDOWN = {"saw 1": (Stop(NOW, NOW + 400, "bearing"),)}


@cache
def planned() -> tuple[Problem, Week]:
    problem = shop_week(9, count=60)
    return problem, line_up(problem, watch=NO_CLOCK, effort=Effort(3_000, 1_000_000, 0.0))


def changed(news: News) -> tuple[Change, Week]:
    change = change_week(*planned(), news)
    week = line_up(change.problem, watch=NO_CLOCK, start=change.order, effort=Effort(1_500, 1_000_000, 0.0))
    assert faults(change.problem, week) == ()
    return change, week


def test_what_has_begun_stays_and_goes_on() -> None:
    _, before = planned()
    begun = [one for one in before.placements if one.begins < NOW < one.end]
    assert begun
    change, week = changed(News(NOW))
    for one in begun:
        after = week.of(one.run)
        assert after.saw == one.saw
        assert week.on(one.saw)[0].run == one.run
        if one.start < NOW:
            left = sum(load.end - max(load.start, NOW) for load in one.loads if load.end > NOW)
            assert sum(load.end - load.start for load in after.loads) == left
    assert {one.run for one in week.placements} | set(change.finished) == {
        one.run for one in before.placements
    }
    assert min(one.begins for one in week.placements) >= NOW


def test_with_no_news_the_old_order_still_holds() -> None:
    """What was planned goes on as planned: no aim is worse than it was without a single move."""
    _, before = planned()
    _, week = changed(News(NOW, most_moves=0))
    assert week.value(Aim.MOVES) == 0
    old, new = before.value(Aim.TARDINESS), week.value(Aim.TARDINESS)
    assert old is not None
    assert new is not None
    assert new <= old


@pytest.mark.parametrize("most", [0, 2, 6])
def test_no_more_moves_than_asked(most: int) -> None:
    change, week = changed(News(NOW, down=BREAKDOWN, most_moves=most))
    assert moves(change.order, week.placements) <= most
    for one in week.on("saw 1"):
        for load in one.loads:
            assert load.end <= NOW or load.start >= NOW + 400


def test_more_moves_allowed_are_never_worse() -> None:
    late = [changed(News(NOW, down=BREAKDOWN, most_moves=most))[1].value(Aim.TARDINESS) for most in (0, 1, 4)]
    assert all(value is not None for value in late)
    assert late == sorted(late, key=lambda value: -(value or 0))


def test_a_new_order_comes_in_without_moving_the_others() -> None:
    came = Run(
        "urgent", tuple(Option(f"saw {m}", "band 2", (Load(4, 2, 30),) * 2, 50) for m in range(3)), NOW + 300
    )
    _, week = changed(News(NOW, came=(came,), most_moves=0))
    assert week.value(Aim.MOVES) == 0
    assert week.of("urgent").start >= NOW


def test_frozen_runs_keep_saw_and_order() -> None:
    _, before = planned()
    until = NOW + 300
    frozen = [one for one in before.on("saw 0") if NOW <= one.begins < until or one.begins < NOW < one.end]
    _, week = changed(News(NOW, down=BREAKDOWN, frozen_until=until))
    assert [one.run for one in week.on("saw 0")][: len(frozen)] == [one.run for one in frozen]


def test_cancelled_runs_are_gone() -> None:
    _, before = planned()
    last = before.placements[-1].run
    _, week = changed(News(NOW, gone=frozenset({last})))
    assert last not in {one.run for one in week.placements}


def test_overtime_that_has_begun_is_paid_and_what_is_past_is_past() -> None:
    problem, week = planned()
    saturday = 5 * DAY + 400
    place = problem.saws[0].calendar.overtime[0]
    asked = replace(week, opened={"saw 0": (place,)})
    change = change_week(problem, asked, News(saturday))
    kinds = [saw.calendar.windows[place].hours for saw in change.problem.saws]
    assert kinds[0] is Hours.ATTENDED
    assert kinds[1] is Hours.OVERTIME
    assert change.problem.saws[1].calendar.windows[place].start == saturday
