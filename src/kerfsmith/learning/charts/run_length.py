"""Average run lengths: how many values until a chart signals, with and without a shift.

References
----------
.. [1] Brook, D., Evans, D. A., An approach to the probability distribution of cusum run length, Biometrika
   59, 1972 (the sum's range cut in steps, and a Markov chain over them).
.. [2] Lucas, J. M., Saccucci, M. S., Exponentially weighted moving average control schemes, Technometrics 32,
   1990.
.. [3] Lucas, J. M., Combined Shewhart-CUSUM quality control schemes, J. Quality Technology 14, 1982.
.. [4] Montgomery, D. C., Introduction to Statistical Quality Control, 6th ed., 2009 (two sides joined).
"""

import math

import numpy as np

from kerfsmith.learning.cells import Floats
from kerfsmith.learning.distributions import normal_share

STEPS = 200


def shewhart_length(shift: float = 0.0, reach: float = 3.0) -> float:
    """Average run length of single points with limits at ``reach`` standard deviations.

    >>> round(shewhart_length(), 1)
    370.4
    """
    return 1 / (normal_share(-reach - shift) + normal_share(shift - reach))


def cusum_length(
    shift: float = 0.0, slack: float = 0.5, limit: float = 5.0, *, single: float | None = None
) -> float:
    """Average run length of two-sided sums, all in standard deviations.

    With ``single`` a value further out than that signals by itself [3]_. References: [1]_, [4]_.
    """
    up, down = (_one_side(each, slack, limit, single) for each in (shift, -shift))
    return 1 / (1 / up + 1 / down)


def ewma_length(shift: float = 0.0, weight: float = 0.2, reach: float = 2.962) -> float:
    """Average run length of an exponentially weighted moving average. References: [2]_."""
    half = reach * math.sqrt(weight / (2 - weight))
    states = 2 * (STEPS // 2) + 1
    width = 2 * half / states
    middles = -half + width * (np.arange(states) + 0.5)
    edges = -half + width * np.arange(states + 1)
    ends = _shares((edges[None, :] - (1 - weight) * middles[:, None]) / weight - shift)
    return _absorbed(np.diff(ends, axis=1), states // 2)


def _one_side(shift: float, slack: float, limit: float, single: float | None) -> float:
    width = 2 * limit / (2 * STEPS - 1)
    middles = width * np.arange(STEPS)
    edges = np.concatenate([[-math.inf], width * (np.arange(STEPS) + 0.5)])
    needed = edges[None, :] - middles[:, None] + slack
    if single is not None:
        needed = np.minimum(needed, single)
    return _absorbed(np.diff(_shares(needed - shift), axis=1), 0)


def _shares(values: Floats) -> Floats:
    flat = [normal_share(float(value)) for value in values.ravel()]
    return np.array(flat).reshape(values.shape)


def _absorbed(passing: Floats, start: int) -> float:
    """Mean steps of a chain from ``start`` until it leaves its states."""
    size = len(passing)
    return float(np.linalg.solve(np.eye(size) - passing, np.ones(size))[start])
