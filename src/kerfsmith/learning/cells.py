"""Observations gathered into cells: all that a mixed model needs to know of them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kerfsmith.errors import InvalidValue

Floats = NDArray[np.float64]
Key = tuple[str, ...]


@dataclass(frozen=True)
class Cells:
    """Observations that share all fields, summed up.

    ``fields`` names what a key is made of. ``count`` and ``mean`` are of each cell; ``within`` is the sum of
    squares of observations about their cell's mean, over all cells.
    """

    fields: tuple[str, ...]
    keys: tuple[Key, ...]
    count: Floats
    mean: Floats
    within: float

    @property
    def observations(self) -> int:
        """How many observations there are."""
        return int(self.count.sum())


def gather(fields: tuple[str, ...], observed: Iterable[tuple[Mapping[str, str], float]]) -> Cells:
    """Cells of ``observed`` pairs of named fields and value, sorted by key.

    Raises InvalidValue for an observation that lacks a field.
    """
    values: dict[Key, list[float]] = {}
    for named, value in observed:
        missing = [field for field in fields if field not in named]
        if missing:
            raise InvalidValue(f"an observation lacks {', '.join(missing)}")
        values.setdefault(tuple(named[field] for field in fields), []).append(value)
    keys = tuple(sorted(values))
    arrays = [np.asarray(values[key], dtype=float) for key in keys]
    return Cells(
        fields,
        keys,
        np.array([array.size for array in arrays], dtype=float),
        np.array([array.mean() for array in arrays], dtype=float),
        float(sum(((array - array.mean()) ** 2).sum() for array in arrays)),
    )
