"""Late work and its cause: each kind made by hand on one saw."""

from dataclasses import replace
from types import MappingProxyType

from tests.scheduling.rooms import NO_CLOCK, one_saw, published_tardiness

from kerfsmith.scheduling.calendar import Calendar, Stop, Window
from kerfsmith.scheduling.causes import Blame, Cause, causes
from kerfsmith.scheduling.problem import Aim, Load, Option, Problem, Run, Saw
from kerfsmith.scheduling.result import AimValue, Status
from kerfsmith.scheduling.solve import Effort, line_up
from kerfsmith.scheduling.words import amount, headline, standing
from kerfsmith.units.told import Told


def run(name: str, cut: int, due: int | None, band: str = "a", crane: int = 0, release: int = 0) -> Run:
    return Run(name, (Option("saw", band, (Load(crane, 0, cut),)),), due, release)


def only(problem: Problem) -> Cause:
    week = line_up(problem, watch=NO_CLOCK, effort=Effort(200, 100_000, 1.0))
    (cause,) = causes(problem, week)
    return cause


def room(*runs: Run, stops: tuple[Stop, ...] = (), set_up: int = 0) -> Problem:
    table = MappingProxyType({("", "a"): set_up, ("", "b"): set_up, ("a", "b"): set_up, ("b", "a"): set_up})
    saw = Saw("saw", Calendar((Window(0, 500),), stops), "Big saw", set_ups=table)
    return Problem(runs, (saw,), 500, aims=(Aim.TARDINESS,))


def test_a_due_time_that_no_plan_can_meet() -> None:
    cause = only(room(run("r", 50, 40)))
    assert (cause.blame, cause.late) == (Blame.DUE, 10)
    assert "fewer hours than it takes" in cause.text


def test_a_stop() -> None:
    cause = only(room(run("r", 50, 60), stops=(Stop(0, 30),)))
    assert (cause.blame, cause.late, cause.ticks[Blame.STOP]) == (Blame.STOP, 20, 30)


def test_a_band_change() -> None:
    cause = only(room(run("r", 50, 60), set_up=15))
    assert (cause.blame, cause.late, cause.ticks[Blame.BAND]) == (Blame.BAND, 5, 15)


def test_other_work_ahead_of_it_is_named() -> None:
    cause = only(room(run("first", 60, 60), run("second", 50, 70)))
    assert (cause.run, cause.blame, cause.ahead) == ("second", Blame.LOAD, ("first",))
    assert "Big saw" in cause.text
    assert "first" in cause.text


def test_the_crane() -> None:
    one = room(run("r", 30, 45, crane=10))
    other = Saw("other", Calendar((Window(0, 500),)))
    heavy = Run("heavy", (Option("other", "a", (Load(30, 0, 1),)),), 31, weight=50)
    cause = only(replace(one, saws=(*one.saws, other), runs=(*one.runs, heavy)))
    assert (cause.run, cause.blame, cause.ticks[Blame.WAIT]) == ("r", Blame.WAIT, 30)


def test_the_ticks_of_all_kinds_add_up() -> None:
    """On a published instance, single saw without stops: what isn't other work is the run's own."""
    _, _, problem = published_tardiness()[0]
    week = line_up(problem, watch=NO_CLOCK, effort=Effort(2_000, 100_000, 0.0))
    for cause in causes(problem, week):
        own = problem.run(cause.run).options[0].ticks
        assert own + sum(cause.ticks.values()) == week.of(cause.run).end


def test_words() -> None:
    assert amount(Aim.CHANGES, 3, 60) == "3 band changes"
    assert amount(Aim.HOURS, 90, 60) == "1.5 h of saws and overtime"
    assert standing(AimValue(Aim.LATE, 4, 4, "x"), 60) == "4 pieces late; no week does better"
    says = standing(AimValue(Aim.CHANGES, 10, 8, "the bands that must be mounted"), 60)
    assert "no week can do better than 8 band changes, at most 20% to gain" in says
    assert "isn't known" in standing(AimValue(Aim.LATE, 4, None), 60)
    week = line_up(one_saw([3, 4], (Aim.MAKESPAN,)), watch=NO_CLOCK)
    assert week.status is Status.OPTIMAL
    assert headline(week).startswith("No week does better")
    assert "There is no such week" in headline(
        replace(week, status=Status.INFEASIBLE, reasons=(Told("why"),))
    )
