"""What is known after the records: every effect averaged over all variances that the records allow.

Few records leave the variances themselves uncertain; an interval that takes them as known is too narrow. Here
the variances are not estimated but averaged over: a set of points spread evenly about their likeliest place,
each weighted by how well it explains the records. Given the variances everything is normal, so the answer is
a mixture of normal distributions, whose quantiles are exact.

References
----------
.. [1] Gelman, A., Prior distributions for variance parameters in hierarchical models, Bayesian Analysis 1,
   2006 (half-Cauchy prior of a group's standard deviation).
.. [2] Rue, H., Martino, S., Chopin, N., Approximate Bayesian inference for latent Gaussian models, JRSS B 71,
   2009 (mixture over points about the mode of the variances).
.. [3] Niederreiter, H., Random Number Generation and Quasi-Monte Carlo Methods, 1992 (evenly spread points).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kerfsmith.learning.cells import Floats, Key
from kerfsmith.learning.climb import climb, curvature
from kerfsmith.learning.distributions import STANDARD_NORMAL, normal_shares
from kerfsmith.learning.mixed_model import MixedModel

LEVEL_SD = 0.1
"""Scale of the half-Cauchy prior of each grouping's standard deviation: levels differ by a tenth or so, and
may by far more. Common practice."""
SCATTER_SD, SCATTER_SPREAD = 0.1, 1.5
"""Median of the scatter's prior, and the standard deviation of its log: anything from 1 % to 100 %."""
POINTS = 160
PASSES = 3
NEGLIGIBLE = 1e-5
"""A point of so little weight is left out."""
TAILS = 7.0
"""Degrees of freedom of the points' spread, wider in the tails than what is looked for."""


@dataclass(frozen=True)
class Mixture:
    """A value known as a mixture of normal distributions."""

    weights: Floats
    means: Floats
    sds: Floats

    @property
    def mean(self) -> float:
        """Its mean."""
        return float(self.weights @ self.means)

    @property
    def sd(self) -> float:
        """Its standard deviation."""
        return math.sqrt(float(self.weights @ (self.sds**2 + self.means**2)) - self.mean**2)

    def share_below(self, value: float) -> float:
        """Chance that it is less than ``value``."""
        return float(self.weights @ normal_shares((value - self.means) / self.sds))

    def quantile(self, share: float) -> float:
        """The value below which it is with the chance ``share``."""
        low = float((self.means - 9 * self.sds).min())
        high = float((self.means + 9 * self.sds).max())
        for _ in range(50):
            middle = (low + high) / 2
            low, high = (middle, high) if self.share_below(middle) < share else (low, middle)
        return (low + high) / 2

    def interval(self, cover: float = 0.9) -> tuple[float, float]:
        """The middle ``cover`` of it."""
        return self.quantile((1 - cover) / 2), self.quantile((1 + cover) / 2)


@dataclass(frozen=True)
class Asked:
    """What is asked of the model: a weighted sum of what its cells come to, or one level of each grouping.

    ``weights`` are over the cells, ``effects`` over the general value and the effects of all levels in turn.
    ``levels`` instead names a level for each grouping; a level never seen has
    the spread of its grouping. ``with_scatter``: of the next single observation, not of the true value.
    """

    weights: tuple[float, ...] | None = None
    effects: Floats | None = None
    levels: tuple[Key, ...] | None = None
    with_scatter: bool = False


@dataclass(frozen=True)
class Posterior:
    """The model with what its records say of its variances: points of their logs, each with a weight."""

    model: MixedModel
    logs: Floats
    weights: Floats

    @property
    def worth(self) -> float:
        """How many equally weighted points the weighted ones are worth."""
        return 1 / float((self.weights**2).sum())

    def scatter(self) -> float:
        """Standard deviation of single observations about their cell's true value."""
        return float(self.weights @ np.exp(self.logs[:, -1]))

    def level_sd(self, place: int) -> float:
        """Standard deviation of the levels of one grouping."""
        return float(self.weights @ np.exp(self.logs[:, place]))

    def answer(self, asked: Sequence[Asked]) -> tuple[Mixture, ...]:
        """What is known of each thing asked."""
        wanted, unseen = self._wanted(asked)
        scatters = np.array([one.with_scatter for one in asked], dtype=float)
        means, variances = [], []
        for logs in self.logs:
            mean, variance = self.model.solve(logs).of(wanted)
            variance = variance + unseen @ np.exp(2 * logs[:-1]) + scatters * math.exp(2 * logs[-1])
            means.append(mean)
            variances.append(variance)
        all_means, all_sds = np.array(means), np.sqrt(np.maximum(np.array(variances), 1e-18))
        return tuple(
            Mixture(self.weights, all_means[:, place], all_sds[:, place]) for place in range(len(asked))
        )

    def _wanted(self, asked: Sequence[Asked]) -> tuple[Floats, Floats]:
        """Rows over the effects, and for each grouping how much of it is a level never seen."""
        model = self.model
        rows = np.zeros((len(asked), model.design.shape[1]))
        unseen = np.zeros((len(asked), len(model.groupings)))
        for place, one in enumerate(asked):
            if one.weights is not None:
                rows[place] = np.array(one.weights) @ model.design
                continue
            if one.effects is not None:
                rows[place] = one.effects
                continue
            rows[place, 0] = 1.0
            at = 1
            for number, (levels, name) in enumerate(zip(model.levels, one.levels or (), strict=True)):
                if name in levels.names:
                    rows[place, at + levels.names.index(name)] = 1.0
                else:
                    unseen[place, number] = 1.0
                at += len(levels.names)
        return rows, unseen


def learn(model: MixedModel, points: int = POINTS) -> Posterior:
    """What the records of ``model`` say. Its general value must have a prior. References: [1]_ to [3]_."""
    places = len(model.groupings) + 1

    def hill(logs: Floats) -> tuple[float, Floats]:
        value, slope = model.likelihood(logs)
        prior, prior_slope = _prior(logs)
        return value + prior, slope + prior_slope

    start = np.full(places, math.log(0.05))
    free = model.cells.observations - len(model.cells.keys)
    start[-1] = 0.5 * math.log(max(model.cells.within / free, 1e-6)) if free else math.log(SCATTER_SD)
    top = climb(hill, start, level=1e-4)
    values, vectors = np.linalg.eigh(curvature(hill, top))
    # A direction in which the records say nothing falls off no slower than its prior.
    reach = vectors / np.sqrt(np.clip(values, 0.2, None))
    at_top = reach @ reach.T
    steps, log_spread = _spread(points, places)
    middle = top
    # The first points show where the weight lies, and about that the next are spread: the top of a lopsided
    # hill is not its middle.
    for _ in range(PASSES):
        logs = middle + steps @ reach.T
        heights = np.array([model.height(point) + _prior(point)[0] for point in logs]) - log_spread
        weights = np.exp(heights - heights.max())
        weights /= weights.sum()
        middle = weights @ logs
        aside = logs - middle
        spread = (aside * np.sqrt(weights)[:, None]).T @ (aside * np.sqrt(weights)[:, None])
        # Few points carry the weight of a first pass, and then its spread is too narrow.
        reach = np.linalg.cholesky(1.1 * spread + 0.2 * at_top)
    kept = weights > NEGLIGIBLE
    return Posterior(model, logs[kept], weights[kept] / weights[kept].sum())


def _prior(logs: Floats) -> tuple[float, Floats]:
    """Log prior of the logs, and its slope."""
    ratio = np.exp(2 * logs[:-1]) / LEVEL_SD**2
    aside = (logs[-1] - math.log(SCATTER_SD)) / SCATTER_SPREAD
    value = float((logs[:-1] - np.log1p(ratio)).sum()) - 0.5 * float(aside) ** 2
    return value, np.append(1 - 2 * ratio / (1 + ratio), -aside / SCATTER_SPREAD)


def _spread(points: int, places: int) -> tuple[Floats, Floats]:
    """Points spread evenly under a Student distribution, with the log of its density. References: [3]_."""
    # The multiples of powers of the root of x^(d+1) = x + 1 fill the cube of d dimensions evenly; one
    # dimension more serves the Student distribution's own spread.
    root = 2.0
    for _ in range(60):
        root = (1 + root) ** (1 / (places + 2))
    paces = root ** -np.arange(1.0, places + 2)
    cube = (0.5 + np.outer(np.arange(1, points + 1), paces)) % 1.0
    normal = np.array([[STANDARD_NORMAL.inv_cdf(float(x)) for x in row[:-1]] for row in cube])
    # Wilson and Hilferty's cube root makes a chi-square value of a normal one closely enough for a spread.
    last = np.array([STANDARD_NORMAL.inv_cdf(float(x)) for x in cube[:, -1]])
    share = np.maximum(1 - 2 / (9 * TAILS) + last * math.sqrt(2 / (9 * TAILS)), 0.2) ** 3
    steps = normal / np.sqrt(share)[:, None]
    return steps, -(TAILS + places) / 2 * np.log1p((steps**2).sum(axis=1) / TAILS)
