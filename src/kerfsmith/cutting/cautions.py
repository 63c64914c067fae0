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
from kerfsmith.cutting.risk import ALIGHT, BURNING_ROOM, rubbing_in
from kerfsmith.cutting.set_up import break_in_for
from kerfsmith.cutting.speed import runs_dry
from kerfsmith.units.told import Told, quantity, sentence

LONG_BAR_MM = 2000.0
RUBBING_SHARE = 0.1
NEAR_LIMIT = 0.9

HazardTexts = Mapping[Hazard, tuple[Caution, ...]]

NO_TEXTS: HazardTexts = MappingProxyType({})

ALWAYS = (
    Told("The saw's own manual and local safety codes come before anything printed here."),
    Told(
        "Guards shut, nothing loose near the band, gloves only for handling the band and never while it runs."
    ),
    Told("A coiled band springs open: eye protection and gloves on, nobody near when it is unbound."),
)


def _tenths(count: float) -> str:
    # Cut and not rounded: 2.97 teeth must not read as 3.0 where it says fewer than three.
    return f"{math.floor(10 * count) / 10:.1f}"


def teeth_cautions(kind: TeethClass, least: float, most: float, wall_mm: float) -> Iterator[Told]:
    """What the count of teeth calls for."""
    if kind is TeethClass.TOO_FEW:
        yield (
            sentence(
                "Only {least} teeth in the thinnest {wall}: teeth may strip. The feed is held "
                "back there; a finer band, {wanted} teeth per inch or more, would put three in "
                "it.",
                least=_tenths(least),
                wall=quantity(wall_mm, "mm"),
                wanted=f"{76.2 / wall_mm:.0f}",
            )
        )
    elif kind is TeethClass.FEW:
        yield (
            sentence(
                "{least} teeth in the thinnest {wall}, fewer than three: enter gently, hold the work tight.",
                least=_tenths(least),
                wall=quantity(wall_mm, "mm"),
            )
        )
    elif kind is TeethClass.MANY:
        yield sentence(
            "{most} teeth in the longest chord: chips may pack. Keep brush and coolant working.",
            most=f"{most:.0f}",
        )


def entry_caution(kind: TeethClass, at_entry: float) -> Iterator[Told]:
    """A corner or thin edge under the band at the start, where the work as a whole has teeth enough."""
    if at_entry < LEAST and kind is not TeethClass.TOO_FEW:
        yield (
            sentence(
                "The band enters on an edge with {at_entry} teeth in it: ease it in, the feed is "
                "held back there.",
                at_entry=f"{at_entry:.1f}",
            )
        )


def band_cautions(
    band: Band, saw: SawSheet, condition: Condition, break_in_cm2: float | None
) -> Iterator[Told]:
    """What the band and its state call for."""
    ratio = saw.wheel_diameter_mm / band.thickness_mm
    if ratio < WHEEL_RATIO * 0.97:
        yield (
            sentence(
                "The wheels are only {ratio} times as large as the band is thick ({wheel_ratio} "
                "wanted): it may crack before it is dull. A click from the band is a crack: stop.",
                ratio=f"{ratio:.0f}",
                wheel_ratio=f"{WHEEL_RATIO:.0f}",
            )
        )
    if condition.band is BandState.BREAK_IN and break_in_cm2 is not None:
        yield (
            sentence(
                "Run the new band in over its first {break_in} at this feed; never start it in an old kerf.",
                break_in=quantity(break_in_cm2, "cm2"),
            )
        )
    if condition.band is BandState.WORN:
        yield Told(
            "The band is worn: watch squareness and feed force, and stop when either leaves its limit."
        )


def work_cautions(
    grade: Grade, saw: SawSheet, speed_m_per_min: float, condition: Condition
) -> Iterator[Told]:
    """What grade, speed and length of bar call for."""
    if runs_dry(grade, saw, condition):
        yield sentence(
            "{grade} is cut dry here, slower than with coolant. Chips and the cut piece come off hot.",
            grade=grade.name,
        )
    if grade.fire_speed is not None and speed_m_per_min >= grade.fire_speed.low * (1 - 1e-9):
        yield (
            sentence(
                "At {speed} and above, chips of {grade} may catch fire. Dry, no water, class D "
                "powder at hand, coarse feed.",
                speed=quantity(speed_m_per_min, "m/min"),
                grade=grade.name,
            )
        )
    if condition.bar_length_mm is None or condition.bar_length_mm > LONG_BAR_MM:
        yield (
            Told(
                "Support long stock at both ends and fence it off; the band stands still before "
                "stock is taken out."
            )
        )


def run_cautions(grade: Grade, found: Reckoned) -> Iterator[Told]:
    """What the feed found calls for: rubbing, a push near the band's limit, a bundle, power unknown."""
    if (rubbing := found.rubbing_share) > RUBBING_SHARE:
        yield (
            sentence(
                "For {rubbing} of the cut the chip is thinner than the edge can take and the "
                "band rubs: expect early dulling. A slower band at this feed cures it, or a "
                "coarser one where walls allow.",
                rubbing=f"{rubbing:.0%}",
            )
        )
    if rubbing_in(grade, found.mean_chip_um) > ALIGHT:
        yield (
            sentence(
                "The chip is {chip} in the mean, and {wanted} is wanted so that the band is far from "
                "rubbing, which may set chips of {grade} alight. Don't cut so if a coarser sound band, a "
                "heavier feed or a slower band speed can be had.",
                chip=quantity(found.mean_chip_um, "um"),
                wanted=quantity(BURNING_ROOM * grade.chip_um.low, "um"),
                grade=grade.name,
            )
        )
    if feed_force_share(found) > NEAR_LIMIT:
        yield Told(
            "The feed force is near what the band bears straight: check squareness on the first piece."
        )
    if found.work.bundle > 1:
        yield (
            Told(
                "Clamp the bundle from above as well, and strap it where a bar rests on one "
                "other alone; not for mitres or close lengths."
            )
        )
    if not found.figures.power.known:
        yield sentence(
            "No power figure is known for {grade}: power and force are not reckoned. Start slowly.",
            grade=grade.name,
        )


def cautions_for(
    grade: Grade, found: Reckoned, corrections: Corrections, condition: Condition, hazard_texts: HazardTexts
) -> tuple[Told, ...]:
    """All cautions of a cut, the grade's hazards first and what always holds last."""
    work, saw, band = found.work, found.saw, found.one.band
    told = [Told(caution.text) for hazard in grade.hazards for caution in hazard_texts.get(hazard, ())]
    if band.pitch is not None:
        kind = teeth_class(grade, work, band)
        told += teeth_cautions(kind, least_teeth(work, band), most_teeth(work, band), work.lasting_chord_mm)
        told += entry_caution(kind, float(found.chords.share_mm[0]) / band.pitch.coarse_mm)
    new = condition.band is BandState.BREAK_IN
    told += band_cautions(band, saw, condition, break_in_for(grade, corrections).area.value if new else None)
    told += work_cautions(grade, saw, found.one.speed_m_per_min, condition)
    told += run_cautions(grade, found)
    return tuple(text for text in dict.fromkeys([*told, *ALWAYS]))
