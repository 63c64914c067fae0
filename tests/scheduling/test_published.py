"""Published instances with known optima: OR-Library's weighted tardiness with 40 jobs (see
data/README.md).
"""

import pytest
from tests.scheduling.rooms import NO_CLOCK, published_tardiness

from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.problem import Problem
from kerfsmith.scheduling.solve import Effort, line_up


@pytest.mark.parametrize(("number", "optimum", "problem"), published_tardiness())
def test_search_reaches_the_published_optimum_and_no_bound_passes_it(
    number: int, optimum: int, problem: Problem
) -> None:
    week = line_up(problem, watch=NO_CLOCK, seed=2, effort=Effort(90_000, 150_000_000, 0.0))
    assert faults(problem, week) == ()
    (aim,) = week.aims
    assert aim.value == optimum
    assert aim.bound is not None
    assert aim.bound <= optimum
    # the hard instances (from number 6 on) are proven to half a per cent by pricing alone
    assert number < 6 or aim.bound >= 0.995 * optimum
