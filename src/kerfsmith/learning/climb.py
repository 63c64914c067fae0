"""Climbing to the top of a smooth function whose slope is known.

References
----------
.. [1] Nocedal, J., Wright, S. J., Numerical Optimization, 2nd ed., 2006, algorithms 6.1 (BFGS) and 3.1
   (backtracking with the condition of sufficient rise).
"""

from collections.abc import Callable

import numpy as np

from kerfsmith.learning.cells import Floats

Hill = Callable[[Floats], tuple[float, Floats]]
"""Height and slope at a point."""


def climb(hill: Hill, start: Floats, *, steps: int = 200, level: float = 1e-7) -> Floats:
    """The point of the top nearest up from ``start``: where the slope is less than ``level``. References:
    [1]_.

    No step moves any coordinate by more than 1. What ``steps`` steps reach is the answer where the top lies
    at no finite place.
    """
    at = np.asarray(start, dtype=float)
    height, slope = hill(at)
    bend = np.eye(at.size)
    for _ in range(steps):
        if float(np.abs(slope).max()) < level:
            break
        stride = bend @ slope
        if float(stride @ slope) <= 0:
            bend, stride = np.eye(at.size), slope
        stride = stride / max(1.0, float(np.abs(stride).max()))
        share = 1.0
        while True:
            there = at + share * stride
            new_height, new_slope = hill(there)
            if new_height >= height + 1e-4 * share * float(stride @ slope) or share < 1e-10:
                break
            share /= 2
        moved, turned = there - at, slope - new_slope
        product = float(moved @ turned)
        if product > 1e-14:
            left = np.eye(at.size) - np.outer(moved, turned) / product
            bend = left @ bend @ left.T + np.outer(moved, moved) / product
        stuck = new_height - height < 1e-13 * max(1.0, abs(height))
        at, height, slope = there, new_height, new_slope
        if share < 1e-10 or (stuck and float(np.abs(slope).max()) < 1e-4):
            break
    return at


def curvature(hill: Hill, at: Floats, reach: float = 1e-4) -> Floats:
    """How the slope falls off about ``at``: the negative second derivatives, by central differences."""
    rows = []
    for place in range(at.size):
        aside = np.zeros(at.size)
        aside[place] = reach
        rows.append((hill(at - aside)[1] - hill(at + aside)[1]) / (2 * reach))
    found = np.array(rows)
    return np.asarray((found + found.T) / 2)
