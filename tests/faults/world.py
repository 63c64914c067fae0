"""A saw with one thing wrong: the world is changed, not the clues, and a person tells what he would see."""

from dataclasses import dataclass, field, replace
from random import Random

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.reading import read_section
from kerfsmith.catalog.saw import FeedControl
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.mechanics import band_report
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.faults.circumstances import Broke, Chips, Circumstances, Moved, Pieces, Seen, Skin
from kerfsmith.faults.table import Symptom
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.units.parse import Unit

Notes = dict[str, object]


@dataclass(frozen=True)
class Planted:
    """A fault: the symptom it makes, its true cause, and how the world differs from a sound one.

    Shares are of what is right: ``feed`` 1.5 is fed half as much again. ``told`` is what a person sees beside
    the figures he reads off; ``age`` is the band's age as a share of its usual life.
    """

    symptom: Symptom
    cause: str
    grade: str = "4140"
    section: str = "round 4 in"
    saw: str = "north"
    feed: float = 1.0
    speed: float = 1.0
    tension: float = 1.0
    span: float = 1.05
    age: float = 0.2
    break_in_left: bool = False
    motor_load: float | None = 0.7
    bundle: int = 1
    piece_mm: float | None = 300.0
    wheel: float = 1.0
    mounted: str | None = None
    """Pitch of the band that is on instead of the one advised, where the fault is there."""
    cuts_since_mounted: int = 40
    moved: tuple[Moved, ...] = ()
    other_bars_fine: bool | None = None
    facing_cut: bool | None = True
    told: Notes = field(default_factory=dict)


SOUND: Notes = {
    "coolant_runs": True,
    "coolant_percent": 9.0,
    "brush_turns": True,
    "work_firm": True,
    "square_in_vise": True,
    "drive_slips": False,
    "came_down_hard": False,
    "chips": Chips.CURL,
    "skin": Skin.CLEAN,
    "teeth_missing": False,
    "face_glazed": False,
    "hot_piece": False,
}
"""What a careful person tells of a saw on which all of this is right."""


def case_of(fault: Planted, catalog: Catalog, *, seed: int = 0, untold: float = 0.0) -> Circumstances:
    """The circumstances of a planted fault, read with 3 % error; ``untold`` is the share nobody mentions."""
    chance = Random(seed)
    saw = next(saw for saw in catalog.saws if saw.id == fault.saw)
    saw = replace(saw, wheel_diameter_mm=saw.wheel_diameter_mm * fault.wheel)
    grade, section = catalog.find_grade(fault.grade), read_section(fault.section, catalog, bare=Unit.MM)
    setting = set_cut(grade, section, saw, catalog.bands, catalog.corrections, bundle=fault.bundle)
    assert isinstance(setting, CutSetting), setting
    seen: Notes = {**SOUND, **_read_off(fault, setting, saw.band_tension_mpa, chance), **fault.told}
    kept = {name: value for name, value in seen.items() if name in fault.told or chance.random() >= untold}
    mounted = next((band for band in catalog.bands if band.id == fault.mounted), None)
    return Circumstances(
        grade=grade,
        saw=saw,
        setting=setting,
        report=band_report(grade, saw, setting, catalog.corrections),
        band=_band(fault, setting),
        cuts_since_mounted=fault.cuts_since_mounted,
        other_bars_fine=fault.other_bars_fine,
        bundle=fault.bundle,
        piece_length_mm=fault.piece_mm,
        facing_cut=fault.facing_cut,
        moved=fault.moved,
        mounted=mounted,
        seen=Seen(**kept),  # type: ignore[arg-type]  # a record of mixed fields, checked by the class
    )


def _read_off(fault: Planted, setting: CutSetting, tension_mpa: float, chance: Random) -> Notes:
    held = setting.feed_control is FeedControl.CONSTANT_FEED
    feed = setting.constant_feed_mm_per_min if held else setting.mean_feed_mm_per_min

    def read(value: float) -> float:
        return value * chance.gauss(1.0, 0.03)

    return {
        "feed_mm_per_min": read(feed * fault.feed),
        "speed_m_per_min": read(setting.band_speed_m_per_min * fault.speed),
        "tension_mpa": read(tension_mpa * fault.tension),
        "guide_span_mm": read(setting.guide_span_mm * fault.span),
        "motor_load": fault.motor_load,
        "kerf_mm": setting.kerf_um / 1000 + chance.gauss(0.0, 0.02),
    }


def _band(fault: Planted, setting: CutSetting) -> ThisBand:
    assert setting.life_area_cm2 is not None
    cut = fault.age * setting.life_area_cm2[1]
    break_in = 2 * cut if fault.break_in_left else cut / 20
    return ThisBand("S-7", setting.band.id, break_in_cm2=break_in, cut_cm2=cut, saw=fault.saw)


__all__ = ["SOUND", "Broke", "Chips", "Pieces", "Planted", "Skin", "case_of"]
