"""One cut from entry to exit, integrated panel by panel, exact where the ruling limit changes inside one."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kerfsmith.cutting.figures import Figures, Floats
from kerfsmith.cutting.limits import Ints, allowed_feed, cutting_power, pieces
from kerfsmith.cutting.work import Chords, Work
from kerfsmith.geometry.quadrature import theta_rule

Law = Callable[[Figures, Chords], tuple[Floats, Ints]]
"""How a saw feeds: figures and chords in, feed in mm/min and the number of the ruling limit out."""

HALVINGS = 9
"""Halvings that find a kink: its place enters the integral squared, so 2**-9 of a node's gap leaves 1e-7."""


@dataclass(frozen=True, slots=True)
class Passage:
    """Integrals over the depth of a cut, one entry for each setting: minutes and kW minutes at the teeth."""

    minutes: Floats
    kw_minutes: Floats


@dataclass(frozen=True, slots=True)
class _Kinks:
    """Where the formula changes: setting, panel and depth, in that order of rank."""

    setting: NDArray[np.intp]
    panel: NDArray[np.intp]
    depth: Floats


def passage(
    figures: Figures,
    work: Work,
    coarse_mm: float,
    law: Law = allowed_feed,
    *,
    energy: bool = True,
    exact: bool = True,
    per_panel: int = 16,
) -> Passage:
    """Time and energy of a cut for each setting; all settings share the coarsest pitch ``coarse_mm``.

    In every panel of smooth chords Gauss nodes integrate 1 / vf; a panel in which the formula for vf changes
    is cut there first. Against adaptive quadrature the time agrees to 1e-6 (benchmarks/cutting).
    """
    nodes = work.nodes(coarse_mm, per_panel)
    feed, rule = law(figures, nodes)
    rows = (feed.shape[0], -1, per_panel)
    weight = nodes.weight_mm / feed
    minutes = weight.reshape(rows).sum(axis=2)
    power = weight * cutting_power(figures, nodes, feed) if energy else np.zeros_like(weight)
    work_done = power.reshape(rows).sum(axis=2)
    if not exact:
        return Passage(minutes.sum(axis=1), work_done.sum(axis=1))
    kinks = _find_kinks(figures, work, coarse_mm, law, pieces(figures, nodes, feed, rule).reshape(rows))
    if kinks.setting.size:
        _mend(figures, work, coarse_mm, law, kinks, (minutes, work_done), per_panel, energy)
    return Passage(minutes.sum(axis=1), work_done.sum(axis=1))


def _find_kinks(figures: Figures, work: Work, coarse_mm: float, law: Law, piece: Ints) -> _Kinks:
    """Halve the gap between neighbouring nodes whose formulas differ until the change is found."""
    per_panel = piece.shape[2]
    setting, panel, place = np.nonzero(piece[:, :, 1:] != piece[:, :, :-1])
    if not setting.size:
        return _Kinks(setting, panel, np.empty(0))
    depth = work.nodes(coarse_mm, per_panel).depth_mm.reshape(-1, per_panel)
    above, below = depth[panel, place], depth[panel, place + 1]
    before = piece[setting, panel, place]
    own = figures.take(setting)
    for _ in range(HALVINGS):
        middle = (above + below) / 2
        chords = work.chords_at(middle[:, None], np.ones((middle.size, 1)), coarse_mm)
        feed, rule = law(own, chords)
        same = pieces(own, chords, feed, rule)[:, 0] == before
        above, below = np.where(same, middle, above), np.where(same, below, middle)
    return _Kinks(setting, panel, (above + below) / 2)


def _mend(
    figures: Figures,
    work: Work,
    coarse_mm: float,
    law: Law,
    kinks: _Kinks,
    sums: tuple[Floats, Floats],
    per_panel: int,
    energy: bool,
) -> None:
    """Replace the sums of panels that hold kinks by those of their parts."""
    upper, lower = work.panel_bounds(coarse_mm, per_panel)
    group = kinks.setting * upper.size + kinks.panel
    first = np.concatenate([[True], group[1:] != group[:-1]])
    last = np.concatenate([group[1:] != group[:-1], [True]])
    starts = np.where(first, upper[kinks.panel], np.roll(kinks.depth, 1))
    begin = np.concatenate([starts, kinks.depth[last]])
    end = np.concatenate([kinks.depth, lower[kinks.panel[last]]])
    setting = np.concatenate([kinks.setting, kinks.setting[last]])
    panel = np.concatenate([kinks.panel, kinks.panel[last]])
    share, weight = theta_rule(per_panel)
    length = (end - begin)[:, None]
    chords = work.chords_at(begin[:, None] + length * share, length * weight, coarse_mm)
    own = figures.take(setting)
    feed, _ = law(own, chords)
    sums[0][kinks.setting, kinks.panel] = 0.0
    np.add.at(sums[0], (setting, panel), chords.row(1.0 / feed))
    if energy:
        sums[1][kinks.setting, kinks.panel] = 0.0
        np.add.at(sums[1], (setting, panel), chords.row(cutting_power(own, chords, feed) / feed))
