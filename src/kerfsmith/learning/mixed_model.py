"""The hierarchical model: a general value, a random effect for each level of each grouping, and scatter.

An observation is

.. math:: y = \\mu + \\sum_j u_{j,level} + e, \\quad u_j \\sim N(0, \\tau_j^2), \\; e \\sim N(0, \\sigma^2)

with one grouping j for each of saw, grade and so on, nested (grade at a saw) or crossed. The general value
has a normal prior about 0, the published figure, or none at all (`general_sd` None), which gives restricted
likelihood.

References
----------
.. [1] Laird, N. M., Ware, J. H., Random-effects models for longitudinal data, Biometrics 38, 1982.
.. [2] Harville, D. A., Maximum likelihood approaches to variance component estimation, JASA 72, 1977
   (restricted likelihood and its slope).
.. [3] Robinson, G. K., That BLUP is a good thing, Statistical Science 6, 1991.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from kerfsmith.errors import InvalidValue
from kerfsmith.learning.cells import Cells, Floats, Key

Grouping = tuple[str, ...]


@dataclass(frozen=True)
class Levels:
    """The levels of one grouping that occur, and the level of each cell by its place."""

    grouping: Grouping
    names: tuple[Key, ...]
    of_cell: tuple[int, ...]


@dataclass(frozen=True)
class MixedModel:
    """Cells with the groupings whose effects are looked for.

    Parameters of the model come as a vector of logs: each grouping's standard deviation in turn, then that of
    the scatter.
    """

    cells: Cells
    groupings: tuple[Grouping, ...]
    general_sd: float | None

    def __post_init__(self) -> None:
        if not self.cells.keys:
            raise InvalidValue("a model needs observations")
        for grouping in self.groupings:
            if not set(grouping) <= set(self.cells.fields):
                raise InvalidValue(f"observations have no {' x '.join(grouping)}")

    @cached_property
    def levels(self) -> tuple[Levels, ...]:
        """Levels of each grouping."""
        return tuple(self._levels_of(grouping) for grouping in self.groupings)

    def _levels_of(self, grouping: Grouping) -> Levels:
        places = [self.cells.fields.index(field) for field in grouping]
        of_cell = [tuple(key[place] for place in places) for key in self.cells.keys]
        names = tuple(sorted(set(of_cell)))
        number = {name: at for at, name in enumerate(names)}
        return Levels(grouping, names, tuple(number[name] for name in of_cell))

    @cached_property
    def design(self) -> Floats:
        """For each cell a row: 1 for the general value, then 1 at its level of each grouping."""
        cells = len(self.cells.keys)
        blocks = [np.ones((cells, 1))]
        for levels in self.levels:
            block = np.zeros((cells, len(levels.names)))
            block[np.arange(cells), list(levels.of_cell)] = 1.0
            blocks.append(block)
        return np.hstack(blocks)

    @cached_property
    def alike(self) -> tuple[Floats, ...]:
        """For each grouping the matrix that says which cells share a level."""
        return tuple(
            np.equal.outer(np.array(levels.of_cell), np.array(levels.of_cell)).astype(float)
            for levels in self.levels
        )

    def effect_variances(self, logs: Floats) -> Floats:
        """Prior variances of the general value (0 where it has no prior) and of every level."""
        parts = [np.array([0.0 if self.general_sd is None else self.general_sd**2])]
        parts += [
            np.full(len(levels.names), math.exp(2 * log))
            for levels, log in zip(self.levels, logs, strict=False)
        ]
        return np.concatenate(parts)

    def covariance(self, logs: Floats) -> Floats:
        """Covariance of the cells' means."""
        whole = np.diag(math.exp(2 * logs[-1]) / self.cells.count)
        for alike, log in zip(self.alike, logs, strict=False):
            whole = whole + math.exp(2 * log) * alike
        if self.general_sd is not None:
            whole = whole + self.general_sd**2
        return whole

    def height(self, logs: Floats) -> float:
        """Log likelihood alone, where the general value has a prior; quicker than with its slope."""
        cells = self.cells
        root = np.linalg.cholesky(self.covariance(logs))
        pulled = np.linalg.solve(root, cells.mean)
        free = cells.observations - len(cells.keys)
        within = -free * float(logs[-1]) - cells.within / (2 * math.exp(2 * logs[-1]))
        return within - float(np.log(np.diag(root)).sum()) - 0.5 * float(pulled @ pulled)

    def likelihood(self, logs: Floats) -> tuple[float, Floats]:
        """Log likelihood (restricted where the general value has no prior), and its slope by each log.

        The constant part is left out. References: [2]_.
        """
        cells = self.cells
        inverse, log_determinant = _inverse(self.covariance(logs))
        free = cells.observations - len(cells.keys)
        scatter = math.exp(2 * logs[-1])
        projection, penalty = inverse, 0.0
        if self.general_sd is None:
            ones = inverse.sum(axis=1)
            projection = inverse - np.outer(ones, ones) / ones.sum()
            penalty = math.log(ones.sum())
        pulled = projection @ cells.mean
        value = -0.5 * (log_determinant + penalty + float(cells.mean @ pulled))
        value += -free * float(logs[-1]) - cells.within / (2 * scatter)
        slope = np.empty(len(logs))
        for place, alike in enumerate(self.alike):
            rise = float(pulled @ alike @ pulled) - float((projection * alike).sum())
            slope[place] = math.exp(2 * logs[place]) * rise
        own = float(pulled**2 @ (1 / cells.count)) - float(np.diag(projection) @ (1 / cells.count))
        slope[-1] = scatter * own - free + cells.within / scatter
        return value, slope


def _inverse(matrix: Floats) -> tuple[Floats, float]:
    root = np.linalg.cholesky(matrix)
    half = np.linalg.inv(root)
    return half.T @ half, 2 * float(np.log(np.diag(root)).sum())
