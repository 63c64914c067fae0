"""Each limit on the feed at each depth, for many settings at once, and the least of them.

All take :class:`Figures` shaped (settings, 1) and :class:`Chords` shaped (depths,) or (settings, depths), and
give feed in mm/min shaped (settings, depths). A limit that isn't there is infinite.
"""

import numpy as np
from numpy.typing import NDArray

from kerfsmith.cutting.figures import Figures, Floats, Number, PowerFigures
from kerfsmith.cutting.models import gullet, handbook_2020, teeth_in_cut, vdi_3323
from kerfsmith.cutting.setting import Limit
from kerfsmith.cutting.work import Chords

Ints = NDArray[np.intp]

ORDER = (
    Limit.GREATEST_CHIP,
    Limit.TEETH_IN_CUT,
    Limit.GULLET,
    Limit.AREA_RATE,
    Limit.LEAST_CHIP,
    Limit.MOTOR_POWER,
    Limit.BAND_FORCE,
    Limit.SAW_FORCE,
    Limit.SAW_FEED,
)
"""The order in which limits are numbered; where two are equal the first is named."""

_CHIP_KINKS_MM = np.array([vdi_3323.LEAST_CHIP_MM, *handbook_2020.FEED_MM])

KW_MM2_MIN = 6.0e7
"""N/mm2 times mm3/min in one kW."""


def chip_feed(figures: Figures, chords: Chords) -> tuple[Floats, NDArray[np.bool_]]:
    """Feed at the greatest chip, held back where fewer than three teeth share a chord, and where it is."""
    per_um = figures.speed / figures.pitch
    if not figures.toothed:
        feed = figures.chip_most * per_um
        shape = np.broadcast_shapes(feed.shape, chords.contact_mm.shape)
        return np.broadcast_to(feed, shape), np.zeros(shape, dtype=np.bool_)
    count = np.minimum(chords.share_mm / figures.coarse, teeth_in_cut.WANTED)
    chip = figures.chip_least + (figures.chip_most - figures.chip_least) * (count / teeth_in_cut.WANTED)
    return chip * per_um, count < teeth_in_cut.WANTED


def gullet_feed(figures: Figures, chords: Chords) -> Floats:
    """Feed at which the finest gullet is as full as it may be when it leaves the longest chord."""
    room = figures.fill_most / figures.bulking * (gullet.AREA_SHARE * 1000.0) * figures.fine * figures.speed
    return room / np.maximum(chords.longest_mm, 1e-12)


def rate_feed(figures: Figures, chords: Chords) -> tuple[Floats, NDArray[np.bool_]]:
    """Feed at the area rate, and where that rate gives way so that the least chip is kept.

    A chip thinner than the least would rub. The rate then gives way, but no further than the top of its span;
    where even that top makes a thinner chip, it is still the rate that rules.
    """
    contact = np.maximum(chords.contact_mm, 1e-12)
    usual, most = figures.rate * 100 / contact, figures.rate_most * 100 / contact
    kept = figures.chip_least * figures.speed / figures.pitch
    return np.maximum(usual, np.minimum(most, kept)), (kept > usual) & (kept <= most)


def power_feed(figures: Figures, chords: Chords, power_kw: Floats) -> Floats:
    """Feed at which the teeth take ``power_kw``: by each method with figures, the lowest (or highest if
    lenient).
    """
    found = [_kienzle_feed(figures, chords, power_kw, *pair) for pair in figures.power.kienzle]
    if figures.power.unit_power is not None:
        found.append(_unit_power_feed(figures, chords, power_kw, figures.power.unit_power))
    if not found:
        shape = np.broadcast_shapes(figures.speed.shape, chords.contact_mm.shape)
        return np.full(shape, np.inf)
    best = found[0]
    for other in found[1:]:
        best = np.maximum(best, other) if figures.power.lenient else np.minimum(best, other)
    return best


def _kienzle_feed(figures: Figures, chords: Chords, power_kw: Floats, kc11: Number, mc: Number) -> Floats:
    """Solve kc1.1 max(h, h0)^-mc W k vf wear = P for vf, exactly on either side of h0."""
    chip_mm_per_feed = figures.pitch / (figures.speed * 1000.0)
    load = power_kw * (KW_MM2_MIN / (kc11 * figures.power.wear)) / figures.kerf
    rise = 1.0 / (1.0 - mc)
    contact = np.maximum(chords.contact_mm, 1e-12)
    thick = (load * chip_mm_per_feed**mc) ** rise * contact**-rise
    thin = load * vdi_3323.LEAST_CHIP_MM**mc / contact
    return np.where(thin * chip_mm_per_feed <= vdi_3323.LEAST_CHIP_MM, thin, thick)


def _unit_power_feed(figures: Figures, chords: Chords, power_kw: Floats, unit: Number) -> Floats:
    """Solve Kp C(h) W k vf wear = P for vf through C(h) h."""
    chip_mm_per_feed = figures.pitch / (figures.speed * 1000.0)
    load = power_kw * (60_000.0 / (unit * figures.power.wear)) / figures.kerf * chip_mm_per_feed
    return handbook_2020.chip_for_load(load / np.maximum(chords.contact_mm, 1e-12)) / chip_mm_per_feed


def power_cap(figures: Figures) -> tuple[Floats, Ints]:
    """Power at the teeth (kW) that motor, band stiffness or the saw's feed force allow, and which."""
    per_newton = figures.speed / (60_000.0 * figures.force_ratio)
    caps = np.stack([figures.motor_kw, figures.band_n * per_newton, figures.saw_n * per_newton])
    which = caps.argmin(axis=0)
    return caps.min(axis=0), which + ORDER.index(Limit.MOTOR_POWER)


def allowed_feed(figures: Figures, chords: Chords) -> tuple[Floats, Ints]:
    """The greatest feed that no limit forbids, mm/min, and the place in ORDER of the limit that rules."""
    feed, few = chip_feed(figures, chords)
    rule = np.where(few, ORDER.index(Limit.TEETH_IN_CUT), ORDER.index(Limit.GREATEST_CHIP))
    if figures.toothed:
        feed, rule = _least(feed, rule, gullet_feed(figures, chords), ORDER.index(Limit.GULLET))
    rate, kept = rate_feed(figures, chords)
    named = np.where(kept, ORDER.index(Limit.LEAST_CHIP), ORDER.index(Limit.AREA_RATE))
    feed, rule = _least(feed, rule, rate, named)
    if figures.power.known:
        cap, which = power_cap(figures)
        feed, rule = _least(feed, rule, power_feed(figures, chords, cap), which)
    return _least(feed, rule, figures.feed_most, ORDER.index(Limit.SAW_FEED))


def _least(feed: Floats, rule: Ints, other: Floats, named: Ints | int) -> tuple[Floats, Ints]:
    lower = other < feed
    return np.where(lower, other, feed), np.where(lower, named, rule)


def pieces(figures: Figures, chords: Chords, feed: Floats, rule: Ints) -> Ints:
    """A number that changes wherever feed over depth changes its formula, so that no kink goes unseen.

    Beside the limit itself these are the power method that demands most, the stretch of its chip table,
    and whether the rate is the usual one or has given way for the chip up to its top.
    """
    found = rule
    by_rate = rule == ORDER.index(Limit.AREA_RATE)
    if by_rate.any():
        above = feed * chords.contact_mm > figures.rate * (100 * (1 + 1e-9))
        found = np.where(by_rate & above, -1, found)
    by_power = (rule >= ORDER.index(Limit.MOTOR_POWER)) & (rule <= ORDER.index(Limit.SAW_FORCE))
    if not by_power.any():
        return found
    powers = np.stack(cutting_powers(figures.power, figures, chords, feed))
    method = powers.argmin(axis=0) if figures.power.lenient else powers.argmax(axis=0)
    stretch = np.searchsorted(_CHIP_KINKS_MM, feed * figures.pitch / (figures.speed * 1000.0))
    return np.where(by_power, rule + len(ORDER) * (1 + method * 8 + stretch), found)


def cutting_powers(power: PowerFigures, figures: Figures, chords: Chords, feed: Floats) -> list[Floats]:
    """Power at the teeth in kW for a feed, by each method: each Kienzle source, then unit power."""
    chip_mm = feed * figures.pitch / (figures.speed * 1000.0)
    removal = feed * chords.contact_mm * figures.kerf
    found = [
        vdi_3323.specific_forces(chip_mm, kc11, mc) * removal * (power.wear / KW_MM2_MIN)
        for kc11, mc in power.kienzle
    ]
    if power.unit_power is not None:
        factor = handbook_2020.feed_factor(np.maximum(chip_mm, 1e-9))
        found.append(power.unit_power * factor * removal * (power.wear / 60_000.0))
    return found


def cutting_power(figures: Figures, chords: Chords, feed: Floats) -> Floats:
    """Power at the teeth in kW by the method the limits go by; 0 where no method has figures."""
    found = cutting_powers(figures.power, figures, chords, feed)
    if not found:
        return np.zeros(np.broadcast_shapes(feed.shape, chords.contact_mm.shape))
    best = found[0]
    for other in found[1:]:
        best = np.minimum(best, other) if figures.power.lenient else np.maximum(best, other)
    return best


def feed_force(figures: Figures, chords: Chords, feed: Floats) -> Floats:
    """Force in N that presses the band into the work at a feed."""
    return cutting_power(figures, chords, feed) * (60_000.0 * figures.force_ratio) / figures.speed
