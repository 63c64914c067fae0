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
from kerfsmith.cutting.limits import ORDER, Ints, allowed_feed, cutting_power
from kerfsmith.cutting.models.teeth_in_cut import LEAST
from kerfsmith.cutting.reckon import coarse_of
from kerfsmith.cutting.set_up import Try, at_speeds, figures_for
from kerfsmith.cutting.setting import Limit
from kerfsmith.cutting.speed import Speed, band_speed
from kerfsmith.cutting.work import Chords, Work

SPEEDS = 50
SPEED_SHARES = (0.6, 1.2)
"""Speeds tried, as shares of what the grade wants: inside the range in which a Taylor law is carried over."""

NODES = 8
CAPS = 6
_MOTOR, _FEED = ORDER.index(Limit.MOTOR_POWER), ORDER.index(Limit.SAW_FEED)

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
    by_pitch: dict[float, list[int]] = {}
    for number, band in enumerate(kept):
        by_pitch.setdefault(coarse_of(Try(band, asked[number], 0.0)), []).append(number)
    for coarse, members in by_pitch.items():
        tries = tuple(Try(kept[k], asked[k], asked[k].used) for k in members)
        one_each = figures_for(grade, work, saw, tries, corrections, condition)
        _fill(found, np.array(members), _speed_table(grade, saw, tries, speeds), one_each, coarse, saw)
    return found


def _speed_table(grade: Grade, saw: SawSheet, tries: Sequence[Try], speeds: int) -> Floats:
    """Speeds to try for each band, rising, within what saw and grade allow: (bands, speeds)."""
    wanted = np.array([one.speed.wanted for one in tries])[:, None]
    table = wanted * np.linspace(*SPEED_SHARES, speeds)
    if grade.fire_speed is not None:
        table = np.minimum(table, grade.fire_speed.low)
    table = np.clip(table, saw.band_speed_min_m_per_min, saw.band_speed_max_m_per_min)
    return np.asarray(table, dtype=np.float64)


def _fill(
    found: Survey, members: Ints, table: Floats, one_each: Figures, coarse_mm: float, saw: SawSheet
) -> None:
    """Reckon the members, bands of one coarsest pitch, at all their speeds.

    Chip, gullet, area rate and force all allow feed in proportion to band speed. Where neither the motor nor
    the saw's feed range rules anywhere at a band's fastest speed they don't at any, so the cut at every speed
    is the fastest one slowed down. Other bands are reckoned speed by speed.
    """
    speeds = table.shape[1]
    fastest = table[:, -1:]
    top = _measured(at_speeds(one_each, fastest), found.work, coarse_mm, saw)
    ratio = table / fastest
    cells = members[:, None] * speeds + np.arange(speeds)
    found.speed_m_per_min[cells] = table
    found.seconds[cells] = top.seconds[:, None] / ratio
    found.slowest[cells] = top.slowest[:, None] * ratio
    found.strain[cells] = np.maximum(top.bite[:, None], top.motor[:, None] * ratio)
    found.chip_um[cells] = top.chip_um[:, None]
    bound = np.flatnonzero(top.bound)
    for begin in range(0, bound.size, max(1, AT_ONCE // speeds)):
        some = bound[begin : begin + max(1, AT_ONCE // speeds)]
        each = _measured(at_speeds(one_each.take(some), table[some]), found.work, coarse_mm, saw)
        at = cells[some].ravel()
        found.seconds[at], found.slowest[at] = each.seconds, each.slowest
        found.strain[at], found.chip_um[at] = np.maximum(each.bite, each.motor), each.chip_um


@dataclass(frozen=True, slots=True)
class _Measured:
    """What the trade-off weighs, an entry a setting; ``bound`` where motor or feed range rules somewhere."""

    seconds: Floats
    slowest: Floats
    chip_um: Floats
    bite: Floats
    motor: Floats
    bound: NDArray[np.bool_]


def _measured(figures: Figures, work: Work, coarse_mm: float, saw: SawSheet) -> _Measured:
    chords = work.nodes(coarse_mm, NODES)
    law = law_for(saw.feed_control, figures, work, coarse_mm, caps=CAPS)
    feed, _ = law(figures, chords)
    minutes = chords.row(1.0 / feed)
    _, rule = allowed_feed(figures, chords)
    bite, motor = strains(figures, chords, feed)
    return _Measured(
        seconds=minutes * 60,
        slowest=feed.min(axis=1),
        chip_um=work.travel_mm / minutes * figures.pitch[:, 0] / figures.speed[:, 0],
        bite=bite.max(axis=1),
        motor=motor.max(axis=1),
        bound=((rule == _MOTOR) | (rule == _FEED)).any(axis=1),
    )


def strains(figures: Figures, chords: Chords, feed: Floats) -> tuple[Floats, Floats]:
    """The largest share, at each depth, of what edge, gullets and band bear; and the share of the motor."""
    bite = feed * (figures.pitch / figures.speed / figures.chip_most)
    if figures.toothed:
        room = figures.fill_most * 300.0 * figures.fine * figures.speed / figures.bulking
        bite = np.maximum(bite, feed * chords.longest_mm / room)
    if not figures.power.known:
        return bite, np.zeros_like(bite)
    power = cutting_power(figures, chords, feed)
    push = 60_000.0 * figures.force_ratio / figures.speed / np.minimum(figures.band_n, figures.saw_n)
    return np.maximum(bite, power * push), power / figures.motor_kw
