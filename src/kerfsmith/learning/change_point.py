"""When a series moved: the likeliest place of a lasting step before an alarm.

References
----------
.. [1] Hinkley, D. V., Inference about the change-point in a sequence of random variables, Biometrika 57,
   1970.
.. [2] Samuel, T. R., Pignatiello, J. J., Calvin, J. A., Identifying the time of a step change with X-bar
   control charts, Quality Engineering 10, 1998.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kerfsmith.learning.distributions import STANDARD_NORMAL


@dataclass(frozen=True, slots=True)
class Step:
    """A step at ``at``, the place of the first value after it, of ``size`` standard deviations.

    ``earliest`` to ``latest`` holds the place with the chance asked for. ``low`` to ``high`` is about
    ``size``.
    """

    at: int
    earliest: int
    latest: int
    size: float
    low: float
    high: float


def step_before(values: Sequence[float], end: int, cover: float = 0.9) -> Step:
    """The step that ends in an alarm at ``end``: ``values`` are in standard deviations about the usual mean.

    The place maximises (sum after it)^2 / (number after it); its chances are in proportion to the likelihood
    with the size of the step averaged over, every place as likely beforehand. References: [1]_, [2]_.
    """
    seen = np.asarray(values[: end + 1], dtype=float)
    tails = np.cumsum(seen[::-1])[::-1]
    counts = np.arange(len(seen), 0, -1, dtype=float)
    # The size, under a normal prior of variance 1 (steps of about one standard deviation), averaged over.
    weight = tails**2 / (2 * (counts + 1)) - 0.5 * np.log1p(counts)
    at = int(np.argmax(tails**2 / counts))
    chances = np.exp(weight - weight.max())
    chances /= chances.sum()
    earliest, latest = _shortest(chances, cover)
    size = float(tails[at] / counts[at])
    aside = STANDARD_NORMAL.inv_cdf((1 + cover) / 2) / math.sqrt(counts[at])
    return Step(at, min(earliest, at), max(latest, at), size, size - aside, size + aside)


def _shortest(chances: np.ndarray, cover: float) -> tuple[int, int]:
    """First and last of the likeliest places that together hold ``cover``."""
    order = np.argsort(chances)[::-1]
    held = np.cumsum(chances[order])
    chosen = order[: int(np.searchsorted(held, cover)) + 1]
    return int(chosen.min()), int(chosen.max())
