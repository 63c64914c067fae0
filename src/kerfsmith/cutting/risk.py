"""How near a setting comes to what can go wrong: the measure by which one setting is safer than another.

Four shares, each 1 where the trouble begins; the risk of a setting is the largest of them, and names it:

- strain: the most that tooth, gullet, band or motor bears of its limit;
- rubbing: least chip over mean chip, with more room asked where rubbing does more than blunt the edge;
- teeth: one tooth over the teeth in the thinnest chord that lasts;
- fire: band speed over the speed from which chips may burn.

Taking the largest, and the room asked for, are the house's, low confidence; the limits behind the shares have
their own sources. A share of what may go wrong is no chance of harm: guards, clamps and the saw's manual come
first.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.material import Grade, Hazard
from kerfsmith.cutting.candidates import least_teeth
from kerfsmith.cutting.models.teeth_in_cut import REFUSED
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.cutting.work import Work

Floats = NDArray[np.float64]

BURNING_ROOM = 2.0
"""Chip over least chip that counts as no nearer than the limit, where a rubbing band may set chips alight."""

HARDENING_ROOM = 1.5
"""The same where the metal hardens under a rubbing band."""

ALIGHT = 1 + 1e-6
"""Share of rubbing above which that is told, a hair beyond what rounding makes of 1."""

NAMES = ("strain", "rubbing", "teeth", "fire")


@dataclass(frozen=True, slots=True)
class Risk:
    """The largest share, what it is of, and all four in the order of :data:`NAMES`."""

    share: float
    by: str
    shares: tuple[float, float, float, float]


def chip_room(grade: Grade) -> float:
    """By how much the mean chip should stay above the least, so that rubbing is no worry."""
    if grade.fire_speed is not None or {Hazard.FIRE_MAGNESIUM, Hazard.FIRE_TITANIUM} & set(grade.hazards):
        return BURNING_ROOM
    return HARDENING_ROOM if grade.work_hardens else 1.0


def rubbing_in(grade: Grade, chip_um: float) -> float:
    """The share of rubbing where a rubbing band may set chips alight, else nought.

    Above 1 a band that keeps a thicker chip is to be taken, or the saw's user told.
    """
    room = chip_room(grade)
    return room * grade.chip_um.low / chip_um if room == BURNING_ROOM else 0.0


def near_rubbing(grade: Grade, setting: CutSetting) -> bool:
    """Whether a setting comes nearer to rubbing than it should where rubbing may set chips alight."""
    if setting.band.pitch is None:
        return False
    chip_um = setting.mean_feed_mm_per_min * setting.band.pitch.mean_mm / setting.band_speed_m_per_min
    return rubbing_in(grade, chip_um) > ALIGHT


def shares(
    grade: Grade, work: Work, band: Band, strain: Floats, chip_um: Floats, speed_m_per_min: Floats
) -> Floats:
    """The four shares of settings of one band, one row for each of :data:`NAMES`.

    ``chip_um`` is the mean chip over the travel.
    """
    rubbing = chip_room(grade) * grade.chip_um.low / np.maximum(chip_um, 1e-9)
    teeth = REFUSED / least_teeth(work, band) if band.pitch else 0.0
    fire = speed_m_per_min / grade.fire_speed.high if grade.fire_speed else np.zeros_like(strain)
    return np.stack([strain, rubbing, np.full_like(strain, teeth), fire])


def risk_of(
    grade: Grade, work: Work, band: Band, strain: float, chip_um: float, speed_m_per_min: float
) -> Risk:
    """The risk of one setting."""
    found = shares(grade, work, band, np.array([strain]), np.array([chip_um]), np.array([speed_m_per_min]))[
        :, 0
    ]
    at = int(found.argmax())
    one, two, three, four = (float(each) for each in found)
    return Risk(float(found[at]), NAMES[at], (one, two, three, four))
