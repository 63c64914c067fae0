"""What a setting claims, laid out for its referee: its numbers, and the cut depth by depth as columns."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kerfsmith.catalog.band import Band
from kerfsmith.cutting.setting import CutSetting, Limit

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Columns:
    """The cut depth by depth, one entry each; ``keeps_chip`` where the least chip is said to rule."""

    depth_mm: Floats
    contact_mm: Floats
    longest_mm: Floats
    teeth: Floats
    feed_mm_per_min: Floats
    chip_um: Floats
    power_kw: Floats
    keeps_chip: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Claim:
    """A setting as far as it can be checked. ``warned`` says that a caution speaks of the teeth in a wall.

    ``positive`` and ``not_negative`` are numbers by name that must be above zero, or at least not below it.
    """

    band: Band
    lie: str
    angle_deg: float
    bundle: int
    band_speed_m_per_min: float
    wanted_speed_m_per_min: float
    seconds: tuple[float, float, float]
    area_cm2: float
    least_teeth: float
    warned: bool
    positive: tuple[tuple[str, float], ...]
    not_negative: tuple[tuple[str, float], ...]
    columns: Columns


def claim_of(setting: CutSetting) -> Claim:
    """What a whole setting claims."""
    slices = setting.slices
    columns = Columns(
        depth_mm=np.array([s.depth_mm for s in slices]),
        contact_mm=np.array([s.contact_mm for s in slices]),
        longest_mm=np.array([s.longest_chord_mm for s in slices]),
        teeth=np.array([s.teeth_in_cut for s in slices]),
        feed_mm_per_min=np.array([s.feed_mm_per_min for s in slices]),
        chip_um=np.array([s.chip_um for s in slices]),
        power_kw=np.array([s.power_kw for s in slices]),
        keeps_chip=np.array([s.limit is Limit.LEAST_CHIP for s in slices]),
    )
    above = ("cut_seconds", "cut_seconds_low", "cut_seconds_high", "area_cm2", "mean_feed_mm_per_min")
    least = ("peak_power_kw", "mean_power_kw", "peak_force_n", "band_force_share", "fullest_gullet")
    return Claim(
        band=setting.band,
        lie=setting.lie,
        angle_deg=setting.angle_deg,
        bundle=setting.bundle,
        band_speed_m_per_min=setting.band_speed_m_per_min,
        wanted_speed_m_per_min=setting.wanted_speed_m_per_min,
        seconds=(setting.cut_seconds_low, setting.cut_seconds, setting.cut_seconds_high),
        area_cm2=setting.area_cm2,
        least_teeth=setting.least_teeth_in_cut,
        warned=any("teeth in the thinnest" in text for text in setting.cautions),
        positive=tuple((name, getattr(setting, name)) for name in above),
        not_negative=tuple((name, getattr(setting, name)) for name in least),
        columns=columns,
    )
