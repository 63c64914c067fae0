"""Quadrature nodes over the depth of one or many sections, with what the band meets at each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Nodes:
    """Quadrature nodes of one or more sections: the integral of f over depth is (f(nodes) * weight_mm).sum().

    All arrays have one entry a node, in the order of depth within each section. ``section`` is the place of
    the section in the batch and ``starts`` the first node of each, fit for ``np.add.reduceat``.
    """

    depth_mm: Floats
    weight_mm: Floats
    contact_mm: Floats
    longest_mm: Floats
    shortest_mm: Floats
    count: Ints
    section: Ints
    starts: Ints

    def integral(self, values: Floats) -> Floats:
        """Integral over depth for each section of a quantity given at the nodes."""
        return np.add.reduceat(values * self.weight_mm, self.starts)


def end_to_end(parts: Sequence[Nodes]) -> Nodes:
    """The nodes of several sections as one batch."""
    sizes = np.array([part.depth_mm.size for part in parts], dtype=np.intp)
    return Nodes(
        depth_mm=np.concatenate([part.depth_mm for part in parts]),
        weight_mm=np.concatenate([part.weight_mm for part in parts]),
        contact_mm=np.concatenate([part.contact_mm for part in parts]),
        longest_mm=np.concatenate([part.longest_mm for part in parts]),
        shortest_mm=np.concatenate([part.shortest_mm for part in parts]),
        count=np.concatenate([part.count for part in parts]),
        section=np.repeat(np.arange(sizes.size, dtype=np.intp), sizes),
        starts=np.cumsum(sizes) - sizes,
    )
