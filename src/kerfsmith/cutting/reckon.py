"""The whole of one cut: a band at a speed through the work on a saw, with its intervals and its rivals."""

from dataclasses import dataclass

import numpy as np

from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import FeedControl, SawSheet
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.control import Eased, Held, law_for
from kerfsmith.cutting.figures import Figures, Floats, PowerFigures
from kerfsmith.cutting.limits import ORDER, Ints, cutting_power, cutting_powers, feed_force
from kerfsmith.cutting.models.gullet import gullet_area_mm2
from kerfsmith.cutting.set_up import Outlook, Try, figures_for, force_shares
from kerfsmith.cutting.setting import ControlTime, Limit, PowerByMethod, Slice
from kerfsmith.cutting.through_cut import Law, Passage, passage
from kerfsmith.cutting.work import Chords, Work
from kerfsmith.units.told import Told, quantity, sentence

SLICES = 100
"""Slices by which a cut is shown, about: enough for a smooth curve of feed."""
LEAST_SLICE_NODES = 8
"""Slices for each smooth stretch of the section at least, beside one at either side of its ends."""


@dataclass(frozen=True)
class Reckoned:
    """One cut reckoned: the usual figures, their law, the chords it is shown at, the times that follow."""

    work: Work
    saw: SawSheet
    one: Try
    figures: Figures
    law: Law
    chords: Chords
    feed: Floats
    rule: Ints
    passage: Passage
    seconds: tuple[float, float, float]
    """Fast, usual and slow outlook."""

    @property
    def mean_power_kw(self) -> float:
        """Energy over time."""
        return float(self.passage.kw_minutes[0] / self.passage.minutes[0])

    @property
    def mean_chip_um(self) -> float:
        """Mean chip over the travel."""
        feed = self.work.travel_mm / float(self.passage.minutes[0])
        return feed * float(self.figures.pitch[0, 0] / self.figures.speed[0, 0])

    @property
    def ruling(self) -> Limit:
        """The limit behind most of the time."""
        spent = np.bincount(self.rule[0], weights=self.chords.weight_mm / self.feed[0], minlength=len(ORDER))
        return ORDER[int(spent.argmax())]

    @property
    def rubbing_share(self) -> float:
        """Share of the time in which the chip is thinner than the least that cuts."""
        chip = self.feed * self.figures.pitch / self.figures.speed
        time = self.chords.weight_mm / self.feed
        return float(time[chip < self.figures.chip_least * (1 - 1e-9)].sum() / time.sum())


def coarse_of(one: Try) -> float:
    """Coarsest pitch of a try in mm; a small one for grit, which has no count to begin."""
    return one.band.pitch.coarse_mm if one.band.pitch else 1.0


def reckon(
    grade: Grade, work: Work, saw: SawSheet, one: Try, corrections: Corrections, condition: Condition
) -> Reckoned:
    """Reckon one try in the usual, the fast and the slow outlook, by the saw's own feed control."""
    coarse = coarse_of(one)
    figures = figures_for(grade, work, saw, (one,), corrections, condition)
    law = law_for(saw.feed_control, figures, work, coarse, share=one.feed_share)
    found = passage(figures, work, coarse, law)
    chords = work.nodes(coarse, slice_nodes(work, coarse))
    feed, rule = law(figures, chords)
    ends = [
        _seconds(grade, work, saw, one, corrections, condition, outlook)
        for outlook in (Outlook.FAST, Outlook.SLOW)
    ]
    usual = float(found.minutes[0]) * 60
    seconds = (min(ends[0], usual), usual, max(ends[1], usual))
    return Reckoned(work, saw, one, figures, law, chords, feed, rule, found, seconds)


def slice_nodes(work: Work, coarse_mm: float) -> int:
    """Slices for each smooth stretch, so that there are some :data:`SLICES` in all."""
    stretches = work.panels(coarse_mm, LEAST_SLICE_NODES)[0].size
    return max(LEAST_SLICE_NODES, round(SLICES / stretches) - 2)


def _seconds(
    grade: Grade,
    work: Work,
    saw: SawSheet,
    one: Try,
    corrections: Corrections,
    condition: Condition,
    outlook: Outlook,
) -> float:
    figures = figures_for(grade, work, saw, (one,), corrections, condition, outlook)
    law = law_for(saw.feed_control, figures, work, coarse_of(one), share=one.feed_share)
    return float(passage(figures, work, coarse_of(one), law, energy=False, exact=False).minutes[0]) * 60


def slices_of(found: Reckoned) -> tuple[Slice, ...]:
    """The cut depth by depth."""
    figures, chords, feed = found.figures, found.chords, found.feed
    chip = feed * figures.pitch / figures.speed
    count = chords.share_mm[None, :] / figures.coarse if figures.toothed else np.zeros_like(feed)
    columns = (count, feed, chip, gullet_fill(found), cutting_power(figures, chords, feed))
    force = feed_force(figures, chords, feed)
    table = np.array(
        [chords.depth_mm, chords.contact_mm, chords.longest_mm, *(values[0] for values in (*columns, force))]
    )
    return tuple(
        Slice(depth, contact, longest, teeth, speed, bite, fill, power, push, ORDER[number])
        for (depth, contact, longest, teeth, speed, bite, fill, power, push), number in zip(
            table.T.tolist(), found.rule[0].tolist(), strict=True
        )
    )


def gullet_fill(found: Reckoned) -> Floats:
    """Share of the finest gullet filled at each depth; 0 for grit."""
    figures = found.figures
    if not figures.toothed:
        return np.zeros_like(found.feed)
    chip_mm = found.feed * figures.fine / (figures.speed * 1000)
    return figures.bulking * chip_mm * found.chords.longest_mm / gullet_area_mm2(figures.fine)


def feed_force_share(found: Reckoned) -> float:
    """Greatest feed force over what the band bears straight; 0 where no method tells the force."""
    force = feed_force(found.figures, found.chords, found.feed)
    return float((force / found.figures.band_n).max())


def steady_span(
    grade: Grade, found: Reckoned, corrections: Corrections, condition: Condition
) -> tuple[float, float]:
    """The one feed that breaks no limit anywhere, mm/min, in the slow and in the fast outlook."""
    coarse, feeds = coarse_of(found.one), []
    for outlook in (Outlook.SLOW, Outlook.USUAL, Outlook.FAST):
        figures = figures_for(grade, found.work, found.saw, (found.one,), corrections, condition, outlook)
        law = law_for(FeedControl.CONSTANT_FEED, figures, found.work, coarse, share=found.one.feed_share)
        feeds.append(float(law(figures, found.chords)[0].min()))
    return min(feeds), max(feeds)


def force_span_n(
    found: Reckoned, methods: tuple[PowerByMethod, ...], condition: Condition
) -> tuple[float, float] | None:
    """Peak feed force at either end of what methods and the share of the cutting force leave open, N."""
    if not methods:
        return None
    low, _, high = force_shares(condition)
    forces = [each.peak_force_n for each in methods]
    used = found.figures.force_ratio
    return min(forces) * low / used, max(forces) * high / used


def by_control(found: Reckoned) -> tuple[ControlTime, ...]:
    """The same cut by every feed control, quickest first."""
    coarse = coarse_of(found.one)
    times = []
    for control in FeedControl:
        law = law_for(control, found.figures, found.work, coarse, share=found.one.feed_share)
        seconds = found.seconds[1]
        if control is not found.saw.feed_control:
            rough = passage(found.figures, found.work, coarse, law, energy=False, exact=False)
            seconds = float(rough.minutes[0]) * 60
        times.append(ControlTime(control, seconds, _held_words(control, law)))
    return tuple(sorted(times, key=lambda time: time.seconds))


def _held_words(control: FeedControl, law: Law) -> Told:
    share = law.share if isinstance(law, Eased) else 1.0
    held = law.law if isinstance(law, Eased) else law
    if not isinstance(held, Held):
        return (
            Told("the feed that every depth allows")
            if share == 1
            else sentence("{share} of what every depth allows", share=f"{share:.0%}")
        )
    cap, level = float(held.cap[0, 0]) * share, float(held.level[0, 0]) * share
    if held.control is FeedControl.CONSTANT_FEED:
        return sentence("{cap} from entry to exit", cap=quantity(cap, "mm/min"))
    unit = "N" if control is FeedControl.CONSTANT_FORCE else "cm2/min"
    if not np.isfinite(level):
        return sentence("{cap} from entry to exit", cap=quantity(cap, "mm/min"))
    return sentence(
        "{level}, the feed valve at {cap}", level=quantity(level, unit), cap=quantity(cap, "mm/min")
    )


def power_by_method(grade: Grade, found: Reckoned) -> tuple[PowerByMethod, ...]:
    """Power and force of the same feed by each method that has figures."""
    power: PowerFigures = found.figures.power
    names = [
        (sentence("Kienzle, group {group}", group=source.group), source.kc11.source)
        for source in grade.kienzle
    ]
    if power.unit_power is not None and grade.unit_power:
        names.append((Told("unit power"), grade.unit_power[0].figure.source))
    time = found.chords.weight_mm / found.feed[0]
    out = []
    for (name, source), values in zip(
        names, cutting_powers(power, found.figures, found.chords, found.feed), strict=True
    ):
        peak, mean = float(values.max()), float((values[0] * time).sum() / time.sum())
        force = peak * 60_000 * found.figures.force_ratio / found.one.speed_m_per_min
        out.append(PowerByMethod(name, source, peak, mean, force))
    return tuple(out)
