"""The work as the band meets it: one section or a bundle, lying some way, cut square or mitred."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from kerfsmith.cutting.models.gullet import gullet_depth_mm
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.quadrature import theta_rule
from kerfsmith.geometry.scanline import Scan, scan

Floats = NDArray[np.float64]

LASTING_SHARE = 0.1
"""A chord is said to last when the cut stays at or below it for this share of the travel."""

LASTING_DEPTHS = 2000
"""Depths, evenly spaced, at which the chord that lasts is sought: its place is good to 1/2000 of the travel.
"""

PEAK_TURNS = 4
"""Turns in which a peak is closed in on, sixteenfold each: its height goes by the square of what is left."""

END_INSET = 1e-7
"""How far inside the end of a stretch, as a share of the travel, its end is looked at."""


@dataclass(frozen=True, slots=True)
class Chords:
    """What the band meets at some depths. All arrays share a shape, mm.

    ``share_mm`` is the mean chord there, by which teeth are counted: where a bar begins and ends it is read
    one gullet depth further into that bar, since an edge can't fall deeper between two teeth than the gullet
    is deep.
    """

    depth_mm: Floats
    weight_mm: Floats
    contact_mm: Floats
    longest_mm: Floats
    share_mm: Floats

    def row(self, values: Floats) -> Floats:
        """Integral over depth of values given at these depths, along the last axis."""
        total: Floats = np.sum(values * self.weight_mm, axis=-1)
        return total


@dataclass(frozen=True, slots=True)
class _Bars:
    """Bars that the band meets alike: ``times`` of them, each beginning at ``top_mm``."""

    top_mm: float
    scan: Scan
    times: int

    def entry_mm(self, coarse_mm: float) -> float:
        """How far in the count of teeth begins to hold: one gullet, or half the travel of thin work."""
        return min(gullet_depth_mm(coarse_mm), self.scan.depth_mm / 2)


@dataclass(frozen=True)
class Work:
    """Work in the vise. ``scan`` is the section in the cutting plane, whole bundle and mitre included.

    ``wall_mm`` is the thinnest wall as the catalog knows it, None for solid bar. ``piece_width_mm`` and
    ``piece_height_mm`` are the extents of all pieces together, square to the bar, and ``square_area_mm2``
    their area.
    """

    scan: Scan
    lie: str = "as drawn"
    angle_deg: float = 0.0
    bundle: int = 1
    wall_mm: float | None = None
    structural: bool = False
    piece_width_mm: float = 0.0
    piece_height_mm: float = 0.0
    square_area_mm2: float = 0.0
    _kept: dict[tuple[float, int], Chords] = field(default_factory=dict, repr=False, compare=False)

    @property
    def travel_mm(self) -> float:
        """How far the band moves through the work, mm."""
        return self.scan.depth_mm

    @property
    def width_mm(self) -> float:
        """Extent along the band, mm: what the guides must span."""
        return self.scan.outline.width_mm

    @property
    def area_mm2(self) -> float:
        """Area sawn, mm2."""
        return self.scan.area_mm2

    @property
    def mean_contact_mm(self) -> float:
        """Mean length of cut, mm: area over travel."""
        return self.scan.mean_chord_mm

    @property
    def is_solid(self) -> bool:
        """Whether it is one solid bar, whose size the trade's tables go by."""
        return self.wall_mm is None and self.bundle == 1

    @property
    def length_of_cut_mm(self) -> float:
        """Length of cut by which speed and pitch are printed, mm: the full width of a solid bar, else the
        mean.

        Source: MH31 p. 1245, which takes area over travel for a tube and the size itself for solid bar.
        """
        return self.longest_chord_mm if self.is_solid else self.mean_contact_mm

    @cached_property
    def longest_chord_mm(self) -> float:
        """Longest unbroken chord anywhere, mm: the longest at a node, then sought between its neighbours."""
        nodes = self.scan.nodes()
        at = int(nodes.longest_mm.argmax())
        longest = float(nodes.longest_mm[at])
        above, below = nodes.depth_mm[max(at - 1, 0)], nodes.depth_mm[min(at + 1, nodes.depth_mm.size - 1)]
        for _ in range(PEAK_TURNS):
            depths = np.linspace(above, below, 33)
            found = self.scan.longest_chord_mm(depths)
            at = int(found.argmax())
            longest = max(longest, float(found[at]))
            above, below = depths[max(at - 1, 0)], depths[min(at + 1, 32)]
        return longest

    @cached_property
    def lasting_chord_mm(self) -> float:
        """The thinnest chord that lasts, mm: the cut stays at or below it for a tenth of its travel."""
        depths = (np.arange(LASTING_DEPTHS) + 0.5) * (self.travel_mm / LASTING_DEPTHS)
        at = int(LASTING_SHARE * LASTING_DEPTHS) - 1
        return float(np.partition(self.scan.shortest_chord_mm(depths), at)[at])

    @cached_property
    def _bars(self) -> tuple["_Bars", ...]:
        """Where each bar of a bundle begins, and its own scan; those that the band meets alike together."""
        if len(self.scan.outline.bodies) == 1:
            return (_Bars(0.0, self.scan, 1),)
        top = self.scan.outline.bounds[3]
        found: dict[tuple[float, ...], list[Outline]] = {}
        for body in self.scan.outline.bodies:
            one = Outline((body,))
            alike = (top - one.bounds[3], one.height_mm, one.area_mm2, one.centroid[1])
            found.setdefault(tuple(round(each, 6) for each in alike), []).append(one)
        return tuple(_Bars(top - same[0].bounds[3], scan(same[0]), len(same)) for same in found.values())

    def entries_mm(self, coarse_mm: float) -> tuple[float, ...]:
        """Depths at which the count of teeth begins and ceases to hold, in order: a gullet into each bar."""
        found: set[float] = set()
        for bars in self._bars:
            depth, entry = bars.scan.depth_mm, bars.entry_mm(coarse_mm)
            found |= {bars.top_mm + entry, bars.top_mm + depth - entry}
        return tuple(sorted(found))

    def _share_mm(self, depth_mm: Floats, coarse_mm: float) -> Floats:
        """Mean chord by which teeth are counted, each bar read a gullet in from where it begins and ends."""
        total, number = np.zeros(depth_mm.shape), np.zeros(depth_mm.shape)
        for bars in self._bars:
            own, entry = depth_mm - bars.top_mm, bars.entry_mm(coarse_mm)
            here = (own >= 0.0) & (own <= bars.scan.depth_mm)
            inner, _, count = bars.scan.met(np.clip(own[here], entry, bars.scan.depth_mm - entry))
            total[here] += inner * bars.times
            number[here] += count * bars.times
        share: Floats = total / np.maximum(number, 1)
        return share

    def chords_at(self, depth_mm: Floats, weight_mm: Floats, coarse_mm: float) -> Chords:
        """What the band meets at depths of any shape, for teeth of a coarsest pitch."""
        contact, longest, count = self.scan.met(depth_mm)
        if len(self._bars) > 1 or self._bars[0].times > 1:
            return Chords(depth_mm, weight_mm, contact, longest, self._share_mm(depth_mm, coarse_mm))
        entry = self._bars[0].entry_mm(coarse_mm)
        share = contact / np.maximum(count, 1)
        outer = (depth_mm < entry) | (depth_mm > self.travel_mm - entry)
        if outer.any():
            inward = np.minimum(np.maximum(depth_mm[outer], entry), self.travel_mm - entry)
            inner, _, number = self.scan.met(inward)
            share[outer] = inner / np.maximum(number, 1)
        return Chords(depth_mm, weight_mm, contact, longest, share)

    def panels(self, coarse_mm: float, per_panel: int) -> tuple[Floats, Floats]:
        """Upper and lower depth (mm) of each stretch in which every chord is smooth and the count's place
        too.
        """
        nodes = self.scan.nodes(per_panel, also_at=self.entries_mm(coarse_mm))
        depth = nodes.depth_mm.reshape(-1, per_panel)
        share, _ = theta_rule(per_panel)
        length = (depth[:, -1] - depth[:, 0]) / (share[-1] - share[0])
        upper = depth[:, 0] - length * share[0]
        return upper, upper + length

    def nodes(self, coarse_mm: float, per_panel: int = 16) -> Chords:
        """Chords at quadrature nodes in order of depth, ``per_panel`` + 2 for each of :meth:`panels`; kept.

        The first and last of a panel lie just inside its ends, where contact may jump, and weigh nothing.
        """
        key = (coarse_mm, per_panel)
        if key not in self._kept:
            upper, lower = self.panels(coarse_mm, per_panel)
            self._kept[key] = self.chords_between(upper, lower, coarse_mm, per_panel, ends=True)
        return self._kept[key]

    def chords_between(
        self, upper_mm: Floats, lower_mm: Floats, coarse_mm: float, per_panel: int, *, ends: bool = False
    ) -> Chords:
        """Chords at nodes and weights between pairs of depths, one row a pair; in one line with their
        ``ends``.
        """
        share, weight = theta_rule(per_panel)
        length = (lower_mm - upper_mm)[:, None]
        depth, weights = upper_mm[:, None] + length * share, length * weight
        if not ends:
            return self.chords_at(depth, weights, coarse_mm)
        inset = np.minimum(END_INSET * self.travel_mm, length / 1000)
        depth = np.concatenate([upper_mm[:, None] + inset, depth, lower_mm[:, None] - inset], axis=1)
        weights = np.pad(weights, ((0, 0), (1, 1)))
        return self.chords_at(depth.ravel(), weights.ravel(), coarse_mm)
