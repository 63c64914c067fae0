"""Random instances of the textbook problems against the rules and algorithms proven best for them.

Sources, each named again at its check:

- Jackson, "Scheduling a production line to minimize maximum tardiness" (1955): earliest due date first.
- Moore, "An n job, one machine sequencing algorithm for minimizing the number of late jobs" (Management
  Science 15, 1968), in Hodgson's form.
- Smith, "Various optimizers for single-stage production" (Naval Research Logistics Quarterly 3, 1956).
- Graham, "Bounds on multiprocessing timing anomalies" (SIAM Journal on Applied Mathematics 17, 1969).
- Held and Karp, "A dynamic programming approach to sequencing problems" (Journal of SIAM 10, 1962).
- Lawler and Moore, "A functional equation and its application to resource allocation and sequencing problems"
  (Management Science 16, 1969).
"""

import heapq
import random
from functools import cache

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from tests.scheduling.rooms import NO_CLOCK, many_saws, one_saw, open_saw

from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.problem import Aim, Load, Option, Problem, Run
from kerfsmith.scheduling.result import Status, Week
from kerfsmith.scheduling.solve import Effort, line_up

EFFORT = Effort(steps=3_000, starts=30_000_000, exact=4.0)


def solved(problem: Problem, effort: Effort = EFFORT) -> Week:
    week = line_up(problem, watch=NO_CLOCK, seed=3, effort=effort)
    assert faults(problem, week) == ()
    return week


def figures(seed: int, count: int) -> tuple[list[int], list[int], list[int]]:
    rng = random.Random(seed)
    times = [rng.randint(1, 30) for _ in range(count)]
    whole = sum(times)
    dues = [rng.randint(whole // 6, whole) for _ in range(count)]
    return times, dues, [rng.randint(1, 9) for _ in range(count)]


@pytest.mark.parametrize("seed", range(8))
def test_worst_lateness_is_that_of_the_earliest_due_date_rule(seed: int) -> None:
    times, dues, _ = figures(seed, 25)
    t, worst = 0, -(10**9)
    for due, ticks in sorted(zip(dues, times, strict=True)):
        t += ticks
        worst = max(worst, t - due)
    week = solved(one_saw(times, (Aim.MAX_LATENESS,), dues))
    assert (week.value(Aim.MAX_LATENESS), week.status) == (worst, Status.OPTIMAL)


@pytest.mark.parametrize("seed", range(8))
def test_number_of_late_runs_is_that_of_moore_and_hodgson(seed: int) -> None:
    times, dues, _ = figures(100 + seed, 14)
    kept: list[int] = []
    t = 0
    for due, ticks in sorted(zip(dues, times, strict=True)):
        heapq.heappush(kept, -ticks)
        t += ticks
        if t > due:
            t += heapq.heappop(kept)
    week = solved(one_saw(times, (Aim.LATE,), dues))
    assert (week.value(Aim.LATE), week.status) == (len(times) - len(kept), Status.OPTIMAL)


@pytest.mark.parametrize("seed", range(6))
def test_weight_of_late_runs_is_that_of_lawler_and_moore(seed: int) -> None:
    times, dues, weights = figures(200 + seed, 10)
    least = {0: 0}
    for due, ticks, weight in sorted(zip(dues, times, weights, strict=True)):
        after: dict[int, int] = {}
        for t, cost in least.items():
            after[t] = min(after.get(t, 10**9), cost + weight)
            if t + ticks <= due:
                after[t + ticks] = min(after.get(t + ticks, 10**9), cost)
        least = after
    week = solved(one_saw(times, (Aim.LATE,), dues, weights))
    assert (week.value(Aim.LATE), week.status) == (min(least.values()), Status.OPTIMAL)


@pytest.mark.parametrize("seed", range(6))
def test_weighted_completion_is_that_of_smiths_ratio(seed: int) -> None:
    times, _, weights = figures(300 + seed, 20)
    t = total = 0
    for ticks, weight in sorted(zip(times, weights, strict=True), key=lambda one: one[0] / one[1]):
        t += ticks
        total += weight * t
    week = solved(one_saw(times, (Aim.COMPLETION,), weights=weights), Effort(3_000, 30_000_000, 0.0))
    assert week.value(Aim.COMPLETION) == total
    bound = week.aims[0].bound
    assert bound is not None
    assert 0.97 * total <= bound <= total


@pytest.mark.parametrize("seed", range(5))
def test_weighted_tardiness_is_that_of_all_subsets(seed: int) -> None:
    """Held and Karp's recursion over the set of runs that go first."""
    times, dues, weights = figures(400 + seed, 11)
    everything = (1 << len(times)) - 1

    @cache
    def least(first: int) -> int:
        if first == 0:
            return 0
        t = sum(ticks for k, ticks in enumerate(times) if first >> k & 1)
        return min(
            least(first & ~(1 << k)) + weights[k] * max(0, t - dues[k])
            for k in range(len(times))
            if first >> k & 1
        )

    week = solved(one_saw(times, (Aim.TARDINESS,), dues, weights))
    assert (week.value(Aim.TARDINESS), week.status) == (least(everything), Status.OPTIMAL)


@pytest.mark.parametrize("seed", range(5))
def test_set_ups_are_those_of_the_shortest_round_through_all_bands(seed: int) -> None:
    """A saw with a band for each run and set-ups of any length: Held and Karp's shortest path through all."""
    rng = random.Random(500 + seed)
    count = 8
    bands = [f"b{k}" for k in range(count)]
    table = {(a, b): rng.randint(1, 40) for a in ("", *bands) for b in bands if a != b}
    everything = (1 << count) - 1

    @cache
    def least(done: int, last: int) -> int:
        rest = done & ~(1 << last)
        if rest == 0:
            return table["", bands[last]]
        before = [k for k in range(count) if rest >> k & 1]
        return min(least(rest, k) + table[bands[k], bands[last]] for k in before)

    shortest = min(least(everything, last) for last in range(count))
    runs = tuple(Run(f"r{k}", (Option("saw", bands[k], (Load(0, 0, 5),)),)) for k in range(count))
    horizon = 1_000
    for aims in ((Aim.MAKESPAN,), (Aim.HOURS,)):
        problem = Problem(runs, (open_saw("saw", horizon, set_ups=table),), horizon, crane=None, aims=aims)
        week = solved(problem)
        assert (week.aims[0].value, week.status) == (shortest + 5 * count, Status.OPTIMAL)


@pytest.mark.parametrize("seed", range(6))
def test_unrelated_saws_end_when_an_integer_program_says(seed: int) -> None:
    """R||Cmax as an assignment of runs to saws, solved by scipy's own solver."""
    rng = random.Random(600 + seed)
    jobs, saws = 12, 3
    times = [[rng.randint(5, 40) for _ in range(saws)] for _ in range(jobs)]
    cost = np.zeros(jobs * saws + 1)
    cost[-1] = 1
    once = np.zeros((jobs, jobs * saws + 1))
    load = np.zeros((saws, jobs * saws + 1))
    for k in range(jobs):
        for m in range(saws):
            once[k, k * saws + m] = 1
            load[m, k * saws + m] = times[k][m]
    load[:, -1] = -1
    kinds = np.ones(jobs * saws + 1, dtype=np.int64)
    kinds[-1] = 0
    upper = np.ones(jobs * saws + 1)
    upper[-1] = np.inf
    answer = milp(
        cost,
        integrality=kinds,
        bounds=Bounds(np.zeros(jobs * saws + 1), upper),
        constraints=[LinearConstraint(once, 1, 1), LinearConstraint(load, -np.inf, 0)],
    )
    week = solved(many_saws(times, (Aim.MAKESPAN,)))
    assert answer.fun is not None
    assert (week.value(Aim.MAKESPAN), week.status) == (round(answer.fun), Status.OPTIMAL)


def test_longest_first_on_grahams_worst_case_is_beaten() -> None:
    """Graham 1969: 5,5,4,4,3,3,3 on three saws take 11 by longest first and 9 at best (11/9 = 4/3 - 1/9)."""
    week = solved(many_saws([[ticks] * 3 for ticks in (5, 5, 4, 4, 3, 3, 3)], (Aim.MAKESPAN,)))
    assert (week.value(Aim.MAKESPAN), week.status) == (9, Status.OPTIMAL)
