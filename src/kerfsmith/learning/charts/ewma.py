"""The exponentially weighted moving average, for shifts that are small and last.

References
----------
.. [1] Roberts, S. W., Control chart tests based on geometric moving averages, Technometrics 1, 1959.
.. [2] Lucas, J. M., Saccucci, M. S., Exponentially weighted moving average control schemes, Technometrics 32,
   1990 (run lengths).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.learning.charts.limits import Limits

WEIGHT, REACH = 0.2, 2.962
"""Weight of the newest value, and limits in standard deviations of the average. References: [2]_."""


@dataclass(frozen=True, slots=True)
class Ewma:
    """The average after each value, its limits once it has settled, and the places that lie outside."""

    averages: tuple[float, ...]
    limits: Limits
    signals: tuple[int, ...]


def ewma(
    values: Sequence[float], target: float, sd: float, weight: float = WEIGHT, reach: float = REACH
) -> Ewma:
    """Average of ``values`` that starts at ``target``. References: [1]_."""
    averages, average = [], target
    for value in values:
        average = weight * value + (1 - weight) * average
        averages.append(average)
    aside = reach * sd * math.sqrt(weight / (2 - weight))
    signals = tuple(at for at, average in enumerate(averages) if abs(average - target) > aside)
    return Ewma(tuple(averages), Limits(target - aside, target, target + aside), signals)
