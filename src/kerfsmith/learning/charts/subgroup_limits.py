"""Limits of the means and of the spreads of subgroups, of one size or of several.

References
----------
.. [1] Montgomery, D. C., Introduction to Statistical Quality Control, 6th ed., 2009, ch. 6: means and ranges
   6.2, means and standard deviations 6.3, of several sizes 6.3.2 (memory, good).
.. [2] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.1 (memory).
.. [3] Cochran, W. G., The distribution of quadratic forms in a normal system, 1934: the standard deviation of
   normal values follows chi, whose mean is c4 (general reference).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import fmean, stdev

from kerfsmith.errors import InvalidValue
from kerfsmith.learning.charts.limits import SIGMAS, Limits, range_mean, range_sd

LARGEST_BY_RANGE = 10
"""Of more values than this a range tells much less than a standard deviation. References: [1]_."""


class Spread(StrEnum):
    """What tells the spread within a subgroup."""

    RANGE = "range"
    SD = "standard deviation"

    def of(self, values: Sequence[float]) -> float:
        """The spread of a subgroup of two values or more."""
        return max(values) - min(values) if self is Spread.RANGE else stdev(values)


def sd_mean(size: int) -> float:
    """Mean standard deviation of ``size`` standard normal values (c4). References: [3]_.

    >>> round(sd_mean(2), 4), round(sd_mean(5), 4)
    (0.7979, 0.94)
    """
    return math.sqrt(2 / (size - 1)) * math.exp(math.lgamma(size / 2) - math.lgamma((size - 1) / 2))


@dataclass(frozen=True, slots=True)
class SubgroupLimits:
    """Limits learned from subgroups: the mean of all values, the mean spread, and how many of them told it.

    ``mean_spread`` is the mean range or standard deviation; ``sd`` the short-term standard deviation that
    follows of it. Where sizes differ a mean range has no meaning by itself and is that of the commonest size.
    """

    spread: Spread
    centre: float
    mean_spread: float
    sd: float
    count: int
    sizes: tuple[int, ...]

    def means(self, size: int) -> Limits:
        """Limits of the mean of ``size`` values: A2 mean ranges or A3 mean standard deviations aside."""
        aside = self.mean_factor(size) * self._spread(size)
        return Limits(self.centre - aside, self.centre, self.centre + aside)

    def spreads(self, size: int) -> Limits:
        """Limits of the spread of ``size`` values: D3, D4 of mean ranges or B3, B4 of standard deviations."""
        low, high = self.spread_factors(size)
        middle = self._spread(size)
        return Limits(low * middle, middle, high * middle)

    def mean_factor(self, size: int) -> float:
        """A2 or A3 for ``size`` values. References: [1]_.

        A2 = 3 / (d2 sqrt(n)), A3 = 3 / (c4 sqrt(n))
        """
        mean = range_mean(size) if self.spread is Spread.RANGE else sd_mean(size)
        return SIGMAS / (mean * math.sqrt(size))

    def spread_factors(self, size: int) -> tuple[float, float]:
        """D3 and D4, or B3 and B4, for ``size`` values. References: [1]_.

        D = 1 -+ 3 d3 / d2, B = 1 -+ 3 sqrt(1 - c4^2) / c4; none is below zero.
        """
        if self.spread is Spread.RANGE:
            aside = SIGMAS * range_sd(size) / range_mean(size)
        else:
            aside = SIGMAS * math.sqrt(1 - sd_mean(size) ** 2) / sd_mean(size)
        return max(0.0, 1 - aside), 1 + aside

    def mean_sd(self, size: int) -> float:
        """Standard deviation of the mean of ``size`` values, a third of the way to its limits."""
        return self.mean_factor(size) * self._spread(size) / SIGMAS

    def _spread(self, size: int) -> float:
        """The mean spread of ``size`` values."""
        if self.spread is Spread.RANGE and len(self.sizes) > 1:
            return self.sd * range_mean(size)
        return self.mean_spread


def subgroup_limits(groups: Sequence[Sequence[float]], spread: Spread) -> SubgroupLimits:
    """Limits from ``groups``, each of two values or more. References: [1]_, [2]_.

    Of one size: the mean of the spreads. Of several: ranges each over its d2; standard deviations pooled by
    their degrees of freedom. Raises InvalidValue for no groups, or a group of one.
    """
    if not groups or min(map(len, groups)) < 2:
        raise InvalidValue("limits of subgroups need subgroups of two values or more")
    counts = [len(group) for group in groups]
    sizes = tuple(sorted(set(counts)))
    usual = max(sizes, key=counts.count)
    centre = math.fsum(value for group in groups for value in group) / sum(counts)
    spreads = [spread.of(group) for group in groups]
    if spread is Spread.RANGE:
        sd = fmean(found / range_mean(size) for found, size in zip(spreads, counts, strict=True))
        mean = sd * range_mean(usual)
    else:
        freedom = sum(size - 1 for size in counts)
        squares = math.fsum((size - 1) * found**2 for found, size in zip(spreads, counts, strict=True))
        mean = fmean(spreads) if len(sizes) == 1 else math.sqrt(squares / freedom)
        sd = mean / sd_mean(usual)
    return SubgroupLimits(spread, centre, mean, sd, len(groups), sizes)
