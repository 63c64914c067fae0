"""Lives under the Weibull distribution, ended ones and those that only say "longer than this".

References
----------
.. [1] Lawless, J. F., Statistical Models and Methods for Lifetime Data, 2nd ed., 2003, ch. 4 (likelihood with
   right censoring, the equation of the shape).
.. [2] NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3 (worked example).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kerfsmith.learning.cells import Floats


@dataclass(frozen=True, slots=True)
class Life:
    """One life in any unit: how long it lasted, and whether it ended there or was only seen to last so
    long.
    """

    lasted: float
    ended: bool


@dataclass(frozen=True, slots=True)
class Weibull:
    """A Weibull distribution: a share of 1 - exp(-(x / scale)^shape) has ended at x."""

    shape: float
    scale: float

    @property
    def mean(self) -> float:
        """Mean life."""
        return self.scale * math.gamma(1 + 1 / self.shape)

    def lasting(self, share: float) -> float:
        """The life that ``share`` of all exceed."""
        return float(self.scale * (-math.log(share)) ** (1 / self.shape))

    def log_likelihood(self, lives: Sequence[Life]) -> float:
        """Log likelihood of lives. References: [1]_."""
        logs = np.log([life.lasted for life in lives])
        ended = np.array([life.ended for life in lives])
        return float(log_likelihood(logs, ended, np.array(math.log(self.scale)), self.shape))


def log_likelihood(logs: Floats, ended: Floats, log_scale: Floats, shape: float) -> Floats:
    """Log likelihood of lives, given by their ``logs``, at each of several logs of the scale.

    .. math:: \\sum_{ended} (\\ln k - \\ln x + k z) - \\sum_{all} e^{k z}, \\quad z = \\ln x - \\ln s

    References: [1]_.
    """
    z = logs[..., :] - log_scale[..., None]
    at_end = math.log(shape) - logs + shape * z
    return np.asarray((ended * at_end - np.exp(np.minimum(shape * z, 600.0))).sum(axis=-1))


def fit_weibull(lives: Sequence[Life]) -> Weibull | None:
    """The likeliest Weibull distribution; None where fewer than two lives ended. References: [1]_.

    The shape solves sum(x^k ln x) / sum(x^k) - 1/k = mean of ln x over ended lives, which rises with k.
    """
    logs = np.log([life.lasted for life in lives])
    ended = np.array([life.ended for life in lives])
    if ended.sum() < 2 or float(np.ptp(logs)) == 0:
        return None
    logs = logs - logs.max()
    goal = float(logs[ended].mean())

    def excess(shape: float) -> float:
        powers = np.exp(shape * logs)
        return float(powers @ logs / powers.sum()) - 1 / shape - goal

    low, high = 1e-6, 1.0
    while excess(high) < 0 and high < 1e6:
        low, high = high, 2 * high
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if excess(middle) < 0 else (low, middle)
    shape = (low + high) / 2
    # The shift of the logs is put back into the scale.
    scale = float((np.exp(shape * logs).sum() / ended.sum()) ** (1 / shape))
    return Weibull(shape, scale * max(life.lasted for life in lives))
