"""What must hold of any room, whatever its figures."""

import random
from dataclasses import replace

import pytest
from tests.scheduling.rooms import NO_CLOCK, random_room, shop_week

from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.engines.slow import enumerate_weeks
from kerfsmith.scheduling.problem import Option, Pin, Problem
from kerfsmith.scheduling.replan import pinned, refused
from kerfsmith.scheduling.result import Status, Week
from kerfsmith.scheduling.solve import Effort, as_ordered, line_up

EFFORT = Effort(steps=400, starts=2_000_000, exact=2.0)


def reached(problem: Problem) -> tuple[int, ...] | None:
    """The values of a week proven best; None where there is none, or no proof."""
    week = line_up(problem, watch=NO_CLOCK, effort=EFFORT)
    assert faults(problem, week) == ()
    return tuple(one.value for one in week.aims) if week.status is Status.OPTIMAL else None


@pytest.mark.parametrize("seed", range(1000, 1025))
def test_a_looser_due_date_never_costs_more(seed: int) -> None:
    rng = random.Random(seed)
    problem = random_room(rng)
    looser = replace(
        problem,
        runs=tuple(
            replace(run, due=None if run.due is None else run.due + rng.randint(0, 6)) for run in problem.runs
        ),
    )
    tight, loose = reached(problem), reached(looser)
    if tight is not None and loose is not None:
        assert loose <= tight


@pytest.mark.parametrize("seed", range(2000, 2020))
def test_one_more_saw_never_hurts(seed: int) -> None:
    rng = random.Random(seed)
    problem = random_room(rng, most_runs=3)
    twin = replace(problem.saws[0], id="one more")

    def also(options: tuple[Option, ...]) -> tuple[Option, ...]:
        return options + tuple(replace(one, saw=twin.id) for one in options if one.saw == problem.saws[0].id)

    runs = tuple(replace(run, options=also(run.options)) for run in problem.runs)
    few, many = reached(problem), reached(replace(problem, saws=(*problem.saws, twin), runs=runs))
    if few is not None and many is not None:
        assert many <= few


@pytest.mark.parametrize("seed", range(3000, 3020))
def test_a_stop_never_helps(seed: int) -> None:
    problem = random_room(random.Random(seed))
    without = replace(
        problem,
        saws=tuple(replace(saw, calendar=replace(saw.calendar, stops=())) for saw in problem.saws),
    )
    stopped, free = reached(problem), reached(without)
    if stopped is not None and free is not None:
        assert free <= stopped


def small_week() -> Problem:
    return shop_week(7, count=40, weeks=1)


def quick(problem: Problem, seed: int = 0) -> Week:
    week = line_up(problem, watch=NO_CLOCK, seed=seed, effort=Effort(1_500, 1_000_000, 0.0))
    assert faults(problem, week) == ()
    return week


def test_the_same_seed_gives_the_same_week() -> None:
    first, again = quick(small_week(), 4), quick(small_week(), 4)
    assert first.placements == again.placements
    assert first.aims == again.aims


def test_a_pinned_run_stays_where_it_is_put() -> None:
    problem = small_week()
    week = quick(problem)
    one = week.placements[10]
    later = one.start + 30 if one.start + 30 + 40 < 1320 else one.start
    held = quick(pinned(problem, one.run, Pin(one.saw, later)))
    assert (held.of(one.run).saw, held.of(one.run).start) == (one.saw, later)


def test_a_refused_saw_is_not_used() -> None:
    problem = small_week()
    week = quick(problem)
    one = next(one for one in week.placements if len(problem.run(one.run).options) > 1)
    assert quick(refused(problem, one.run, one.saw)).of(one.run).saw != one.saw


def test_a_room_without_hours_is_proven_to_have_no_week() -> None:
    problem = random_room(random.Random(11))
    run = problem.runs[0]
    longer = replace(
        run,
        options=tuple(replace(one, loads=(replace(one.loads[0], cut=90),)) for one in run.options),
    )
    hopeless = replace(problem, runs=(longer, *problem.runs[1:]))
    assert enumerate_weeks(hopeless) is None
    week = line_up(hopeless, watch=NO_CLOCK, effort=EFFORT)
    assert week.status is Status.INFEASIBLE
    assert "no stretch of hours" in week.reasons[0]


def test_an_order_laid_by_hand_is_laid_as_it_stands() -> None:
    problem = small_week()
    found = quick(problem)
    row = found.sequences["saw 0"]
    dragged = {**found.sequences, "saw 0": (row[1], row[0], *row[2:])}
    week = as_ordered(problem, dragged, found.opened)
    assert faults(problem, week) == ()
    assert week.sequences == dragged
    again = as_ordered(problem, found.sequences, found.opened)
    assert [one.value for one in again.aims] == [one.value for one in found.aims]


def test_an_order_by_hand_that_leaves_a_run_out_is_a_mistake() -> None:
    problem = small_week()
    row = quick(problem).sequences
    with pytest.raises(InvalidValue):
        as_ordered(problem, {**row, "saw 0": row["saw 0"][1:]})


def test_an_order_by_hand_that_misses_a_pin_says_so() -> None:
    problem = small_week()
    found = quick(problem)
    last = found.on("saw 0")[-1]
    week = as_ordered(pinned(problem, last.run, Pin("saw 0", 360)), found.sequences)
    assert week.placements == ()
    assert "pinned start is missed" in week.reasons[0]


def test_the_wish_to_stop_is_heard_and_leaves_a_week() -> None:
    asked: list[int] = []

    def enough() -> bool:
        asked.append(1)
        return len(asked) > 3

    problem = small_week()
    watch = replace(NO_CLOCK, should_stop=enough)
    week = line_up(problem, watch=watch, effort=Effort(1_000_000, 10**12, 1e6))
    assert faults(problem, week) == ()
    assert len(week.placements) == len(problem.runs)


@pytest.mark.parametrize("seed", range(4000, 4008))
def test_proving_never_gives_up_what_the_search_has_found(seed: int) -> None:
    """A short search and little exact effort: the exact engine must not come back with a worse week."""
    problem = shop_week(seed, count=9, weeks=1)
    few, none = Effort(60, 1_000_000, 0.05), Effort(60, 1_000_000, 0.0)
    searched = line_up(problem, watch=NO_CLOCK, seed=seed, effort=none)
    proven = line_up(problem, watch=NO_CLOCK, seed=seed, effort=few)
    assert faults(problem, proven) == ()
    assert [one.value for one in proven.aims] <= [one.value for one in searched.aims]
