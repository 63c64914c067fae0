"""Bands tried in the order in which a person would reach for them, and why each was passed over."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.candidates import by_the_book, suits, too_coarse, wanted_pitch_tpi
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.fit import band_fits
from kerfsmith.cutting.reckon import Reckoned, reckon
from kerfsmith.cutting.set_up import Try
from kerfsmith.cutting.setting import Misfit
from kerfsmith.cutting.speed import Speed, band_speed
from kerfsmith.cutting.work import Work
from kerfsmith.units.told import Told, quantity


@dataclass(frozen=True, slots=True)
class Refusals:
    """Why bands were passed over, one misfit for each kind of reason."""

    found: dict[str, Misfit]

    def add(self, dimension: str, wanted: float, limit: float, unit: str, text: str, remedy: str) -> None:
        self.found.setdefault(dimension, Misfit(dimension, wanted, limit, unit, Told(text), Told(remedy)))


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
    """The first band in order of preference with a setting, or what stood against each."""
    refusals = Refusals({})
    for band in bands_to_try(grade, work, saw, bands, corrections, band_id, refusals):
        speed = band_speed(grade, work, band, saw, corrections, condition)
        asked = speed_m_per_min if speed_m_per_min is not None else speed.used
        if refuse_speed(grade, saw, speed, asked, speed_m_per_min is not None, refusals):
            continue
        found = reckon(grade, work, saw, Try(band, speed, asked, feed_share), corrections, condition)
        if not refuse_feed(saw, float(found.feed.min()), refusals):
            return found
    return tuple(refusals.found.values())


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
        text = f"no band for {saw.name} has an edge for {grade.group}"
        refusals.add("edge", 0, 0, "", text, "a grit or carbide band of this width, or another saw")
    fine = [band for band in suited if not too_coarse(work, band)]
    if suited and not fine:
        pitches = [band.pitch for band in suited if band.pitch]
        pitch = max(pitches, key=lambda one: one.coarse_tpi)
        finest = pitch.coarse_tpi
        wall, wanted = work.lasting_chord_mm, wanted_pitch_tpi(work)
        text = (
            f"the thinnest {quantity(wall, 'mm')} would hold less than one tooth of the finest band for "
            f"{saw.name} ({pitch}, {finest:g} teeth per inch where it is coarsest) and drop between two; "
            f"{math.ceil(wanted - 1e-9)} teeth per inch would put three in it"
        )
        refusals.add(
            "pitch", wanted, finest, "TPI", text, "a saw that takes finer bands, or a filler in the tube"
        )
    return sorted(fine, key=lambda each: by_the_book(grade, work, each, corrections))


def refuse_speed(
    grade: Grade, saw: SawSheet, speed: Speed, asked: float, is_asked: bool, refusals: Refusals
) -> bool:
    """Whether a band speed can't be run: outside the saw's range, too fast for the grade, or a fire."""
    low, high = saw.band_speed_min_m_per_min, saw.band_speed_max_m_per_min
    if not low * (1 - 1e-9) <= asked <= high * (1 + 1e-9):
        text = f"{quantity(asked, 'm/min')} lies outside the {quantity(low, 'm/min', high)} of {saw.name}"
        refusals.add("band speed", asked, high, "m/min", text, "a speed in its range")
        return True
    if not is_asked and not speed.possible:
        text = (
            f"{grade.name} bears {quantity(speed.wanted, 'm/min')} here and {saw.name} runs no slower than "
            f"{quantity(low, 'm/min')}"
        )
        refusals.add("band speed", speed.wanted, low, "m/min", text, "a slower saw")
        return True
    if grade.fire_speed is not None and asked > grade.fire_speed.high * (1 + 1e-9):
        text = f"chips of {grade.name} may burn above {quantity(grade.fire_speed.high, 'm/min')}"
        refusals.add("fire", asked, grade.fire_speed.high, "m/min", text, "a slower band speed")
        return True
    return False


def refuse_feed(saw: SawSheet, slowest: float, refusals: Refusals) -> bool:
    """Whether the saw can't feed as slowly as the cut needs where it is hardest."""
    least = saw.feed_min_mm_per_min
    if slowest >= least * (1 - 1e-9):
        return False
    text = (
        f"{saw.name} feeds no slower than {quantity(least, 'mm/min')}; the cut allows "
        f"{quantity(slowest, 'mm/min')} where it is hardest"
    )
    refusals.add("least feed", slowest, least, "mm/min", text, "a coarser band or another saw")
    return True


def bands_on(saw: SawSheet, bands: Sequence[Band], band_id: str | None, refusals: Refusals) -> list[Band]:
    """The bands offered (one, if asked for) that run on the saw; notes it where there is none."""
    wanted = [band for band in bands if band_id is None or band.id == band_id]
    fitting = [band for band in wanted if band_fits(saw, band.width_mm)]
    if not fitting:
        width = wanted[0].width_mm if wanted else 0.0
        wide = f"{quantity(saw.band_width_mm, 'mm')} wide"
        text = f"{saw.name} runs bands {wide} and none is offered"
        refusals.add("band width", width, saw.band_width_mm, "mm", text, f"a band {wide}")
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
