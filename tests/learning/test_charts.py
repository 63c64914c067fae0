"""Charts against the handbook's examples, constants and run lengths against published tables."""

import numpy as np
import pytest

from kerfsmith.errors import InvalidValue
from kerfsmith.learning.charts.cusum import cusum
from kerfsmith.learning.charts.ewma import ewma
from kerfsmith.learning.charts.limits import range_mean, range_sd, singles_limits
from kerfsmith.learning.charts.run_length import cusum_length, ewma_length, shewhart_length
from kerfsmith.learning.charts.run_rules import WESTERN_ELECTRIC, Rule, broken_rules
from kerfsmith.learning.charts.subgroup_limits import Spread, sd_mean, subgroup_limits

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


@pytest.mark.parametrize(
    ("size", "c4", "a2", "a3", "b3", "b4", "d3", "d4"),
    [
        (2, 0.7979, 1.880, 2.659, 0, 3.267, 0, 3.267),
        (3, 0.8862, 1.023, 1.954, 0, 2.568, 0, 2.574),
        (5, 0.9400, 0.577, 1.427, 0, 2.089, 0, 2.114),
        (7, 0.9594, 0.419, 1.182, 0.118, 1.882, 0.076, 1.924),
        (10, 0.9727, 0.308, 0.975, 0.284, 1.716, 0.223, 1.777),
    ],
)
def test_factors_of_subgroups(
    size: int, c4: float, a2: float, a3: float, b3: float, b4: float, d3: float, d4: float
) -> None:
    """Source: Montgomery, Introduction to Statistical Quality Control, appendix VI (memory, good)."""
    groups = [[float(at % 3) for at in range(size)], [float(at % 2) for at in range(size)]]
    ranges, sds = (subgroup_limits(groups, spread) for spread in (Spread.RANGE, Spread.SD))
    assert sd_mean(size) == pytest.approx(c4, abs=6e-5)
    assert ranges.mean_factor(size) == pytest.approx(a2, abs=1e-3)
    assert sds.mean_factor(size) == pytest.approx(a3, abs=6e-4)
    assert sds.spread_factors(size) == pytest.approx((b3, b4), abs=6e-4)
    assert ranges.spread_factors(size) == pytest.approx((d3, d4), abs=1.2e-3)


def group_of(size: int, mean: float, spread: float, kind: Spread) -> list[float]:
    """``size`` values with that mean, and that range or standard deviation."""
    values = np.linspace(-1.0, 1.0, size)
    return [float(mean + spread * value / kind.of(values.tolist())) for value in values]


def test_means_and_ranges_of_flow_width() -> None:
    """Source: Montgomery, example 6.1, hard-bake: 25 samples of five, mean 1.5056, mean range 0.32521; limits
    1.31795 and 1.69325, of ranges 0 and 0.68749 (memory, good). He reckons with A2 0.577 and D4 2.114.
    """
    found = subgroup_limits([group_of(5, 1.5056, 0.32521, Spread.RANGE)] * 25, Spread.RANGE)
    assert found.centre == pytest.approx(1.5056)
    assert found.means(5).lower == pytest.approx(1.31795, abs=2e-4)
    assert found.means(5).upper == pytest.approx(1.69325, abs=2e-4)
    assert found.spreads(5).lower == 0
    assert found.spreads(5).upper == pytest.approx(0.68749, abs=5e-4)
    # His estimate of the standard deviation: 0.32521 / 2.326 = 0.1398.
    assert found.sd == pytest.approx(0.1398, abs=5e-5)


def test_means_and_standard_deviations_of_piston_rings() -> None:
    """Source: Montgomery, example 6.3: 25 samples of five, mean 74.001, mean standard deviation 0.0094;
    limits 73.988 and 74.014, of standard deviations 0 and 0.0196 (memory, good).
    """
    found = subgroup_limits([group_of(5, 74.001, 0.0094, Spread.SD)] * 25, Spread.SD)
    assert found.means(5).lower == pytest.approx(73.988, abs=5e-4)
    assert found.means(5).upper == pytest.approx(74.014, abs=5e-4)
    assert found.spreads(5).lower == 0
    assert found.spreads(5).upper == pytest.approx(0.0196, abs=5e-5)


@pytest.mark.parametrize(
    ("size", "low", "high", "most"),
    [(5, 73.986, 74.016, 0.022), (3, 73.981, 74.021, 0.026), (4, 73.984, 74.018, 0.023)],
)
def test_limits_step_with_the_size_of_the_subgroup(size: int, low: float, high: float, most: float) -> None:
    """Source: Montgomery, example 6.4, piston rings in samples of 3, 4 and 5, mean 74.001, pooled standard
    deviation 0.0103 (memory, good).
    """
    groups = [group_of(each, 74.001, 0.0103, Spread.SD) for each in (5, 3, 5, 5, 4)]
    found = subgroup_limits(groups, Spread.SD)
    assert found.mean_spread == pytest.approx(0.0103)
    assert found.means(size).lower == pytest.approx(low, abs=6e-4)
    assert found.means(size).upper == pytest.approx(high, abs=6e-4)
    assert found.spreads(size).upper == pytest.approx(most, abs=6e-4)


def test_ranges_of_several_sizes_tell_one_standard_deviation() -> None:
    """Source: normal values of standard deviation 2, drawn; the mean of ranges over d2 must come to it."""
    rng = np.random.default_rng(11)
    groups = [rng.normal(0, 2, int(size)).tolist() for size in rng.integers(2, 7, 4_000)]
    found = subgroup_limits(groups, Spread.RANGE)
    # A range of few values varies by about half: 0.5 / sqrt(4000) = 0.8 %, and thrice that is allowed.
    assert found.sd == pytest.approx(2, rel=0.025)
    assert found.means(4).upper == pytest.approx(3 * 2 / 2, abs=0.15)


def test_subgroups_of_one_and_single_values_alone_are_refused() -> None:
    with pytest.raises(InvalidValue):
        subgroup_limits([[1.0, 2.0], [1.0]], Spread.RANGE)
    with pytest.raises(InvalidValue):
        subgroup_limits([], Spread.SD)
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
