"""Charts against the handbook's examples, constants and run lengths against published tables."""

import numpy as np
import pytest

from kerfsmith.errors import InvalidValue
from kerfsmith.learning.charts.cusum import cusum
from kerfsmith.learning.charts.ewma import ewma
from kerfsmith.learning.charts.limits import range_mean, range_sd, singles_limits, subgroup_limits
from kerfsmith.learning.charts.run_length import cusum_length, ewma_length, shewhart_length
from kerfsmith.learning.charts.run_rules import WESTERN_ELECTRIC, Rule, broken_rules

FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]


def test_single_values() -> None:
    """Source: NIST/SEMATECH e-Handbook 6.3.2.2 (data and results from memory; they reproduce each other).

    The handbook's limits come from d2 rounded to 1.128.
    """
    found = singles_limits(FLOW)
    assert found.values.centre == pytest.approx(50.81)
    assert found.ranges.centre == pytest.approx(1.8778, abs=5e-5)
    assert found.values.lower == pytest.approx(45.8159, abs=2e-3)
    assert found.values.upper == pytest.approx(55.8041, abs=2e-3)


def test_weighted_average() -> None:
    """Source: NIST/SEMATECH e-Handbook 6.3.2.4 (memory)."""
    values = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, *FLOW]
    found = ewma(values, 50, 2.0539, weight=0.3, reach=3)
    assert found.limits.lower == pytest.approx(47.4115, abs=1e-4)
    assert found.limits.upper == pytest.approx(52.5884, abs=1e-4)
    assert found.averages[-1] == pytest.approx(51.99, abs=5e-3)
    assert found.signals == ()


def test_cumulative_sums() -> None:
    """Source: NIST/SEMATECH e-Handbook 6.3.2.3 (memory)."""
    values = [324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600]
    values += [324.625, 325.150, 328.325, 327.250, 327.829, 328.500, 326.675, 327.775, 326.875, 328.350]
    found = cusum(values, 325, 0.3175, 4.1959)
    assert found.upper[12] == pytest.approx(3.01, abs=5e-3)
    assert found.upper[13] == pytest.approx(4.94, abs=5e-3)
    assert found.upper[19] == pytest.approx(19.04, abs=5e-3)
    assert found.signals[0] == 13


@pytest.mark.parametrize(
    ("size", "mean", "sd"), [(2, 1.128, 0.853), (3, 1.693, 0.888), (5, 2.326, 0.864), (10, 3.078, 0.797)]
)
def test_constants_of_ranges(size: int, mean: float, sd: float) -> None:
    """Source: factors d2 and d3, Montgomery, Introduction to Statistical Quality Control, appendix
    (memory, good).
    """
    assert range_mean(size) == pytest.approx(mean, abs=6e-4)
    assert range_sd(size) == pytest.approx(sd, abs=6e-4)


def test_subgroups_have_the_tables_factors() -> None:
    """Source: A2 = 0.577, D3 = 0, D4 = 2.114 for subgroups of five, the same appendix (memory, good)."""
    groups = [[10.0, 11.0, 9.0, 10.5, 10.2], [9.8, 10.4, 10.9, 9.1, 10.0]]
    found = subgroup_limits(groups)
    mean_range = (2.0 + 1.8) / 2
    assert found.values.upper - found.values.centre == pytest.approx(0.577 * mean_range, abs=1e-3)
    assert found.ranges.upper == pytest.approx(2.114 * mean_range, abs=2e-3)
    assert found.ranges.lower == 0


def test_unequal_subgroups_and_single_values_alone_are_refused() -> None:
    with pytest.raises(InvalidValue):
        subgroup_limits([[1.0, 2.0], [1.0]])
    with pytest.raises(InvalidValue):
        singles_limits([1.0])


def test_run_lengths_of_single_points() -> None:
    """Source: 1 / 0.0027 and Montgomery's curve for a shift of one (memory, good)."""
    assert shewhart_length() == pytest.approx(370.4, abs=0.05)
    assert shewhart_length(1.0) == pytest.approx(43.9, abs=0.05)


@pytest.mark.parametrize(
    ("shift", "published"),
    [(0, 465), (0.25, 139), (0.5, 38.0), (0.75, 17.0), (1, 10.4), (1.5, 5.75), (2, 4.01), (3, 2.57)],
)
def test_run_lengths_of_sums(shift: float, published: float) -> None:
    """Source: slack 0.5, limit 5, after Lucas and Crosier 1982, in Montgomery's table (memory, good)."""
    assert cusum_length(shift) == pytest.approx(published, rel=5e-3)


@pytest.mark.parametrize(("shift", "published"), [(0, 391), (0.5, 37.2), (1, 10.2), (2, 3.77)])
def test_run_lengths_of_sums_with_single_points(shift: float, published: float) -> None:
    """Source: single points at 3.5 beside the sums, Lucas 1982, in Montgomery's table (memory, good).

    Joining two sides by their rates is exact for sums alone and close here, hence 2 %. Our own simulation of
    20 000 runs gave 395.5 with a standard error of 2.8.
    """
    assert cusum_length(shift, single=3.5) == pytest.approx(published, rel=0.02)


@pytest.mark.parametrize(
    ("weight", "reach", "lengths"),
    [
        (0.2, 2.962, {0: 500, 0.25: 150, 0.5: 41.8, 0.75: 18.2, 1: 10.5, 1.5: 5.5, 2: 3.7}),
        (0.1, 2.814, {0: 500, 0.25: 106, 0.5: 31.3, 0.75: 15.9, 1: 10.3, 1.5: 6.1, 2: 4.4}),
    ],
)
def test_run_lengths_of_weighted_averages(weight: float, reach: float, lengths: dict[float, float]) -> None:
    """Source: Lucas and Saccucci 1990, in Montgomery's table (memory, good), printed to three digits."""
    for shift, published in lengths.items():
        assert ewma_length(shift, weight, reach) == pytest.approx(published, rel=0.012)


def test_run_length_of_the_four_rules() -> None:
    """Source: Champ and Woodall 1987: 91.75 for all four rules (memory, good); here by simulation.

    600 runs: the standard error is about 91 / sqrt(600) = 3.7, and the test allows three of it.
    """
    rng = np.random.default_rng(4)
    lengths = []
    for _ in range(600):
        points: list[float] = []
        while True:
            points.append(float(rng.normal()))
            tail = points[-8:]
            if any(at == len(tail) - 1 for at, _ in broken_rules(tail, WESTERN_ELECTRIC)):
                break
        lengths.append(len(points))
    assert float(np.mean(lengths)) == pytest.approx(91.75, abs=11)


@pytest.mark.parametrize(
    ("points", "rule", "place"),
    [
        ([0.1, -0.2, 3.2], Rule.BEYOND, 2),
        ([2.1, 0.3, 2.4], Rule.TWO_OF_THREE, 2),
        ([1.2, 1.4, 0.2, 1.1, 1.3], Rule.FOUR_OF_FIVE, 4),
        ([0.1, 0.3, 0.2, 0.6, 0.1, 0.2, 0.4, 0.3], Rule.EIGHT_ALIKE, 7),
        ([-0.5, -0.3, -0.1, 0.2, 0.4, 0.8], Rule.SIX_RISING, 5),
        ([0.2, -0.2] * 7, Rule.FOURTEEN_ZIGZAG, 13),
        ([0.5, 0.4, -0.5] * 5, Rule.FIFTEEN_CLOSE, 14),
        ([1.5, -1.5, -1.2, 1.4, 1.2, -1.3, 1.1, -1.6], Rule.EIGHT_AWAY, 7),
    ],
)
def test_each_rule_finds_its_pattern(points: list[float], rule: Rule, place: int) -> None:
    """Source: the rules' own words (Western Electric 1956, Nelson 1984)."""
    assert broken_rules(points, [rule]) == ((place, rule),)
    assert broken_rules([point / 10 for point in points[:-1]], [rule]) == ()
