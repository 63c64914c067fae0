"""How close two outlines can be laid side by side or one on the other until they touch."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.scanline import Scan, scan

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

_SAMPLES = 65
_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


@lru_cache(maxsize=256)
def shift_beside_mm(left: Outline, right: Outline) -> float:
    """By how much ``right`` must be moved along x (mm) to stand to the right of ``left`` and touch it.

    Exact to rounding: the widest overlap is at a corner, or inside a smooth stretch where it is closed in on
    by golden section. -inf when no height meets both.
    """
    first, second = scan(left), scan(right)
    top = min(left.bounds[3], right.bounds[3])
    low = max(left.bounds[1], right.bounds[1])
    if top <= low:
        return -math.inf
    heights = np.concatenate([left.bounds[3] - first.breakpoints_mm, right.bounds[3] - second.breakpoints_mm])
    heights = np.unique(np.append(heights[(heights < top) & (heights > low)], [low, top]))
    size = max(left.height_mm, right.height_mm)
    upper, lower = heights[1:], heights[:-1]
    real = upper - lower > 1e-12 * size
    if not real.any():
        return -math.inf
    return _widest_overlap(first, second, upper[real], lower[real])


def _widest_overlap(first: Scan, second: Scan, upper: Floats, lower: Floats) -> float:
    """Greatest of right side of the first less left side of the second over stretches of height."""
    middle = (upper + lower) / 2.0
    tops = first.outline.bounds[3], second.outline.bounds[3]
    panels = tuple(one.panel_at(top - middle) for one, top in zip((first, second), tops, strict=True))

    def overlap(height: Floats, share_of: Ints) -> Floats:
        _, right_side = first.silhouette_mm(tops[0] - height, panels[0][share_of])
        left_side, _ = second.silhouette_mm(tops[1] - height, panels[1][share_of])
        return right_side - left_side

    every = np.arange(middle.size)
    share = (1.0 - np.cos(np.linspace(0.0, math.pi, _SAMPLES))) / 2.0
    grid = lower[:, None] + (upper - lower)[:, None] * share
    values = overlap(grid.ravel(), np.repeat(every, _SAMPLES)).reshape(grid.shape)
    best = values.argmax(axis=1)
    a, b = grid[every, np.maximum(best - 1, 0)], grid[every, np.minimum(best + 1, _SAMPLES - 1)]
    found = values.max()
    for _ in range(48):
        c, d = b - _GOLDEN * (b - a), a + _GOLDEN * (b - a)
        at_c, at_d = overlap(c, every), overlap(d, every)
        found = max(found, at_c.max(), at_d.max())
        rises = at_d > at_c
        a, b = np.where(rises, c, a), np.where(rises, b, d)
    return float(found)


def shift_upon_mm(lower: Outline, upper: Outline) -> float:
    """By how much ``upper`` must be raised along y (mm) to lie on ``lower`` and touch it."""
    return shift_beside_mm(lower.turned(-90.0), upper.turned(-90.0))
