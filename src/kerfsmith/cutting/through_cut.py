"""One cut from entry to exit, integrated panel by panel, exact where the ruling limit changes inside one."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kerfsmith.cutting.figures import Figures, Floats
from kerfsmith.cutting.limits import Ints, allowed_feed, cutting_power, pieces
from kerfsmith.cutting.work import Chords, Work

Law = Callable[[Figures, Chords], tuple[Floats, Ints]]
"""How a saw feeds: figures and chords in, feed in mm/min and the number of the ruling limit out."""

FEW_GAPS = 48
CLOSING_FEW = (24, 24)
CLOSING_MANY = (8, 8, 8)
"""A gap between nodes is cut in parts, turn by turn, to find a kink: its place enters the integral
squared, so some 1/500 of a gap leaves 1e-7 of the time. Few gaps go quicker in few turns, many in fewer
parts."""

MOST_IN_A_GAP = 3
"""Changes of formula that are sought between two neighbouring nodes."""


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
    rows = (feed.shape[0], -1, per_panel + 2)
    weight = nodes.weight_mm / feed
    minutes = weight.reshape(rows).sum(axis=2)
    power = weight * cutting_power(figures, nodes, feed) if energy else np.zeros_like(weight)
    work_done = power.reshape(rows).sum(axis=2)
    if exact:
        kinks = _find_kinks(figures, work, coarse_mm, law, pieces(figures, nodes, feed, rule).reshape(rows))
        if kinks.setting.size:
            _mend(figures, work, coarse_mm, law, kinks, (minutes, work_done), per_panel, energy)
    return Passage(minutes.sum(axis=1), work_done.sum(axis=1))


def _find_kinks(figures: Figures, work: Work, coarse_mm: float, law: Law, piece: Ints) -> _Kinks:
    """Part the gap between neighbouring nodes whose formulas differ until each change in it is found."""
    per_panel = piece.shape[2] - 2
    setting, panel, place = np.nonzero(piece[:, :, 1:] != piece[:, :, :-1])
    depth = work.nodes(coarse_mm, per_panel).depth_mm.reshape(-1, per_panel + 2)
    above, below = depth[panel, place], depth[panel, place + 1]
    before, after = piece[setting, panel, place], piece[setting, panel, place + 1]
    found: list[tuple[Ints, Ints, Floats]] = []
    for _ in range(MOST_IN_A_GAP):
        if not setting.size:
            break
        near, far, beyond = _first_change(
            figures.take(setting), work, coarse_mm, law, above, below, before, after
        )
        found.append((setting, panel, (near + far) / 2))
        # What lies beyond the change may not yet be what the next node sees: then there is another.
        more = beyond != after
        setting, panel, above, below = setting[more], panel[more], far[more], below[more]
        before, after = beyond[more], after[more]
    if not found:
        return _Kinks(setting, panel, above)
    settings, panels, depths = (np.concatenate(each) for each in zip(*found, strict=True))
    order = np.lexsort((depths, panels, settings))
    return _Kinks(settings[order], panels[order], depths[order])


def _first_change(
    own: Figures,
    work: Work,
    coarse_mm: float,
    law: Law,
    above: Floats,
    below: Floats,
    before: Ints,
    after: Ints,
) -> tuple[Floats, Floats, Ints]:
    """The depths that close in on the first change of formula in each gap, and the formula after it."""
    rows = np.arange(above.size)
    beyond = after
    for parts in CLOSING_FEW if above.size <= FEW_GAPS else CLOSING_MANY:
        share = np.arange(1, parts) / parts
        inner = above[:, None] + (below - above)[:, None] * share
        chords = work.chords_at(inner, np.zeros_like(inner), coarse_mm)
        feed, rule = law(own, chords)
        piece = pieces(own, chords, feed, rule)
        changed = piece != before[:, None]
        any_changed = changed.any(axis=1)
        at = np.where(any_changed, changed.argmax(axis=1), parts - 1)
        edges = np.concatenate([above[:, None], inner, below[:, None]], axis=1)
        above, below = edges[rows, at], edges[rows, at + 1]
        seen = piece[rows, np.minimum(at, parts - 2)]
        beyond = np.where(any_changed, seen, beyond)
    return above, below, beyond


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
    upper, lower = work.panels(coarse_mm, per_panel)
    group = kinks.setting * upper.size + kinks.panel
    first = np.concatenate([[True], group[1:] != group[:-1]])
    last = np.concatenate([group[1:] != group[:-1], [True]])
    begin = np.concatenate([np.where(first, upper[kinks.panel], np.roll(kinks.depth, 1)), kinks.depth[last]])
    end = np.concatenate([kinks.depth, lower[kinks.panel[last]]])
    setting = np.concatenate([kinks.setting, kinks.setting[last]])
    panel = np.concatenate([kinks.panel, kinks.panel[last]])
    chords = work.chords_between(begin, end, coarse_mm, per_panel)
    own = figures.take(setting)
    feed, _ = law(own, chords)
    sums[0][kinks.setting, kinks.panel] = 0.0
    np.add.at(sums[0], (setting, panel), chords.row(1.0 / feed))
    if energy:
        sums[1][kinks.setting, kinks.panel] = 0.0
        np.add.at(sums[1], (setting, panel), chords.row(cutting_power(own, chords, feed) / feed))
