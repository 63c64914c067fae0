"""Band life by grade: area cut until worn out, over the published area; few bands shrink to what all show.

Bands still on a saw, and bands that came off for another reason than the one asked about, are censored: they
show only that the life is longer. Lives of a grade follow a Weibull distribution of one shape for all; the
logs of their typical lives differ between grades about a general one, which is the published life until bands
show otherwise. All of it is averaged over a grid, so that the intervals hold for few bands.

References
----------
.. [1] Lawless, J. F., Statistical Models and Methods for Lifetime Data, 2nd ed., 2003 (Weibull, censoring).
.. [2] Gelman, A., et al., Bayesian Data Analysis, 3rd ed., 2013, ch. 5 (a hierarchy averaged over its
   spread).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from kerfsmith.learning.cells import Floats
from kerfsmith.learning.weibull import Life, log_likelihood

SHAPES = np.geomspace(0.6, 8.0, 16)
SHAPE_MIDDLE, SHAPE_SPREAD = 2.0, 0.5
"""Wear has a shape of 1.5 to 4 (common practice): median of its prior, and the spread of its log."""
GRADE_SDS = np.array([0.02, 0.05, 0.1, 0.17, 0.25, 0.35, 0.5, 0.7])
GRADE_SD = 0.2
"""Scale of the half-Cauchy prior of how far grades differ about the published lives. Common practice."""
PUBLISHED_SD = 0.45
"""How far a shop's lives lie from the published ones, as a log: the published spans are a third to double."""
_LOGS = np.linspace(-2.8, 2.8, 225)
_FINE = 0.05


@dataclass(frozen=True)
class LifeShare:
    """Typical (median) life over the published one: its middle, the interval that covers 90 %, and counts.

    ``ended`` bands came off for the reason asked about; ``bands`` counts those that only say "longer" too.
    """

    share: float
    low: float
    high: float
    bands: int
    ended: int


@dataclass(frozen=True)
class BandWear:
    """What the bands show: of all grades together, and of each grade."""

    general: LifeShare
    by_grade: Mapping[str, LifeShare]
    shape: float


def band_wear(lives: Mapping[str, Sequence[Life]], cover: float = 0.9) -> BandWear | None:
    """Lives by grade, each as a share of the published life; None where no band ended.

    References: [1]_, [2]_.
    """
    grades = [grade for grade in sorted(lives) if lives[grade]]
    if not any(life.ended for grade in grades for life in lives[grade]):
        return None
    likelihoods = np.array([[_of_grade(lives[grade], shape) for shape in SHAPES] for grade in grades])
    peak = likelihoods.max(axis=(1, 2), keepdims=True)
    raw = np.exp(likelihoods - peak)
    blur = _blurs()
    # seen[g, k, t, m]: how well grade g's bands agree with shape k, spread t and a general life m.
    seen = np.einsum("gkl,tml->gktm", raw, blur)
    prior = _priors()
    joint = prior * np.exp(np.log(np.maximum(seen, 1e-300)).sum(axis=0))
    joint /= joint.sum()
    general = joint.sum(axis=(0, 1))
    by_grade = {}
    for place, grade in enumerate(grades):
        others = joint / np.maximum(seen[place], 1e-300)
        own = np.einsum("ktm,tml,kl->l", others, blur, raw[place])
        by_grade[grade] = _told(own / own.sum(), lives[grade], cover)
    every = [life for grade in grades for life in lives[grade]]
    return BandWear(_told(general, every, cover), by_grade, float(joint.sum(axis=(1, 2)) @ SHAPES))


def _of_grade(lives: Sequence[Life], shape: float) -> Floats:
    """Log likelihood of a grade's bands at each log of the median life."""
    logs = np.log([life.lasted for life in lives])
    ended = np.array([life.ended for life in lives], dtype=float)
    to_scale = -math.log(math.log(2)) / shape
    return log_likelihood(logs, ended, _LOGS + to_scale, shape)


def _blurs() -> Floats:
    """For each spread and general life, the chance of each life of a grade."""
    aside = (_LOGS[None, :] - _LOGS[:, None])[None] / np.maximum(GRADE_SDS, _FINE / 2)[:, None, None]
    weights = np.exp(-0.5 * aside**2)
    return np.asarray(weights / weights.sum(axis=2, keepdims=True))


def _priors() -> Floats:
    shapes = np.exp(-0.5 * (np.log(SHAPES / SHAPE_MIDDLE) / SHAPE_SPREAD) ** 2)
    # The spreads stand at uneven distances: each stands for the stretch about it.
    spreads = np.gradient(GRADE_SDS) / (1 + (GRADE_SDS / GRADE_SD) ** 2)
    general = np.exp(-0.5 * (_LOGS / PUBLISHED_SD) ** 2)
    return np.asarray(shapes[:, None, None] * spreads[None, :, None] * general[None, None, :])


def _told(chances: Floats, lives: Sequence[Life], cover: float) -> LifeShare:
    below = np.cumsum(chances) - chances / 2

    def quantile(share: float) -> float:
        return math.exp(float(np.interp(share, below, _LOGS)))

    return LifeShare(
        quantile(0.5),
        quantile((1 - cover) / 2),
        quantile((1 + cover) / 2),
        len(lives),
        sum(life.ended for life in lives),
    )
