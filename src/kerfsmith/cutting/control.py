"""The same cut on saws that can hold different things: the limits, a feed, a force or an area rate.

A saw that follows the cut runs at the allowed feed everywhere. One that holds a feed must hold the least of
them. One that holds a force or an area rate also has a valve that caps its feed, or it would race where the
band meets little; force or rate and cap are set together to the quickest pair that breaks no limit.
"""

from dataclasses import dataclass

import numpy as np

from kerfsmith.catalog.saw import FeedControl
from kerfsmith.cutting.figures import Figures, Floats
from kerfsmith.cutting.limits import Ints, allowed_feed, cutting_power, power_feed
from kerfsmith.cutting.through_cut import Law
from kerfsmith.cutting.work import Chords, Work

CAPS = 12
CAP_TURNS = 3
"""Settings of the feed valve that are tried, over the whole span and then twice about the best."""

PROOF_NODES = 48
"""Nodes in each smooth stretch at which a law once tuned is looked over."""

MARGIN = 1e-3
"""Held back from a level read off at nodes, which can miss the very peak by less than this."""


@dataclass(frozen=True, slots=True)
class Held:
    """A held quantity as a law of feed: never above ``cap`` (mm/min), elsewhere at ``level`` (N or cm2/min).

    ``cap_rule`` and ``level_rule`` number the limits at which cap and level were set. All shaped (settings,
    1).
    """

    control: FeedControl
    cap: Floats
    cap_rule: Ints
    level: Floats
    level_rule: Ints

    def __call__(self, figures: Figures, chords: Chords) -> tuple[Floats, Ints]:
        """Feed in mm/min and the number of the limit behind it."""
        law = self if figures.origin is None else self.take(figures.origin)
        feed = _feed_at(self.control, figures, chords, law.level)
        held = feed < law.cap
        return np.where(held, feed, law.cap), np.where(held, law.level_rule, law.cap_rule)

    def take(self, rows: Ints) -> "Held":
        """The law of some settings, repeated as asked."""
        return Held(
            self.control, self.cap[rows], self.cap_rule[rows], self.level[rows], self.level_rule[rows]
        )


@dataclass(frozen=True, slots=True)
class Eased:
    """A law of feed run at a share of what it allows."""

    law: Law
    share: float

    def __call__(self, figures: Figures, chords: Chords) -> tuple[Floats, Ints]:
        """Feed in mm/min and the number of the limit behind it."""
        feed, rule = self.law(figures, chords)
        return feed * self.share, rule


def law_for(
    control: FeedControl,
    figures: Figures,
    work: Work,
    coarse_mm: float,
    *,
    share: float = 1.0,
    caps: int = CAPS,
) -> Law:
    """:func:`full_law_for`, run at a share of the feed it allows."""
    law = full_law_for(control, figures, work, coarse_mm, caps)
    return law if share == 1.0 else Eased(law, share)


def full_law_for(control: FeedControl, figures: Figures, work: Work, coarse_mm: float, caps: int) -> Law:
    """How a saw with this control best feeds through this work, for settings of one coarsest pitch.

    A saw that should hold a force, where no method tells the force, is taken to hold its feed.
    """
    if control is FeedControl.FOLLOWS_CUT:
        return allowed_feed
    chords = work.nodes(coarse_mm)
    feed, rule = allowed_feed(figures, chords)
    if control is FeedControl.CONSTANT_FEED or (
        control is FeedControl.CONSTANT_FORCE and not figures.power.known
    ):
        return _constant(figures, work, coarse_mm, feed, rule)
    held = _tuned(control, figures, chords, feed, rule, caps)
    return held if caps < CAPS else _proved(held, figures, work.nodes(coarse_mm, PROOF_NODES))


def _constant(figures: Figures, work: Work, coarse_mm: float, feed: Floats, rule: Ints) -> Held:
    """The least allowed feed, sought between the nodes too."""
    depth = work.nodes(coarse_mm).depth_mm
    place = feed.argmin(axis=1)
    least = np.take_along_axis(feed, place[:, None], axis=1)
    named = np.take_along_axis(rule, place[:, None], axis=1)
    above = depth[np.maximum(place - 1, 0)]
    below = depth[np.minimum(place + 1, depth.size - 1)]
    for _ in range(2):
        between = np.linspace(above, below, 33, axis=1)
        near, _ = allowed_feed(figures, work.chords_at(between, np.zeros_like(between), coarse_mm))
        at = near.argmin(axis=1)
        rows = np.arange(at.size)
        least = np.minimum(least, near[rows, at][:, None])
        above, below = between[rows, np.maximum(at - 1, 0)], between[rows, np.minimum(at + 1, 32)]
    return Held(FeedControl.CONSTANT_FEED, least, named, np.full_like(least, np.inf), named)


def _tuned(
    control: FeedControl, figures: Figures, chords: Chords, feed: Floats, rule: Ints, caps: int
) -> Held:
    """Try caps over the span of allowed feeds, then between the neighbours of the best."""
    measure = _level_at(control, figures, chords, feed)
    least, most = feed.min(axis=1, keepdims=True), feed.max(axis=1, keepdims=True)
    laws: list[Held] = []
    times: list[Floats] = []
    for _ in range(CAP_TURNS if caps >= CAPS else 1):
        spread = [least * (most / least) ** share for share in np.linspace(0, 1, caps)]
        tried = [_guarded(control, cap, feed, rule, measure) for cap in spread]
        taken = np.stack([chords.row(1.0 / law(figures, chords)[0]) for law in tried])
        laws, times = [*laws, *tried], [*times, *taken]
        place, table = taken.argmin(axis=0)[:, None], np.hstack(spread)
        least = np.take_along_axis(table, np.maximum(place - 1, 0), axis=1)
        most = np.take_along_axis(table, np.minimum(place + 1, caps - 1), axis=1)
    return _quickest(laws, np.stack(times))


def _guarded(control: FeedControl, cap: Floats, feed: Floats, rule: Ints, measure: Floats) -> Held:
    """With a cap: the level that guards all depths below it, and the limits that pin cap and level."""
    guarded = np.where(feed < cap, measure, np.inf)
    at = guarded.argmin(axis=1)[:, None]
    level = np.take_along_axis(guarded, at, axis=1) * (1 - MARGIN)
    above = np.where(feed >= cap * (1 - 1e-12), feed, np.inf).argmin(axis=1)[:, None]
    pinned = np.take_along_axis(rule, above, axis=1)
    return Held(control, cap * (1 - MARGIN), pinned, level, np.take_along_axis(rule, at, axis=1))


def _quickest(laws: list[Held], times: Floats) -> Held:
    """For each setting the law of least time."""
    place = times.argmin(axis=0)
    rows = np.arange(place.size)

    def floats(name: str) -> Floats:
        table: Floats = np.hstack([getattr(law, name) for law in laws])
        taken: Floats = table[rows, place][:, None]
        return taken

    def numbers(name: str) -> Ints:
        table: Ints = np.hstack([getattr(law, name) for law in laws])
        taken: Ints = table[rows, place][:, None]
        return taken

    return Held(laws[0].control, floats("cap"), numbers("cap_rule"), floats("level"), numbers("level_rule"))


def _proved(held: Held, figures: Figures, chords: Chords) -> Held:
    """The law turned down where a closer look finds a peak that the nodes had missed."""
    allowed, _ = allowed_feed(figures, chords)
    excess = np.maximum((held(figures, chords)[0] / allowed).max(axis=1, keepdims=True), 1.0)
    return Held(held.control, held.cap / excess, held.cap_rule, held.level / excess, held.level_rule)


def _level_at(control: FeedControl, figures: Figures, chords: Chords, feed: Floats) -> Floats:
    if control is FeedControl.CONSTANT_AREA_RATE:
        return feed * chords.contact_mm / 100
    return cutting_power(figures, chords, feed) * (60_000.0 * figures.force_ratio) / figures.speed


def _feed_at(control: FeedControl, figures: Figures, chords: Chords, level: Floats) -> Floats:
    if control is FeedControl.CONSTANT_FEED:
        return np.broadcast_to(level, np.broadcast_shapes(level.shape, chords.contact_mm.shape))
    if control is FeedControl.CONSTANT_AREA_RATE:
        return level * 100 / np.maximum(chords.contact_mm, 1e-12)
    held = np.isfinite(level)
    power = np.where(held, level, 0.0) * figures.speed / (60_000.0 * figures.force_ratio)
    return np.where(held, power_feed(figures, chords, power), np.inf)
