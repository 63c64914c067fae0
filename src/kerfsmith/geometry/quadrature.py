"""Gauss nodes over a smooth stretch of depth whose ends may carry square roots."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

_REACH = 6.0
"""A stretch may be this many times as long as the distance from it to the next square root outside it."""


@lru_cache(maxsize=32)
def theta_rule(count: int) -> tuple[Floats, Floats]:
    """Nodes and weights on [0, 1] by Gauss-Legendre in theta, with share = (1 - cos theta) / 2.

    A square root at either end is analytic in theta, so convergence is spectral there too.
    """
    x, w = np.polynomial.legendre.leggauss(count)
    theta = (x + 1.0) * (np.pi / 2.0)
    share = np.sin(theta / 2.0) ** 2
    weight = w * (np.pi / 4.0) * np.sin(theta)
    share.flags.writeable = False
    weight.flags.writeable = False
    return share, weight


def split_panels(breakpoints: Floats, roots: Floats, also_at: Sequence[float] = ()) -> Floats:
    """Bounds (mm) of the stretches to integrate over: the breakpoints, ``also_at``, and graded cuts between.

    ``roots`` are the depths where some arc's curve starts or ends. One that lies just outside a stretch (the
    outside of a thin tube, seen from where its bore opens) slows convergence; the stretch is then cut in
    lengths that grow with the distance from it.
    """
    inner = [d for d in also_at if breakpoints[0] < d < breakpoints[-1]]
    bounds = np.unique(np.concatenate([breakpoints, inner])) if inner else breakpoints
    found: list[float] = [float(bounds[0])]
    for upper, lower in zip(bounds[:-1].tolist(), bounds[1:].tolist(), strict=True):
        above, below = roots[roots < upper], roots[roots > lower]
        gap_above = upper - float(above[-1]) if above.size else np.inf
        gap_below = float(below[0]) - lower if below.size else np.inf
        found += _graded(upper, lower, gap_above, gap_below)
    return np.array(found)


def _graded(upper: float, lower: float, gap_above: float, gap_below: float) -> list[float]:
    """Where to cut a stretch so that no part is longer than _REACH times its distance from a root."""
    head: list[float] = []
    tail: list[float] = [lower]
    while lower - upper > _REACH * min(gap_above, gap_below):
        if gap_above <= gap_below:
            step = min(_REACH * gap_above, (lower - upper) / 2.0)
            upper, gap_above = upper + step, gap_above + step
            head.append(upper)
        else:
            step = min(_REACH * gap_below, (lower - upper) / 2.0)
            lower, gap_below = lower - step, gap_below + step
            tail.append(lower)
    return head + tail[::-1]
