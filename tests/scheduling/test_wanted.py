"""Due times of single pieces: engines agree with trying every week, and the referee counts as they do."""

import random
from dataclasses import replace

import pytest
from tests.scheduling.rooms import NO_CLOCK, random_room

from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.calendar import Calendar, Window
from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.engines.bounds import bounds_by_counting
from kerfsmith.scheduling.engines.slow import enumerate_weeks
from kerfsmith.scheduling.problem import NO_BAND, Aim, Load, Option, Problem, Run, Saw, Wanted
from kerfsmith.scheduling.result import Status
from kerfsmith.scheduling.solve import Effort, as_ordered, line_up
from kerfsmith.scheduling.wanted import lines_of, wanted_of, with_one_due

EFFORT = Effort(steps=400, starts=2_000_000, exact=2.0)
DUE_AIMS = (
    (Aim.TARDINESS, Aim.LATE, Aim.HOURS, Aim.CHANGES),
    (Aim.LATE, Aim.TARDINESS),
    (Aim.MAX_LATENESS,),
)


def with_lines(problem: Problem, rng: random.Random, looser: int = 0) -> Problem:
    """The room with due times at each load's pieces, of one or two lines."""

    def load(one: Load) -> Load:
        lines = rng.sample(("a", "b"), rng.randint(0, 2))
        return replace(
            one,
            wanted=tuple(
                Wanted(rng.randint(2, 30) + looser, rng.randint(1, 4), line, line.upper()) for line in lines
            ),
        )

    def run(one: Run) -> Run:
        options = tuple(replace(o, loads=tuple(load(two) for two in o.loads)) for o in one.options)
        return replace(one, options=options)

    return replace(problem, runs=tuple(run(one) for one in problem.runs))


@pytest.mark.parametrize("seed", range(5000, 5080))
def test_line_up_finds_what_trying_every_week_finds(seed: int) -> None:
    rng = random.Random(seed)
    problem = replace(with_lines(random_room(rng, most_runs=3), rng), aims=rng.choice(DUE_AIMS))
    slow = enumerate_weeks(problem)
    week = line_up(problem, watch=NO_CLOCK, effort=EFFORT)
    assert faults(problem, week) == ()
    assert (week.status is Status.INFEASIBLE) == (slow is None)
    if slow is not None:
        assert tuple(one.value for one in week.aims) == slow.values
        first = problem.aims[0]
        assert bounds_by_counting(problem)[first][0] <= slow.values[0]


@pytest.mark.parametrize("seed", range(5100, 5115))
def test_a_line_wanted_later_never_costs_more(seed: int) -> None:
    def made(looser: int) -> Problem:
        rng = random.Random(seed)
        return replace(with_lines(random_room(rng, most_runs=3), rng, looser), aims=DUE_AIMS[0])

    tight = line_up(made(0), watch=NO_CLOCK, effort=EFFORT)
    loose = line_up(made(3), watch=NO_CLOCK, effort=EFFORT)
    if tight.status is loose.status is Status.OPTIMAL:
        assert [one.value for one in loose.aims] <= [one.value for one in tight.aims]


def two_bars(*wanted: tuple[Wanted, ...]) -> Problem:
    """One run of as many bars of ten ticks each, on a saw that is never left alone."""
    loads = tuple(Load(0, 0, 10, one) for one in wanted)
    saw = Saw("saw", Calendar((Window(0, 100),)))
    run = Run("run", (Option("saw", NO_BAND, loads),), due=5, weight=9)
    return Problem((run,), (saw,), 100, crane=None, aims=DUE_AIMS[0])


def test_each_piece_counts_when_its_bar_is_done() -> None:
    problem = two_bars((Wanted(12, 3, "a", "A"),), (Wanted(12, 2, "a", "A"), Wanted(15, 4, "b", "B")))
    week = as_ordered(problem, {"saw": ("run",)})
    # Bars end at 10 and 20: three pieces in time; two 8 ticks late, four 5 ticks late.
    assert week.value(Aim.TARDINESS) == 2 * 8 + 4 * 5
    assert week.value(Aim.LATE) == 6
    lines = lines_of(problem, week.of("run"))
    assert [(one.mark, one.pieces, one.late_pieces, one.late, one.done) for one in lines] == [
        ("A", 5, 2, 8, 20),
        ("B", 4, 4, 5, 20),
    ]


def test_without_lines_the_whole_run_is_wanted_at_once() -> None:
    problem = two_bars((), ())
    (run,) = problem.runs
    assert wanted_of(run, run.options[0]) == ((1, Wanted(5, 9)),)
    assert as_ordered(problem, {"saw": ("run",)}).value(Aim.TARDINESS) == 9 * 15


def test_one_due_time_a_run_is_never_dearer() -> None:
    for seed in range(5200, 5240):
        rng = random.Random(seed)
        problem = replace(with_lines(random_room(rng, most_runs=2), rng), aims=DUE_AIMS[0])
        full, loose = enumerate_weeks(problem), enumerate_weeks(with_one_due(problem))
        if full is not None:
            assert loose is not None
            assert loose.values[0] <= full.values[0]


def test_no_pieces_are_not_wanted() -> None:
    with pytest.raises(InvalidValue):
        Wanted(1, 0)
