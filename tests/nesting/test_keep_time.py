"""The integer solver is held to the clock it was given; the clock here is made up and leaps."""

import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from random import Random

import highspy
import numpy as np
import pytest

from kerfsmith.nesting.engines.columns.problem import Column, Problem
from kerfsmith.nesting.engines.columns.recombine import Recombined, recombine
from kerfsmith.nesting.engines.columns.run import LATE, Run
from kerfsmith.nesting.engines.keep_time import BUSY, keep_time
from kerfsmith.nesting.engines.mip import Answer, Program
from kerfsmith.nesting.stop import Watch, Work


@dataclass
class Leaping:
    """A clock that stands still until it has been asked ``after`` times, and is an hour on from then."""

    after: int
    asked: int = 0

    def __call__(self) -> float:
        self.asked += 1
        return 3600.0 if self.asked > self.after else 0.0


def market_split(seed: int) -> tuple[list[list[int]], list[int]]:
    """Rows of coefficients and what each must add up to: half of its sum (G. Cornuejols, M. Dawande, "A class
    of hard small 0-1 programs", 1998). Forty variables and five rows are beyond any branching in minutes."""
    rng = Random(seed)
    rows = [[rng.randrange(100) for _ in range(40)] for _ in range(5)]
    return rows, [sum(row) // 2 for row in rows]


def solved(now: Callable[[], float]) -> Answer:
    """A hard program, as far as the clock lets it be solved."""
    return solved_within(Watch(now, 0.0, 600.0))


def solved_within(watch: Watch) -> Answer:
    """A hard program, as far as the watch lets it be solved."""
    program, (rows, halves) = Program(), market_split(1)
    chosen = [program.variable(1) for _ in range(40)]
    for row, half in zip(rows, halves, strict=True):
        program.row(dict(zip(chosen, row, strict=True)), half, half)
    return program.solve(dict.fromkeys(chosen, 1), watch, seed=1)


def test_a_program_ends_when_the_clock_it_was_given_has_run_out() -> None:
    clock = Leaping(after=20)
    assert solved(clock).ended == "open"
    # Asked once for the time left, then between steps; within a few steps of its leap the search was over.
    assert 20 < clock.asked < 60


def recombined(
    clock: Callable[[], float], work_s: float | None, deadline: float | None, should_stop: Callable[[], bool]
) -> Recombined:
    """Sixty made-up patterns of five sizes, cut so often that each size comes out exactly: a market split
    again, since hardly any way of cutting them hits five numbers of five digits."""
    return recombine(*puzzle(clock, deadline, should_stop), 60, exact=True, work_s=work_s)


def puzzle(
    clock: Callable[[], float], deadline: float | None, should_stop: Callable[[], bool]
) -> tuple[Run, list[Column]]:
    """The run of that market split, and its patterns."""
    rng = Random(7)
    patterns: list[Column] = [(0, tuple((i, rng.randrange(1, 9_999)) for i in range(5))) for _ in range(60)]
    demands = [sum(counts[i][1] for _, counts in patterns[:30]) + 1 for i in range(5)]
    problem = Problem([5, 4, 3, 2, 1], demands, [200_000], [None], [1])
    return Run(problem, clock, should_stop, deadline, Random(1)), patterns


@pytest.mark.parametrize("clock", [Leaping(after=9), lambda: 0.0], ids=["leaps", "stands still"])
def test_patterns_put_together_until_the_clock_struck_are_told_as_late(clock: Callable[[], float]) -> None:
    # A clock that stands still: the wall ends the search, which no clock of the run would tell.
    run, patterns = puzzle(clock, 0.05, lambda: False)
    assert recombine(run, patterns, 60, exact=True).outcome == "open"
    assert run.counters[LATE]


def test_a_program_ended_by_the_wall_and_not_by_its_work_is_told() -> None:
    # The guard's clock stands still as a clock of processor time does on a machine at other work.
    work = Work(Watch(lambda: 0.0, 0.0, 0.05))
    assert solved_within(work.watch(600.0)).ended == "open"
    assert work.cut_short


def test_a_program_ended_by_its_work_is_not_told_as_late() -> None:
    work = Work(Watch(lambda: 0.0, 0.0, 600.0))
    assert solved_within(work.watch(0.05)).ended == "open"
    assert not work.cut_short


@pytest.mark.parametrize("work_s", [None, 600.0])
def test_patterns_are_put_together_by_the_clock_of_the_run(work_s: float | None) -> None:
    clock = Leaping(after=9)
    assert recombined(clock, work_s, 5.0, lambda: False).outcome == "open"
    assert 9 < clock.asked < 40


def steps_of_work(clock: Callable[[], float], deadline: float | None) -> int:
    """How often half a second of work asks whether to stop before it ends."""
    asked: list[bool] = []

    def never() -> bool:
        asked.append(True)
        return False

    assert recombined(clock, 0.5, deadline, never).outcome == "open"
    return len(asked)


def test_a_limit_of_work_is_reached_at_the_same_step_whatever_the_clock() -> None:
    assert steps_of_work(Leaping(after=9), None) == steps_of_work(lambda: 0.0, 600.0) > 9


def settings(columns: int, seconds: float | None, entries: int = 4) -> tuple[float, str]:
    """The solver's time limit, but for its allowance, and its reductions, for columns of so many entries."""
    model = highspy.Highs()
    model.silent()
    for _ in range(entries):
        model.addRow(0.0, 1.0, 0, [], [])
    places = np.tile(np.arange(entries, dtype=np.int32), columns)
    starts = np.arange(0, columns * entries, entries, dtype=np.int32)
    zeros, ones = np.zeros(columns), np.ones(columns)
    model.addCols(columns, zeros, zeros, ones, len(places), starts, places, np.ones(len(places)))
    keep_time(model, seconds, columns, lambda: False)
    values = [model.getOptionValue(name)[1] for name in ("time_limit", "presolve")]
    return float(values[0]) / BUSY, str(values[1])


def test_reductions_that_heed_no_limit_are_left_out_where_they_would_outlast_it() -> None:
    # By the measured figure: 0.5 s x 3 x 12 = 18 s for 30,000 columns of 4 entries; 0.5 x 0.8 x 3.2 = 1.3 s
    # for 8,000, and twice that where they have 8 entries. A quarter of the time may go by.
    assert settings(30_000, 5.0) == (5.0, "off")
    assert settings(30_000, 100.0) == (100.0, "choose")
    assert settings(8_000, 6.0) == (6.0, "choose")
    assert settings(8_000, 6.0, entries=8) == (6.0, "off")
    assert settings(1_000, 0.25) == (0.25, "choose")
    assert settings(30_000, None) == (float("inf"), "choose")


CAME_DOWN = """
import sys, highspy
from kerfsmith.nesting.engines.keep_time import keep_time
for seed in range(12):
    model = highspy.Highs()
    model.silent()
    for name in ("primal_feasibility_tolerance", "dual_feasibility_tolerance", "mip_feasibility_tolerance"):
        model.setOptionValue(name, 1e-9)
    model.setOptionValue("mip_rel_gap", 0.0)
    model.setOptionValue("threads", 1)
    model.setOptionValue("random_seed", seed)
    model.readModel(sys.argv[1])
    keep_time(model, 60.0, model.getNumCol(), lambda: False)
    model.run()
    assert model.getModelStatus() == highspy.HighsModelStatus.kOptimal
    assert round(model.getInfo().objective_function_value) == 1
"""


def test_a_program_that_brought_the_solver_down_is_solved() -> None:
    """A bought bar's program with prices in millionths: its rows came to be read past their end in 1.12, as
    public reports of that solver tell of large figures too. In a process of its own, since it may die."""
    model = str(Path(__file__).parent / "data" / "forcing_rows.mps")
    asked = [sys.executable, "-c", CAME_DOWN, model]
    run = subprocess.run(asked, capture_output=True, text=True, check=False, timeout=300)
    assert run.returncode == 0, run.stderr
