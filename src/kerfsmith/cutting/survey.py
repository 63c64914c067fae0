"""Every band at every speed through one work, all at once: the floor of the trade-off."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.candidates import least_teeth, suits, too_coarse
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.control import law_for
from kerfsmith.cutting.figures import Figures, Floats
from kerfsmith.cutting.fit import band_fits
from kerfsmith.cutting.limits import Ints, feed_force
from kerfsmith.cutting.models.teeth_in_cut import LEAST
from kerfsmith.cutting.reckon import coarse_of
from kerfsmith.cutting.set_up import Try, at_speeds, figures_for
from kerfsmith.cutting.speed import Speed, band_speed
from kerfsmith.cutting.through_cut import passage
from kerfsmith.cutting.work import Chords, Work

SPEEDS = 50
SPEED_SHARES = (0.6, 1.2)
"""Speeds tried, as shares of what the grade wants: inside the range in which a Taylor law is carried over."""

NODES = 8
CAPS = 6
AT_ONCE = 2000
"""Settings reckoned in one pass of NumPy, so that the tables stay in the processor's cache."""


@dataclass(frozen=True)
class Survey:
    """Settings side by side, one entry each. ``place`` is the place of the band in ``bands``.

    ``seconds`` is good to some 1e-3 of itself (kinks within a panel aren't sought). ``strain`` is the largest
    share of what gullets, band, motor and edge bear; ``slowest`` the least feed (mm/min) and ``chip_um`` the
    mean chip, against ``chip_least_um`` under which the band would rub.
    """

    work: Work
    bands: tuple[Band, ...]
    speeds: tuple[Speed, ...]
    place: Ints
    speed_m_per_min: Floats
    seconds: Floats
    strain: Floats
    slowest: Floats
    chip_um: Floats
    chip_least_um: float

    def able(self, saw: SawSheet, feed_share: float = 1.0) -> NDArray[np.bool_]:
        """Which settings the saw can run at a share of the allowed feed without rubbing more than at all of
        it.
        """
        slow_enough = self.slowest * feed_share >= saw.feed_min_mm_per_min * (1 - 1e-9)
        return slow_enough & ((feed_share == 1) | (self.chip_um * feed_share >= self.chip_least_um))


def survey(
    grade: Grade,
    work: Work,
    saw: SawSheet,
    bands: Sequence[Band],
    corrections: Corrections,
    condition: Condition,
    *,
    speeds: int = SPEEDS,
) -> Survey:
    """Every band that runs on the saw and suits the grade, at ``speeds`` speeds about the one it wants.

    Bands with fewer than two teeth in a wall that lasts are left out as long as others have more.
    """
    usable = [band for band in bands if band_fits(saw, band.width_mm) and suits(grade, band)]
    usable = [band for band in usable if not too_coarse(work, band)]
    usable = [band for band in usable if least_teeth(work, band) >= LEAST] or usable
    wanted = {band.id: band_speed(grade, work, band, saw, corrections, condition) for band in usable}
    kept = tuple(band for band in usable if wanted[band.id].possible)
    empty = np.empty((5, len(kept) * speeds))
    asked = tuple(wanted[band.id] for band in kept)
    place = np.repeat(np.arange(len(kept)), speeds)
    found = Survey(
        work, kept, asked, place, empty[0], empty[1], empty[2], empty[3], empty[4], grade.chip_um.low
    )
    for coarse in sorted({coarse_of(Try(band, wanted[band.id], 0.0)) for band in kept}):
        members = [k for k, band in enumerate(kept) if coarse_of(Try(band, wanted[band.id], 0.0)) == coarse]
        for begin in range(0, len(members), max(1, AT_ONCE // speeds)):
            some = members[begin : begin + max(1, AT_ONCE // speeds)]
            _fill(found, some, coarse, grade, saw, corrections, condition, speeds)
    return found


def _fill(
    found: Survey,
    members: list[int],
    coarse_mm: float,
    grade: Grade,
    saw: SawSheet,
    corrections: Corrections,
    condition: Condition,
    speeds: int,
) -> None:
    """Reckon the members, bands of one coarsest pitch, at all their speeds."""
    tries = tuple(Try(found.bands[k], found.speeds[k], found.speeds[k].used) for k in members)
    one_each = figures_for(grade, found.work, saw, tries, corrections, condition)
    low, high = SPEED_SHARES
    wanted = np.array([one.speed.wanted for one in tries])[:, None]
    table = wanted * np.linspace(low, high, speeds)
    if grade.fire_speed is not None:
        table = np.minimum(table, grade.fire_speed.low)
    table = np.clip(table, saw.band_speed_min_m_per_min, saw.band_speed_max_m_per_min)
    figures = at_speeds(one_each, table)
    law = law_for(saw.feed_control, figures, found.work, coarse_mm, caps=CAPS)
    minutes = passage(figures, found.work, coarse_mm, law, energy=False, exact=False, per_panel=NODES).minutes
    chords = found.work.nodes(coarse_mm, NODES)
    feed, _ = law(figures, chords)
    at = (np.array(members)[:, None] * speeds + np.arange(speeds)).ravel()
    found.speed_m_per_min[at] = table.ravel()
    found.seconds[at] = minutes * 60
    found.strain[at] = strain_of(figures, chords, feed).max(axis=1)
    found.slowest[at] = feed.min(axis=1)
    mean_feed = found.work.travel_mm / minutes
    found.chip_um[at] = mean_feed * figures.pitch[:, 0] / figures.speed[:, 0]


def strain_of(figures: Figures, chords: Chords, feed: Floats) -> Floats:
    """The largest share, at each depth, of what edge, gullets, band and motor bear."""
    chip = feed * figures.pitch / figures.speed
    shares = chip / figures.chip_most
    if figures.toothed:
        fill = figures.bulking * feed * chords.longest_mm / (300.0 * figures.fine * figures.speed)
        shares = np.maximum(shares, fill / figures.fill_most)
    if figures.power.known:
        force = feed_force(figures, chords, feed)
        shares = np.maximum(shares, force / np.minimum(figures.band_n, figures.saw_n))
        power = force * figures.speed / (60_000.0 * figures.force_ratio)
        shares = np.maximum(shares, power / figures.motor_kw)
    return shares
