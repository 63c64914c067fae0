"""Bands tried in the order in which a person would reach for them, and why each was passed over."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.candidates import by_the_book, least_teeth, suits, too_coarse, wanted_pitch_tpi
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.fit import band_fits
from kerfsmith.cutting.models.teeth_in_cut import TeethClass, few_class
from kerfsmith.cutting.reckon import Reckoned, reckon
from kerfsmith.cutting.risk import ALIGHT, rubbing_in
from kerfsmith.cutting.set_up import Try
from kerfsmith.cutting.setting import Misfit
from kerfsmith.cutting.speed import Speed, band_speed
from kerfsmith.cutting.work import Work
from kerfsmith.units.told import Told, quantity, sentence

RUBS_LESS = 1 + 1e-6
"""Chip over chip of another band by which the first rubs less, so that equal ones stay in their order."""


@dataclass(frozen=True, slots=True)
class Refusals:
    """Why bands were passed over, one misfit for each kind of reason."""

    found: dict[str, Misfit]

    def add(self, dimension: str, wanted: float, limit: float, unit: str, text: Told, remedy: Told) -> None:
        self.found.setdefault(dimension, Misfit(dimension, wanted, limit, unit, text, remedy))


def first_that_cuts(
    grade: Grade,
    work: Work,
    saw: SawSheet,
    bands: Sequence[Band],
    corrections: Corrections,
    condition: Condition,
    band_id: str | None,
    speed_m_per_min: float | None,
    feed_share: float,
) -> Reckoned | tuple[Misfit, ...]:
    """The first band in order of preference with a setting, or what stood against each.

    Where a rubbing band may set chips alight, the first that keeps well clear of rubbing; where none does,
    the one that rubs least.
    """
    refusals = Refusals({})
    spare: Reckoned | None = None
    for band in bands_to_try(grade, work, saw, bands, corrections, band_id, refusals):
        if spare is not None and strips(work, band):
            break
        speed = band_speed(grade, work, band, saw, corrections, condition)
        asked = speed_m_per_min if speed_m_per_min is not None else speed.used
        if refuse_speed(grade, saw, speed, asked, speed_m_per_min is not None, refusals):
            continue
        found = reckon(grade, work, saw, Try(band, speed, asked, feed_share), corrections, condition)
        if refuse_feed(saw, float(found.feed.min()), refusals):
            continue
        if rubbing_in(grade, found.mean_chip_um) <= ALIGHT:
            return found
        if spare is None or found.mean_chip_um > spare.mean_chip_um * RUBS_LESS:
            spare = found
    return spare or tuple(refusals.found.values())


def strips(work: Work, band: Band) -> bool:
    """Whether a band has so few teeth in the work that it isn't taken against rubbing."""
    return few_class(least_teeth(work, band)) is TeethClass.TOO_FEW


def bands_to_try(
    grade: Grade,
    work: Work,
    saw: SawSheet,
    bands: Sequence[Band],
    corrections: Corrections,
    band_id: str | None,
    refusals: Refusals,
) -> list[Band]:
    """The bands that can cut this work on this saw at all, best first; notes why where there is none."""
    fitting = bands_on(saw, bands, band_id, refusals)
    suited = [band for band in fitting if suits(grade, band)]
    if fitting and not suited:
        text = sentence("no band for {saw} has an edge for {group}", saw=saw.name, group=Told(grade.group))
        refusals.add("edge", 0, 0, "", text, Told("a grit or carbide band of this width, or another saw"))
    fine = [band for band in suited if not too_coarse(work, band)]
    if suited and not fine:
        pitches = [band.pitch for band in suited if band.pitch]
        pitch = max(pitches, key=lambda one: one.coarse_tpi)
        finest = pitch.coarse_tpi
        wall, wanted = work.lasting_chord_mm, wanted_pitch_tpi(work)
        text = sentence(
            "the thinnest {wall} would hold less than one tooth of the finest band for {saw} "
            "({pitch}, {finest} teeth per inch where it is coarsest) and drop between two; "
            "{wanted} teeth per inch would put three in it",
            wall=quantity(wall, "mm"),
            saw=saw.name,
            pitch=pitch,
            finest=f"{finest:g}",
            wanted=math.ceil(wanted - 1e-09),
        )
        refusals.add(
            "pitch",
            wanted,
            finest,
            "TPI",
            text,
            Told("a saw that takes finer bands, or a filler in the tube"),
        )
    return sorted(fine, key=lambda each: by_the_book(grade, work, each, corrections))


def refuse_speed(
    grade: Grade, saw: SawSheet, speed: Speed, asked: float, is_asked: bool, refusals: Refusals
) -> bool:
    """Whether a band speed can't be run: outside the saw's range, too fast for the grade, or a fire."""
    low, high = saw.band_speed_min_m_per_min, saw.band_speed_max_m_per_min
    if not low * (1 - 1e-9) <= asked <= high * (1 + 1e-9):
        text = sentence(
            "{asked} lies outside the {span} of {saw}",
            asked=quantity(asked, "m/min"),
            span=quantity(low, "m/min", high),
            saw=saw.name,
        )
        refusals.add(Told("band speed"), asked, high, "m/min", text, Told("a speed in its range"))
        return True
    if not is_asked and not speed.possible:
        text = sentence(
            "{grade} bears {wanted} here and {saw} runs no slower than {low}",
            grade=grade.name,
            wanted=quantity(speed.wanted, "m/min"),
            saw=saw.name,
            low=quantity(low, "m/min"),
        )
        refusals.add(Told("band speed"), speed.wanted, low, "m/min", text, Told("a slower saw"))
        return True
    if grade.fire_speed is not None and asked > grade.fire_speed.high * (1 + 1e-9):
        text = sentence(
            "chips of {grade} may burn above {fire_speed_high}",
            grade=grade.name,
            fire_speed_high=quantity(grade.fire_speed.high, "m/min"),
        )
        refusals.add("fire", asked, grade.fire_speed.high, "m/min", text, Told("a slower band speed"))
        return True
    return False


def refuse_feed(saw: SawSheet, slowest: float, refusals: Refusals) -> bool:
    """Whether the saw can't feed as slowly as the cut needs where it is hardest."""
    least = saw.feed_min_mm_per_min
    if slowest >= least * (1 - 1e-9):
        return False
    text = sentence(
        "{saw} feeds no slower than {least}; the cut allows {slowest} where it is hardest",
        saw=saw.name,
        least=quantity(least, "mm/min"),
        slowest=quantity(slowest, "mm/min"),
    )
    refusals.add(Told("least feed"), slowest, least, "mm/min", text, Told("a coarser band or another saw"))
    return True


def bands_on(saw: SawSheet, bands: Sequence[Band], band_id: str | None, refusals: Refusals) -> list[Band]:
    """The bands offered (one, if asked for) that run on the saw; notes it where there is none."""
    wanted = [band for band in bands if band_id is None or band.id == band_id]
    fitting = [band for band in wanted if band_fits(saw, band.width_mm)]
    if not fitting:
        width = wanted[0].width_mm if wanted else 0.0
        wide = sentence("{band_width} wide", band_width=quantity(saw.band_width_mm, "mm"))
        text = sentence("{saw} runs bands {wide} and none is offered", saw=saw.name, wide=wide)
        refusals.add("band width", width, saw.band_width_mm, "mm", text, sentence("a band {wide}", wide=wide))
    return fitting


def in_order(
    grade: Grade,
    works: Sequence[Work],
    saw: SawSheet,
    bands: Sequence[Band],
    corrections: Corrections,
    band_id: str | None,
    *,
    asked: bool,
) -> list[Work]:
    """Lies in the order to try: the usual one first, unless another puts more teeth in a wall that has too
    few.

    A bar on its corner needs blocks to hold it and enters on an edge, so it isn't tried unless asked for.
    """
    usable = [work for work in works if asked or "corner" not in work.lie] or list(works)
    fitting = [
        band
        for band in bands_on(saw, bands, band_id, Refusals({}))
        if suits(grade, band) and band.pitch is not None
    ]

    def teeth_rank(work: Work) -> tuple[float, ...]:
        ranks = [by_the_book(grade, work, band, corrections)[:2] for band in fitting]
        return min(ranks, default=(0.0, 0.0))

    return sorted(usable, key=teeth_rank)
