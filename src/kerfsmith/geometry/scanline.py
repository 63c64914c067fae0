"""What the band meets at each depth: the numeric floor of the cutting engine.

    scan(outline)                     cached; the way in
    Scan.depth_mm                     depth of a through cut (height of the outline)
        .breakpoints_mm               depths where the boundary pieces change, 0 and depth_mm among them
        .contact_mm(depths)           total width of metal under the band
        .chords(depth)                [(x0, x1), ...] left to right
        .longest_chord_mm(depths)  .shortest_chord_mm(depths)  .count(depths)
        .met(depths)                  contact, longest chord and count in one pass
        .area_to_depth_mm2(depths)    exact antiderivative of contact
        .area_mm2  .mean_chord_mm     mean length of cut = area / depth
        .panels()                     (upper, lower) depths of the smooth intervals between breakpoints
        .nodes(per_panel=16, also_at=())   quadrature nodes with everything evaluated at them, cached
    batch(scans, per_panel=16)        the nodes of many sections end to end, for one pass of NumPy over all

Depth is measured from the top of the outline (mm). Every boundary is cut at its own highest and lowest points
into edges that run one way in depth, each in closed form:

    x(d) = x_ref + slope (d - d_ref) + bow sqrt((d - top) (bottom - d))

with bow = 0 for a line, and top and bottom the depths where the arc's whole curve starts and ends. Contact is
continuous from below each breakpoint (at a flat top it is the full width at once); at the last depth it is
the width just before the band is through. Beyond the section it is 0. It is never NaN.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property, lru_cache

import numpy as np
import numpy.typing as npt

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.edges import edges_of
from kerfsmith.geometry.nodes import Nodes, end_to_end
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.quadrature import split_panels, theta_rule
from kerfsmith.units.told import Told

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

_TOUCHING = 1e-9
"""Relative to the width: neighbours closer than this all along a panel are cut as one chord."""


class Scan:
    """A section read depth by depth. Build it with :func:`scan`, which keeps it."""

    def __init__(self, outline: Outline) -> None:
        self.outline = outline
        self._edges, self.breakpoints_mm = edges_of(outline)
        self.breakpoints_mm.flags.writeable = False
        self._set_panels()

    def _set_panels(self) -> None:
        """For each panel the edges where a chord starts and ends, left to right, padded with a blank."""
        breaks = self.breakpoints_mm
        edges, blank = self._edges, self._edges.blank
        rows: list[tuple[list[int], list[int]]] = []
        touch = _TOUCHING * max(self.outline.width_mm, 1e-3)
        # Loops don't cross, so the mean of two places orders the edges; bodies that touch at one depth only
        # (rounds side by side) can't be taken for bodies that touch all along.
        places = breaks[:-1] + np.array([[0.3], [0.6]]) * np.diff(breaks)
        x = edges.x_at(np.arange(blank), places[:, :, None]).mean(axis=0)
        alive = (edges.begin[:-1] <= breaks[:-1, None]) & (edges.end[:-1] >= breaks[1:, None])
        for panel in range(breaks.size - 1):
            members = np.flatnonzero(alive[panel])
            rows.append(_pair(members[np.argsort(x[panel, members])], x[panel], edges.sign, touch))
        widest = max(len(first) for first, _ in rows)
        self._first = np.full((len(rows), widest), blank, dtype=np.intp)
        self._last = np.full((len(rows), widest), blank, dtype=np.intp)
        for panel, (first, last) in enumerate(rows):
            self._first[panel, : len(first)] = first
            self._last[panel, : len(last)] = last
        self._chords_in = np.array([len(first) for first, _ in rows], dtype=np.intp)

    @cached_property
    def _area_before(self) -> Floats:
        """Area above each breakpoint, mm2."""
        whole = self._area_in(np.arange(self._chords_in.size), self.breakpoints_mm[1:])
        return np.concatenate([[0.0], np.cumsum(whole)])

    def _area_in(self, panel: Ints, depth: Floats) -> Floats:
        """Area between the upper end of a panel and a depth in it, mm2."""
        upper, depth = self.breakpoints_mm[panel][:, None], depth[:, None]
        first, last = self._first[panel], self._last[panel]
        right = self._edges.swept(last, depth) - self._edges.swept(last, upper)
        left = self._edges.swept(first, depth) - self._edges.swept(first, upper)
        area: Floats = (right - left).sum(axis=1)
        return area

    def panel_at(self, depth: Floats) -> Ints:
        """Which panel each depth is in; a breakpoint is in the one below it, the last depth in the last."""
        found = np.searchsorted(self.breakpoints_mm, depth, side="right") - 1
        return np.clip(found, 0, self._first.shape[0] - 1)

    def _chord_table(self, depth: Floats, panel: Ints | None = None) -> tuple[Floats, Ints]:
        """Chord lengths (depths by chords, blanks 0) and the number of chords at each depth."""
        panel = self.panel_at(depth) if panel is None else panel
        inside = (depth >= 0.0) & (depth <= self.depth_mm)
        at = depth[:, None]
        width = self._edges.x_at(self._last[panel], at) - self._edges.x_at(self._first[panel], at)
        widths = np.where(inside[:, None], np.maximum(width, 0.0), 0.0)
        return widths, np.where(inside, self._chords_in[panel], 0)

    @property
    def depth_mm(self) -> float:
        """Depth of a through cut in mm."""
        return float(self.breakpoints_mm[-1])

    @property
    def area_mm2(self) -> float:
        """Area of the cut in mm2, exact."""
        return self.outline.area_mm2

    @property
    def mean_chord_mm(self) -> float:
        """Mean length of cut in mm: area over the depth the band travels."""
        return self.area_mm2 / self.depth_mm

    def panels(self) -> list[tuple[float, float]]:
        """Upper and lower depth (mm) of each interval in which every chord is smooth."""
        return list(zip(self.breakpoints_mm[:-1].tolist(), self.breakpoints_mm[1:].tolist(), strict=True))

    def contact_mm(self, depths: npt.ArrayLike) -> Floats:
        """Total width of metal under the band at each depth (mm)."""
        depth = _flat(depths)
        contact: Floats = self._chord_table(depth)[0].sum(axis=1)
        return contact.reshape(np.shape(depths))

    def longest_chord_mm(self, depths: npt.ArrayLike) -> Floats:
        """Longest unbroken chord at each depth (mm): what the gullet must carry."""
        depth = _flat(depths)
        longest: Floats = self._chord_table(depth)[0].max(axis=1)
        return longest.reshape(np.shape(depths))

    def shortest_chord_mm(self, depths: npt.ArrayLike) -> Floats:
        """Shortest chord at each depth (mm): where teeth may strip. 0 where the band meets nothing."""
        depth = _flat(depths)
        return _shortest(*self._chord_table(depth)).reshape(np.shape(depths))

    def count(self, depths: npt.ArrayLike) -> Ints:
        """How many separate chords the band meets at each depth."""
        depth = _flat(depths)
        return self._chord_table(depth)[1].reshape(np.shape(depths))

    def met(self, depths: npt.ArrayLike) -> tuple[Floats, Floats, Ints]:
        """Contact, longest chord (mm) and number of chords at each depth, in one pass."""
        widths, count = self._chord_table(_flat(depths))
        shape = np.shape(depths)
        return widths.sum(axis=1).reshape(shape), widths.max(axis=1).reshape(shape), count.reshape(shape)

    def silhouette_mm(self, depths: Floats, panels: Ints) -> tuple[Floats, Floats]:
        """Leftmost and rightmost x of metal (mm) at depths, each read in the panel given.

        The panel tells from which side a breakpoint is approached. Where it holds no metal: inf and -inf.
        """
        number = self._chords_in[panels]
        outermost = self._last[panels, np.maximum(number - 1, 0)]
        left = self._edges.x_at(self._first[panels, 0], depths)
        right = self._edges.x_at(outermost, depths)
        return np.where(number > 0, left, math.inf), np.where(number > 0, right, -math.inf)

    def area_to_depth_mm2(self, depths: npt.ArrayLike) -> Floats:
        """Area cut when the band has come to each depth (mm2): the exact integral of contact."""
        depth = np.clip(_flat(depths), 0.0, self.depth_mm)
        panel = self.panel_at(depth)
        return (self._area_before[panel] + self._area_in(panel, depth)).reshape(np.shape(depths))

    def chords(self, depth_mm: float) -> list[tuple[float, float]]:
        """Start and end of each chord at one depth, in the outline's own x (mm), left to right."""
        if not 0.0 <= depth_mm <= self.depth_mm:
            return []
        at = np.array([depth_mm])
        panel = int(self.panel_at(at)[0])
        number = int(self._chords_in[panel])
        first = self._edges.x_at(self._first[panel, :number], at)
        last = self._edges.x_at(self._last[panel, :number], at)
        return list(zip(first.tolist(), np.maximum(first, last).tolist(), strict=True))

    @cached_property
    def _kept_nodes(self) -> dict[tuple[int, tuple[float, ...]], Nodes]:
        return {}

    def nodes(self, per_panel: int = 16, also_at: Sequence[float] = ()) -> Nodes:
        """Gauss nodes in each smooth panel with everything evaluated at them.

        In each panel depth = middle - half cos(theta) and the rule is Gauss-Legendre in theta, so the square
        roots at tangencies become smooth; a panel near which an arc starts or ends just outside is split
        further. ``also_at`` adds depths (mm) where the integrand itself has a kink. At 16 a panel the area
        comes out to 1e-9 of itself (tests/geometry/test_scanline.py); a fractional power of a contact that
        shrinks to nothing at a tangency less well, its half power to 2e-6. Where there is metal every chord
        at a node is above 0, and each stretch has ``per_panel`` nodes. Raises InvalidValue below 2 a panel.
        """
        key = (per_panel, tuple(also_at))
        if key not in self._kept_nodes:
            self._kept_nodes[key] = self._make_nodes(per_panel, also_at)
        return self._kept_nodes[key]

    def _make_nodes(self, per_panel: int, also_at: Sequence[float]) -> Nodes:
        if per_panel < 2:
            raise InvalidValue("a panel needs at least two nodes")
        edges = self._edges
        curved = edges.bow != 0.0
        roots = np.unique(np.concatenate([edges.top[curved], edges.bottom[curved]]))
        bounds = split_panels(self.breakpoints_mm, roots, also_at)
        share, weight = theta_rule(per_panel)
        length = np.diff(bounds)[:, None]
        depth = (bounds[:-1, None] + length * share).ravel()
        panel = np.repeat(self.panel_at((bounds[:-1] + bounds[1:]) / 2.0), per_panel)
        weights = (length * weight).ravel()
        widths, count = self._chord_table(depth, panel)
        shortest = _shortest(widths, count)
        # In a stretch as thin as rounding (a flat canted by a billionth of a degree) a chord may be rounded
        # away; the whole stretch is then left out, so that the others keep their number of nodes.
        real = ((count == 0) | (shortest > 0.0)).reshape(-1, per_panel).all(axis=1).repeat(per_panel)
        depth, weights, widths, count, shortest = (a[real] for a in (depth, weights, widths, count, shortest))
        zero = np.zeros(depth.size, dtype=np.intp)
        found = (depth, weights, widths.sum(axis=1), widths.max(axis=1), shortest)
        for array in found:
            array.flags.writeable = False
        return Nodes(*found, count=count, section=zero, starts=zero[:1])


def _flat(depths: npt.ArrayLike) -> Floats:
    depth = np.asarray(depths, dtype=np.float64).ravel()
    if not np.isfinite(depth).all():
        raise InvalidValue("a depth isn't a finite number")
    return depth


def _shortest(widths: Floats, count: Ints) -> Floats:
    real = np.arange(widths.shape[1])[None, :] < count[:, None]
    return np.where(count > 0, np.where(real, widths, math.inf).min(axis=1), 0.0)


def _pair(ordered: Ints, x: Floats, sign: Floats, touch: float) -> tuple[list[int], list[int]]:
    """Pair edges sorted by x into chords; bodies that touch all along are one chord.

    An edge that enters metal has sign -1. Edges within ``touch`` of each other are taken with the entering
    ones first, so the metal isn't left between two bodies in contact.
    """
    first: list[int] = []
    last: list[int] = []
    within = 0
    place = 0
    while place < len(ordered):
        end = place + 1
        while end < len(ordered) and x[ordered[end]] - x[ordered[end - 1]] <= touch:
            end += 1
        for edge in sorted(ordered[place:end].tolist(), key=lambda e: (sign[e], x[e])):
            if within == 0:
                first.append(edge)
            within += 1 if sign[edge] < 0.0 else -1
            if within == 0:
                last.append(edge)
        place = end
    if within != 0 or len(first) != len(last):
        raise InvalidValue(Told("the outline's loops cross or overlap"))
    return first, last


@lru_cache(maxsize=8192)
def scan(outline: Outline) -> Scan:
    """The scan of an outline, kept for outlines seen before."""
    return Scan(outline)


def batch(scans: Sequence[Scan], per_panel: int = 16) -> Nodes:
    """The nodes of many sections end to end, so that one pass of NumPy serves them all.

    Raises InvalidValue when there are none.
    """
    if not scans:
        raise InvalidValue("a batch needs at least one section")
    return end_to_end([one.nodes(per_panel) for one in scans])
