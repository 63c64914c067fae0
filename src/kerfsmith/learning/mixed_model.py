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
    def _weighted(self) -> tuple[Floats, Floats, float]:
        """Sums over all observations: of products of the design, of design times value, of value squared."""
        counted = self.design * self.cells.count[:, None]
        mean = self.cells.mean
        return self.design.T @ counted, counted.T @ mean, float(self.cells.count @ mean**2)

    def spreads(self, logs: Floats) -> Floats:
        """Prior standard deviations of the general value (1 where it has no prior) and of every level."""
        parts = [np.array([1.0 if self.general_sd is None else self.general_sd])]
        parts += [
            np.full(len(levels.names), math.exp(log)) for levels, log in zip(self.levels, logs, strict=False)
        ]
        return np.concatenate(parts)

    def solve(self, logs: Floats) -> "Solved":
        """Everything about the effects, the standard deviations known.

        The equations are as many as there are effects, however many cells: (E + S X'X S / sigma^2) v =
        S X'y / sigma^2 for effects u = S v, where S holds the prior spreads and E is 1 but for a general
        value without prior (Henderson's equations, scaled so that spreads of nothing do no harm). References:
        [3]_.
        """
        products, sums, _ = self._weighted
        spreads, scatter = self.spreads(logs), math.exp(2 * logs[-1])
        matrix = spreads[:, None] * products * (spreads / scatter)
        prior = np.ones(len(spreads))
        if self.general_sd is None:
            prior[0] = 0.0
        root = np.linalg.cholesky(matrix + np.diag(prior))
        half = np.asarray(np.linalg.solve(root, spreads * sums / scatter), dtype=np.float64)
        return Solved(spreads, np.asarray(root, dtype=np.float64), half)

    def height(self, logs: Floats) -> float:
        """Log likelihood (restricted where the general value has no prior), but for a constant."""
        return self._height(logs, self.solve(logs))

    def _height(self, logs: Floats, solved: "Solved") -> float:
        squares = (self._weighted[2] + self.cells.within) / math.exp(2 * logs[-1])
        determinant = float(np.log(np.diag(solved.root)).sum())
        explained = float(solved.half @ solved.half)
        return -self.cells.observations * float(logs[-1]) - determinant - 0.5 * (squares - explained)

    def likelihood(self, logs: Floats) -> tuple[float, Floats]:
        """The same with its slope by each log. References: [2]_."""
        products, sums, total = self._weighted
        solved, scatter = self.solve(logs), math.exp(2 * logs[-1])
        covariance, effects = solved.covariance, solved.effects
        slope = np.empty(len(logs))
        at = 1
        for place, levels in enumerate(self.levels):
            end = at + len(levels.names)
            own = float((effects[at:end] ** 2).sum()) + float(np.diag(covariance)[at:end].sum())
            slope[place] = own * math.exp(-2 * logs[place]) - (end - at)
            at = end
        misfit = total + self.cells.within - 2 * float(effects @ sums) + float(effects @ products @ effects)
        slope[-1] = (misfit + float((products * covariance).sum())) / scatter - self.cells.observations
        return self._height(logs, solved), slope


@dataclass(frozen=True)
class Solved:
    """Effects with the standard deviations known: prior spreads, root of the scaled equations, half-way
    solution.
    """

    spreads: Floats
    root: Floats
    half: Floats

    @cached_property
    def effects(self) -> Floats:
        """The general value and every level's effect: their means."""
        return np.asarray(self.spreads * np.linalg.solve(self.root.T, self.half))

    @cached_property
    def covariance(self) -> Floats:
        """Covariance of all of them."""
        inverse = np.linalg.inv(self.root) * self.spreads
        return np.asarray(inverse.T @ inverse)

    def of(self, rows: Floats) -> tuple[Floats, Floats]:
        """Mean and variance of each weighted sum of effects."""
        toward = np.linalg.solve(self.root, (rows * self.spreads).T)
        return rows @ self.effects, (toward**2).sum(axis=0)
