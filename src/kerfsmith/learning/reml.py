"""Restricted maximum likelihood: variances and best linear unbiased predictions, with no prior at all.

What a statistics package calls a mixed linear model; the check that the model of the shop is the one it says.
"""

from dataclasses import dataclass, replace

import numpy as np

from kerfsmith.learning.cells import Floats, Key
from kerfsmith.learning.climb import climb
from kerfsmith.learning.mixed_model import Grouping, MixedModel


@dataclass(frozen=True)
class Reml:
    """Estimates: the general value with its standard error, variances, and each level's predicted effect."""

    general: float
    general_se: float
    variances: dict[Grouping, float]
    scatter: float
    effects: dict[Grouping, dict[Key, float]]


def reml(model: MixedModel) -> Reml:
    """REML estimates of ``model``, whose prior is left aside."""
    free = replace(model, general_sd=None)
    spread = max(float(np.std(model.cells.mean)), 1e-6)
    start = np.full(len(model.groupings) + 1, np.log(spread / 2))
    logs = climb(free.likelihood, start)
    solved = free.solve(logs)
    return Reml(
        general=float(solved.effects[0]),
        general_se=float(solved.covariance[0, 0]) ** 0.5,
        variances={one: float(np.exp(2 * log)) for one, log in zip(model.groupings, logs, strict=False)},
        scatter=float(np.exp(2 * logs[-1])),
        effects=_by_level(free, solved.effects),
    )


def _by_level(model: MixedModel, found: Floats) -> dict[Grouping, dict[Key, float]]:
    effects, at = {}, 1
    for levels in model.levels:
        values = found[at : at + len(levels.names)]
        effects[levels.grouping] = {name: float(v) for name, v in zip(levels.names, values, strict=True)}
        at += len(levels.names)
    return effects
