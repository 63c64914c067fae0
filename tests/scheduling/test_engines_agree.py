"""The quick engines against the slow and honest one on random rooms with a bit of everything in them."""

import random

import pytest
from tests.scheduling.rooms import NO_CLOCK, random_room

from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.engines.slow import enumerate_weeks
from kerfsmith.scheduling.result import Status
from kerfsmith.scheduling.solve import Effort, line_up

EFFORT = Effort(steps=400, starts=2_000_000, exact=2.0)


@pytest.mark.parametrize("seed", range(60))
def test_line_up_finds_what_trying_every_week_finds(seed: int) -> None:
    problem = random_room(random.Random(seed))
    best = enumerate_weeks(problem)
    week = line_up(problem, watch=NO_CLOCK, seed=seed, effort=EFFORT)
    assert faults(problem, week) == ()
    if best is None:
        assert week.status is Status.INFEASIBLE
        assert week.reasons
        return
    assert tuple(one.value for one in week.aims) == best.values
    for one in week.aims:
        assert one.bound is None or one.bound <= one.value
