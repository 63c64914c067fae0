"""Published instances of cutting stock, solved to proof.

Sources: Scholl, Klein, Juergens 1997 (three sets) and Falkenauer 1996 (uniform, triplets); see
``benchmarks/nesting/published.py``, which runs all 1,370 of them.
"""

import time

import pytest
from benchmarks.nesting.families import Case
from benchmarks.nesting.published import SCHOLL_3, faults, published

from kerfsmith.nesting.engines.columns import ColumnsResult, solve_columns

ALL = tuple(published())
HARD = [case for key, case in ALL if key == "hard"]
SPREAD = [case for _, case in ALL[::60]]


def solved(case: Case) -> ColumnsResult:
    return solve_columns(
        case.instance, seconds=60.0, seed=1, should_stop=lambda: False, now=time.process_time
    )


def test_all_are_there() -> None:
    """720 + 480 + 10 instances of Scholl, Klein, Juergens; 80 + 80 of Falkenauer."""
    assert len(ALL) == 1370


@pytest.mark.parametrize("case", SPREAD, ids=lambda case: case.name)
def test_spread_over_all_families(case: Case) -> None:
    result = solved(case)
    assert result.status == "optimal"
    assert not faults(case.instance, result)
    assert case.optimum in (None, result.cost)


def test_the_third_set_has_its_known_optima() -> None:
    assert tuple(solved(case).cost for case in HARD) == SCHOLL_3
