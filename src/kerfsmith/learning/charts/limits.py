"""Limits of charts for single values, and what is known of the ranges of normal values.

References
----------
.. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.1 and 6.3.2.2 (memory).
.. [2] Tippett, L. H. C., On the extreme individuals and the range of samples taken from a normal population,
   Biometrika 17, 1925 (mean and spread of a range, as integrals).
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import fmean

import numpy as np

from kerfsmith.errors import InvalidValue
from kerfsmith.learning.distributions import normal_share

SIGMAS = 3.0


@dataclass(frozen=True, slots=True)
class Limits:
    """Centre line and limits of a chart, in the unit of what is charted."""

    lower: float
    centre: float
    upper: float


@dataclass(frozen=True, slots=True)
class SinglesLimits:
    """Limits of single values and of their moving ranges, and the standard deviation behind them."""

    values: Limits
    ranges: Limits
    sd: float


@lru_cache
def range_mean(size: int) -> float:
    """Mean range of ``size`` standard normal values (d2). References: [2]_.

    >>> round(range_mean(2), 3), round(range_mean(5), 3)
    (1.128, 2.326)
    """
    x = np.linspace(-8.5, 8.5, 3401)
    below = np.array([normal_share(float(at)) for at in x])
    return float(np.trapezoid(1 - below**size - (1 - below) ** size, x))


@lru_cache
def range_sd(size: int) -> float:
    """Standard deviation of the range of ``size`` standard normal values (d3). References: [2]_.

    >>> round(range_sd(2), 3), round(range_sd(5), 3)
    (0.853, 0.864)
    """
    x = np.linspace(-8.0, 8.0, 1601)
    below = np.array([normal_share(float(at)) for at in x])
    high = np.maximum.outer(below, below)
    low = np.minimum.outer(below, below)
    inner = 1 - high**size - (1 - low) ** size + (high - low) ** size
    square = float(np.trapezoid(np.trapezoid(inner, x, axis=1), x))
    return math.sqrt(square - range_mean(size) ** 2)


def singles_limits(values: Sequence[float]) -> SinglesLimits:
    """Limits of single values from their mean and mean moving range. References: [1]_.

    Raises InvalidValue for fewer than two values.
    """
    if len(values) < 2:
        raise InvalidValue("limits need two values or more")
    mean_range = fmean(abs(b - a) for a, b in itertools.pairwise(values))
    sd = mean_range / range_mean(2)
    centre = fmean(values)
    most = mean_range * (1 + SIGMAS * range_sd(2) / range_mean(2))
    return SinglesLimits(
        Limits(centre - SIGMAS * sd, centre, centre + SIGMAS * sd), Limits(0.0, mean_range, most), sd
    )
