"""A straight line through points, and what two or more groups differ by.

References
----------
.. [1] Draper, N. R., Smith, H., Applied Regression Analysis, 3rd ed., 1998, ch. 1.
.. [2] Chan, T. F., Golub, G. H., LeVeque, R. J., Algorithms for computing the sample variance, The American
   Statistician 37, 1983 (sums about the mean, so that digits aren't lost).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from kerfsmith.learning.distributions import f_tail, student_quantile, student_share


@dataclass(frozen=True, slots=True)
class Line:
    """y = level + slope x: both with standard errors, the scatter about it, and the slope's interval.

    ``chance`` is how likely so steep a slope is where there is none.
    """

    level: float
    level_se: float
    slope: float
    slope_se: float
    scatter: float
    slope_low: float
    slope_high: float
    chance: float
    count: int


def line_fit(x: Sequence[float], y: Sequence[float], cover: float = 0.9) -> Line | None:
    """Line of least squares; None for fewer than three points or points at one x. References: [1]_, [2]_."""
    count = len(x)
    if count < 3:
        return None
    mean_x, mean_y = fsum(x) / count, fsum(y) / count
    square = fsum((each - mean_x) ** 2 for each in x)
    if square == 0:
        return None
    slope = fsum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True)) / square
    level = mean_y - slope * mean_x
    left = fsum((b - mean_y - slope * (a - mean_x)) ** 2 for a, b in zip(x, y, strict=True))
    freedom = count - 2
    scatter = math.sqrt(left / freedom)
    slope_se = scatter / math.sqrt(square)
    reach = student_quantile((1 + cover) / 2, freedom) * slope_se
    chance = 2 * student_share(-abs(slope) / slope_se, freedom) if slope_se else 0.0
    level_se = scatter * math.sqrt(1 / count + mean_x**2 / square)
    return Line(level, level_se, slope, slope_se, scatter, slope - reach, slope + reach, chance, count)


@dataclass(frozen=True, slots=True)
class Differ:
    """One-way analysis of variance: the F ratio, its degrees of freedom, and how likely it is by chance.

    ``share`` of all variance lies between the groups.
    """

    ratio: float
    between: int
    within: int
    chance: float
    share: float


def differ(groups: Sequence[Sequence[float]]) -> Differ | None:
    """Whether groups differ; None for fewer than two groups or no spread to judge by. References: [1]_,
    [2]_.
    """
    groups = [group for group in groups if group]
    count = sum(len(group) for group in groups)
    between, within = len(groups) - 1, count - len(groups)
    if between < 1 or within < 1:
        return None
    # Sums about a value near the middle keep the digits of data that differ in their last places only.
    near = groups[0][0]
    moved = [[value - near for value in group] for group in groups]
    means = [fsum(group) / len(group) for group in moved]
    middle = fsum(fsum(group) for group in moved) / count
    apart = fsum(len(group) * (mean - middle) ** 2 for group, mean in zip(moved, means, strict=True))
    inside = fsum((value - mean) ** 2 for group, mean in zip(moved, means, strict=True) for value in group)
    if inside <= 0:
        return None
    ratio = (apart / between) / (inside / within)
    return Differ(ratio, between, within, f_tail(ratio, between, within), apart / (apart + inside))
