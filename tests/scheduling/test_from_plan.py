"""The week of a real plan: catalog, rack and order lines planned, then lined up."""

import itertools
from dataclasses import replace
from datetime import date, time

import pytest
from tests.scheduling.rooms import NO_CLOCK
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Hazard
from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.shapes import RectTube, Round, Square
from kerfsmith.planning.lay_group import Effort as PlanEffort
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.plan import Plan
from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.from_plan import (
    SawOnFloor,
    WeekRules,
    brought_together,
    left_out,
    split_load,
    week_problem,
)
from kerfsmith.scheduling.problem import Load, Problem
from kerfsmith.scheduling.result import Status
from kerfsmith.scheduling.shifts import Clock, Shift, calendar_of
from kerfsmith.scheduling.solve import Effort, line_up
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules

CLOCK = Clock(date(2026, 3, 2))
ROUND = Section("round 80 mm", Round(80.0))
SQUARE = Section("square 100 mm", Square(100.0))
HUGE = Section("round 900 mm", Round(900.0))


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


@pytest.fixture(scope="module")
def plan(catalog: Catalog) -> Plan:
    lines = [
        OrderLine("a", "a", "1018", SQUARE, 700_000, 12, due=date(2026, 3, 4)),
        OrderLine("b", "b", "4140", ROUND, 90_000, 30, due=date(2026, 3, 3)),
        OrderLine("c", "c", "1018", HUGE, 100_000, 1),
    ]
    rack = Rack((Bar("x", "1018", SQUARE, 6_000_000, 3), Bar("y", "4140", ROUND, 3_000_000, 4)))
    effort = PlanEffort(seconds=1e6, seed=1, now=itertools.count().__next__, should_stop=lambda: False)
    run = in_turn(catalog, ShopRules(), effort)
    return make_plan(tasks_of(lines, rack), run, plan_id="p", name="p", seed=1)


def floor(catalog: Catalog) -> list[SawOnFloor]:
    shifts = [Shift(day, time(6), time(14)) for day in range(5)]
    return [SawOnFloor(saw, calendar_of(shifts, CLOCK, 14)) for saw in catalog.saws]


def problem_of(plan: Plan, catalog: Catalog, rules: WeekRules | None = None) -> Problem:
    hazards = {"4140": (Hazard.METAL_MIST,)}
    return week_problem(plan, floor(catalog), CLOCK, 14, rules=rules or WeekRules(), hazards=hazards)


def test_every_group_with_bars_is_a_run_of_its_hours(plan: Plan, catalog: Catalog) -> None:
    problem = problem_of(plan, catalog)
    cut = [group for group in plan.groups if group.bars]
    assert [run.id for run in problem.runs] == [group.id for group in cut]
    for run, group in zip(problem.runs, cut, strict=True):
        (option,) = run.options
        assert (option.saw, option.band) == (group.saw, group.settings[0].band.id)
        assert len(option.loads) == group.bars_used
        # each load is rounded up to whole minutes, crane apart
        assert 0 <= option.ticks * 60 - group.times.total_s <= 120 * len(option.loads)
        assert run.weight == group.pieces_planned
        assert group.first_due is not None
        assert run.due == CLOCK.due(group.first_due, time(16))


def test_what_cannot_be_cut_is_left_out_with_the_reason(plan: Plan, catalog: Catalog) -> None:
    ((name, reason),) = left_out(plan, floor(catalog))
    assert "900" in name
    assert "cannot be cut" in reason


def test_the_week_of_the_plan_holds(plan: Plan, catalog: Catalog) -> None:
    problem = problem_of(plan, catalog)
    week = line_up(problem, watch=NO_CLOCK, effort=Effort(500, 1_000_000, 2.0))
    assert faults(problem, week) == ()
    assert week.status is Status.OPTIMAL


def test_bars_brought_together_make_fewer_loads_of_the_same_time(plan: Plan, catalog: Catalog) -> None:
    single, double = problem_of(plan, catalog), problem_of(plan, catalog, WeekRules(bars_a_load=2))
    for one, two in zip(single.runs, double.runs, strict=True):
        assert len(two.options[0].loads) == -(-len(one.options[0].loads) // 2)
        assert abs(two.options[0].ticks - one.options[0].ticks) <= 2 * len(one.options[0].loads)


def test_the_same_group_planned_for_another_saw_is_another_option(plan: Plan, catalog: Catalog) -> None:
    group = next(group for group in plan.groups if group.bars)
    other = next(saw for saw in catalog.saws if saw.id != group.saw)
    twin = replace(group, saw=other.id, saw_name=other.name)
    problem = week_problem(plan, floor(catalog), CLOCK, 14, rules=WeekRules(), hazards={}, others=[twin])
    assert {option.saw for option in problem.run(group.id).options} == {group.saw, other.id}
    with pytest.raises(InvalidValue):
        week_problem(plan, floor(catalog), CLOCK, 14, rules=WeekRules(), hazards={}, others=[group])


def test_burning_chips_keep_a_run_attended(plan: Plan, catalog: Catalog) -> None:
    hazards = {"4140": (Hazard.FIRE_MAGNESIUM,)}
    problem = week_problem(plan, floor(catalog), CLOCK, 14, rules=WeekRules(), hazards=hazards)
    run = next(run for run in problem.runs if run.label.startswith("4140"))
    assert not run.unattended.allowed
    assert "magnesium" in run.unattended.reason


def test_a_new_band_is_broken_in_once(plan: Plan, catalog: Catalog) -> None:
    group = next(group for group in plan.groups if group.bars)
    saws = [replace(one, fresh=frozenset({group.settings[0].band.id})) for one in floor(catalog)]
    problem = week_problem(plan, saws, CLOCK, 14, rules=WeekRules(), hazards={})
    assert problem.saw(group.saw).fresh[group.settings[0].band.id] > 0


def test_a_bar_too_long_for_a_shift_is_left_between_two_cuts() -> None:
    """1000 ticks in 20 cuts of 50 and 480 to a shift: 9 cuts each time with the start, then the rest."""
    parts = split_load(Load(10, 2, 1000), 480, 20)
    assert [part.cut for part in parts] == [450, 450, 100]
    assert parts[0].crane == 10
    assert all((part.crane, part.hand) == (0, 1) for part in parts[1:])
    assert split_load(Load(10, 2, 1000), 480, 1) == [Load(10, 2, 1000)]


def test_bars_cut_at_once_are_one_load_of_the_week(catalog: Catalog) -> None:
    # Seven bars of 6 m with two pieces of 2800 each, at most three at once on clamps of 300 mm: three loads
    # of 3, 2 and 2, since a bar alone takes more than half of two.
    tube = Section("SHS 100x100x6", RectTube(100.0, 100.0, 6.0, 12.0, 6.0))
    lines = [OrderLine("t", "t", "S355J2H", tube, 2_800_000, 14, due=date(2026, 3, 4))]
    rack = Rack((Bar("T", "S355J2H", tube, 6_000_000, 9),))
    effort = PlanEffort(seconds=1e6, seed=1, now=itertools.count().__next__, should_stop=lambda: False)
    one_saw = replace(catalog, saws=(catalog.find_saw("north"),))
    run = in_turn(one_saw, ShopRules(most_at_once=3), effort)
    plan = make_plan(tasks_of(lines, rack), run, plan_id="p", name="p", seed=1)
    (group,) = plan.groups
    assert sorted((bar.at_once, bar.times) for bar in group.bars) == [(2, 4), (3, 3)]
    problem = problem_of(plan, one_saw)
    (option,) = problem.runs[0].options
    assert len(option.loads) == group.loads == 3
    assert 0 <= option.ticks * 60 - group.times.total_s <= 120 * len(option.loads)
    assert sum(wanted.pieces for load in option.loads for wanted in load.wanted) in (0, 14)
    # In a bundle a bar may shift: somebody stays with it.
    assert not problem.runs[0].unattended.allowed
    assert "shift" in problem.runs[0].unattended.reason
    each = [replace(bar, times=bar.at_once) for bar in group.bars for _ in range(bar.loads)]
    assert [bars for bars, _ in brought_together(group.bars, 2, 0)] == [[bar] for bar in each]
    # What lies in the saw comes by itself, then what the crane brings, at most two bars that are cut alone.
    alone = replace(group.bars[0], times=5, at_once=1)
    found = [(len(bars), before) for bars, before in brought_together([alone], 2, 1)]
    assert found == [(1, 0), (2, 1), (2, 3)]
