"""The referee against spoilt weeks: every kind of fault planted is found."""

from collections.abc import Callable
from dataclasses import replace
from types import MappingProxyType

import pytest
from tests.scheduling.rooms import NO_CLOCK, shop_week

from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.problem import Aim, Pin, Problem
from kerfsmith.scheduling.result import LoadTimes, Placement, SetUp, Week
from kerfsmith.scheduling.solve import Effort, line_up
from kerfsmith.units.told import Told

Spoil = Callable[[Problem, Week], tuple[Problem, Week]]


@pytest.fixture(scope="module")
def sound() -> tuple[Problem, Week]:
    problem = shop_week(5, count=30, weeks=1)
    week = line_up(problem, watch=NO_CLOCK, effort=Effort(600, 1_000_000, 0.0))
    assert faults(problem, week) == ()
    return problem, week


def shifted(one: Placement, ticks: int) -> Placement:
    loads = tuple(
        LoadTimes(*(at + ticks for at in (load.start, load.crane_until, load.hand_until, load.end)))
        for load in one.loads
    )
    return replace(one, loads=loads)


def put_back(week: Week, *changed: Placement) -> Week:
    new = {one.run: one for one in changed}
    return replace(week, placements=tuple(new.get(one.run, one) for one in week.placements))


def with_set_up(week: Week) -> tuple[Placement, SetUp]:
    for one in week.placements:
        if one.set_up is not None and one.set_up.changes:
            return one, one.set_up
    raise AssertionError("no run needs a band change")


def at_once(problem: Problem, week: Week) -> tuple[Problem, Week]:
    """Two runs at the same time on one saw."""
    first, second = week.on("saw 0")[:2]
    return problem, put_back(week, shifted(second, first.start - second.start))


def by_night(problem: Problem, week: Week) -> tuple[Problem, Week]:
    """A load comes before anybody is there."""
    one = week.on("saw 0")[0]
    return problem, put_back(week, shifted(one, -one.start))


def no_set_up(problem: Problem, week: Week) -> tuple[Problem, Week]:
    return problem, put_back(week, replace(with_set_up(week)[0], set_up=None))


def short_set_up(problem: Problem, week: Week) -> tuple[Problem, Week]:
    one, ready = with_set_up(week)
    return problem, put_back(week, replace(one, set_up=replace(ready, end=ready.end - 1)))


def forgotten(problem: Problem, week: Week) -> tuple[Problem, Week]:
    return problem, replace(week, placements=week.placements[1:])


def doubled(problem: Problem, week: Week) -> tuple[Problem, Week]:
    return problem, replace(week, placements=(*week.placements, week.placements[0]))


def wrong_band(problem: Problem, week: Week) -> tuple[Problem, Week]:
    return problem, put_back(week, replace(week.placements[0], band="another"))


def quick_load(problem: Problem, week: Week) -> tuple[Problem, Week]:
    one = week.placements[-1]
    last = one.loads[-1]
    return problem, put_back(week, replace(one, loads=(*one.loads[:-1], replace(last, end=last.end - 1))))


def one_person(problem: Problem, week: Week) -> tuple[Problem, Week]:
    """Half of the people stay away."""
    return replace(problem, crews=tuple(replace(crew, people=1) for crew in problem.crews)), week


def busy_crane(problem: Problem, week: Week) -> tuple[Problem, Week]:
    """A load of another saw comes while the crane is at work."""
    first, second = week.on("saw 0")[0], week.on("saw 1")[0]
    return problem, put_back(week, shifted(second, first.start - second.start))


def pinned_elsewhere(problem: Problem, week: Week) -> tuple[Problem, Week]:
    one = week.placements[0]
    pin = Pin(one.saw, one.start + 1)
    runs = tuple(replace(run, pin=pin) if run.id == one.run else run for run in problem.runs)
    return replace(problem, runs=runs), week


def settled_elsewhere(problem: Problem, week: Week) -> tuple[Problem, Week]:
    second = week.on("saw 0")[1]
    pin = Pin("saw 0", rank=0)
    runs = tuple(replace(run, pin=pin) if run.id == second.run else run for run in problem.runs)
    return replace(problem, runs=runs), week


def flattered(problem: Problem, week: Week) -> tuple[Problem, Week]:
    aims = tuple(replace(one, value=one.value - 1) if one.aim is Aim.HOURS else one for one in week.aims)
    return problem, replace(week, aims=aims)


def bold_bound(problem: Problem, week: Week) -> tuple[Problem, Week]:
    aims = tuple(replace(one, bound=one.value + 1) if one.aim is Aim.HOURS else one for one in week.aims)
    return problem, replace(week, aims=aims)


def overtime_unpaid(problem: Problem, week: Week) -> tuple[Problem, Week]:
    place = problem.saws[0].calendar.overtime[0]
    return problem, replace(week, opened=MappingProxyType({"saw 0": (place,)}))


def no_such_overtime(problem: Problem, week: Week) -> tuple[Problem, Week]:
    return problem, replace(week, opened=MappingProxyType({"saw 0": (0,)}))


def too_many_moves(problem: Problem, week: Week) -> tuple[Problem, Week]:
    first, second = week.on("saw 0")[:2]
    before = MappingProxyType({"saw 0": (second.run, first.run)})
    return replace(problem, previous=before, most_moves=0), week


@pytest.mark.parametrize(
    "spoil",
    [
        at_once,
        by_night,
        no_set_up,
        short_set_up,
        forgotten,
        doubled,
        wrong_band,
        quick_load,
        one_person,
        busy_crane,
        pinned_elsewhere,
        settled_elsewhere,
        flattered,
        bold_bound,
        overtime_unpaid,
        no_such_overtime,
        too_many_moves,
    ],
)
def test_a_spoilt_week_is_refused(sound: tuple[Problem, Week], spoil: Spoil) -> None:
    assert faults(*spoil(*sound))


def test_no_week_needs_a_reason(sound: tuple[Problem, Week]) -> None:
    problem, week = sound
    assert faults(problem, replace(week, placements=()))
    assert faults(problem, replace(week, placements=(), reasons=(Told("too few hours"),))) == ()
