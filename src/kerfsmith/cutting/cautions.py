"""Sentences for page, ticket and label: what can go wrong with this cut, and what can hurt someone.

They don't replace local codes, the saw's own manual or licensed practice, and say so.
"""

import math
from collections.abc import Iterator, Mapping
from types import MappingProxyType

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.caution import Caution
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade, Hazard
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.candidates import least_teeth, most_teeth, teeth_class
from kerfsmith.cutting.condition import BandState, Condition
from kerfsmith.cutting.models.band_stress import WHEEL_RATIO
from kerfsmith.cutting.models.teeth_in_cut import LEAST, TeethClass
from kerfsmith.cutting.reckon import Reckoned, feed_force_share
from kerfsmith.cutting.set_up import break_in_for
from kerfsmith.cutting.speed import runs_dry
from kerfsmith.units.told import Told, quantity

LONG_BAR_MM = 2000.0
RUBBING_SHARE = 0.1
NEAR_LIMIT = 0.9

HazardTexts = Mapping[Hazard, tuple[Caution, ...]]

NO_TEXTS: HazardTexts = MappingProxyType({})

ALWAYS = (
    "The saw's own manual and local safety codes come before anything printed here.",
    "Guards shut, nothing loose near the band, gloves only for handling the band and never while it runs.",
    "A coiled band springs open: eye protection and gloves on, nobody near when it is unbound.",
)


def _tenths(count: float) -> str:
    # Cut and not rounded: 2.97 teeth must not read as 3.0 where it says fewer than three.
    return f"{math.floor(10 * count) / 10:.1f}"


def teeth_cautions(kind: TeethClass, least: float, most: float, wall_mm: float) -> Iterator[str]:
    """What the count of teeth calls for."""
    if kind is TeethClass.TOO_FEW:
        yield (
            f"Only {_tenths(least)} teeth in the thinnest {quantity(wall_mm, 'mm')}: teeth may strip. "
            "The feed is held back there; "
            f"a finer band, {76.2 / wall_mm:.0f} teeth per inch or more, would put three in it."
        )
    elif kind is TeethClass.FEW:
        yield (
            f"{_tenths(least)} teeth in the thinnest {quantity(wall_mm, 'mm')}, fewer than three: "
            "enter gently, hold the work tight."
        )
    elif kind is TeethClass.MANY:
        yield f"{most:.0f} teeth in the longest chord: chips may pack. Keep brush and coolant working."


def entry_caution(kind: TeethClass, at_entry: float) -> Iterator[str]:
    """A corner or thin edge under the band at the start, where the work as a whole has teeth enough."""
    if at_entry < LEAST and kind is not TeethClass.TOO_FEW:
        yield (
            f"The band enters on an edge with {at_entry:.1f} teeth in it: ease it in, the feed is held back "
            "there."
        )


def band_cautions(
    band: Band, saw: SawSheet, condition: Condition, break_in_cm2: float | None
) -> Iterator[str]:
    """What the band and its state call for."""
    ratio = saw.wheel_diameter_mm / band.thickness_mm
    if ratio < WHEEL_RATIO * 0.97:
        yield (
            f"The wheels are only {ratio:.0f} times as large as the band is thick ({WHEEL_RATIO:.0f} "
            "wanted): "
            "it may crack before it is dull. A click from the band is a crack: stop."
        )
    if condition.band is BandState.BREAK_IN and break_in_cm2 is not None:
        yield (
            f"Run the new band in over its first {quantity(break_in_cm2, 'cm2')} at this feed; never start "
            "it in an old kerf."
        )
    if condition.band is BandState.WORN:
        yield "The band is worn: watch squareness and feed force, and stop when either leaves its limit."


def work_cautions(grade: Grade, saw: SawSheet, speed_m_per_min: float, condition: Condition) -> Iterator[str]:
    """What grade, speed and length of bar call for."""
    if runs_dry(grade, saw, condition):
        yield f"{grade.name} is cut dry here, slower than with coolant. Chips and the cut piece come off hot."
    if grade.fire_speed is not None and speed_m_per_min >= grade.fire_speed.low * (1 - 1e-9):
        yield (
            f"At {quantity(speed_m_per_min, 'm/min')} and above, chips of {grade.name} may catch fire. Dry, "
            "no water, class D powder "
            "at hand, coarse feed."
        )
    if condition.bar_length_mm is None or condition.bar_length_mm > LONG_BAR_MM:
        yield (
            "Support long stock at both ends and fence it off; the band stands still before stock is taken "
            "out."
        )


def run_cautions(grade: Grade, found: Reckoned) -> Iterator[str]:
    """What the feed found calls for: rubbing, a push near the band's limit, a bundle, power unknown."""
    if (rubbing := found.rubbing_share) > RUBBING_SHARE:
        yield (
            f"For {rubbing:.0%} of the cut the chip is thinner than the edge can take and the band rubs: "
            "expect early dulling. A slower band at this feed cures it, or a coarser one where walls allow."
        )
    if feed_force_share(found) > NEAR_LIMIT:
        yield "The feed force is near what the band bears straight: check squareness on the first piece."
    if found.work.bundle > 1:
        yield (
            "Clamp the bundle from above as well, and strap it where a bar rests on one other alone; not for "
            "mitres or close lengths."
        )
    if not found.figures.power.known:
        yield f"No power figure is known for {grade.name}: power and force are not reckoned. Start slowly."


def cautions_for(
    grade: Grade, found: Reckoned, corrections: Corrections, condition: Condition, hazard_texts: HazardTexts
) -> tuple[Told, ...]:
    """All cautions of a cut, the grade's hazards first and what always holds last."""
    work, saw, band = found.work, found.saw, found.one.band
    told = [caution.text for hazard in grade.hazards for caution in hazard_texts.get(hazard, ())]
    if band.pitch is not None:
        kind = teeth_class(grade, work, band)
        told += teeth_cautions(kind, least_teeth(work, band), most_teeth(work, band), work.lasting_chord_mm)
        told += entry_caution(kind, float(found.chords.share_mm[0]) / band.pitch.coarse_mm)
    new = condition.band is BandState.BREAK_IN
    told += band_cautions(band, saw, condition, break_in_for(grade, corrections).area.value if new else None)
    told += work_cautions(grade, saw, found.one.speed_m_per_min, condition)
    told += run_cautions(grade, found)
    return tuple(Told(text) for text in dict.fromkeys([*told, *ALWAYS]))
