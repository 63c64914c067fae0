"""A cut setting as dials and reasons, and what the reader of depths needs to know of it."""

import json
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.catalog.saw import FeedControl, SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.setting import CutSetting, Misfit, Slice
from kerfsmith.web.drawing.lying import met_outline
from kerfsmith.web.drawing.through_cut import drawn_at, through_cut
from kerfsmith.web.drawing.times import by_control
from kerfsmith.web.reading import Reading, seconds, share
from kerfsmith.web.reasons import ReasonLine, reason_line

NOT_RECKONED = "not reckoned"
"""Said in place of a power or a force of a material for which no figure is known."""


@dataclass(frozen=True, slots=True)
class Dial:
    """A figure with its label and a small line below."""

    label: str
    value: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class SettingView:
    """The setting at one head angle: dials, reasons, cautions."""

    angle: str
    dials: tuple[Dial, ...]
    reasons: tuple[ReasonLine, ...]


@dataclass(frozen=True, slots=True)
class AnglePicture:
    """The cut at one head angle as a picture with what the reader of depths needs.

    ``slices`` are the readings of every depth as JSON; ``read`` those at the depth where the band is drawn.
    """

    setting: SettingView
    picture: Markup
    caption: str
    slices: str
    read: tuple[str | float, ...]
    controls: Markup | None


def angle_words(angle_deg: float) -> str:
    """``square cut`` or ``45° mitre``."""
    return "square cut" if angle_deg == 0 else f"{angle_deg:g}° mitre"


def setting_view(setting: CutSetting, reading: Reading) -> SettingView:
    """What to dial in, and why."""
    reasons = tuple(reason_line(reason, reading) for reason in setting.reasons)
    return SettingView(angle_words(setting.angle_deg), main_dials(setting, reading), reasons)


def main_dials(setting: CutSetting, reading: Reading) -> tuple[Dial, ...]:
    """What a person dials in, and how long a cut takes."""
    band = setting.band
    at_once = f", {setting.bundle} at once" if setting.bundle > 1 else ""
    return (
        Dial("Band", reading.band_size(band.width_mm, band.thickness_mm), str(band.edge)),
        Dial("Pitch", f"{band.pitch} TPI" if band.pitch else "grit edge", _teeth(setting)),
        Dial("Band speed", reading.speed(setting.band_speed_m_per_min), _held_back(setting, reading)),
        Dial("Feed, mean", reading.feed(setting.mean_feed_mm_per_min), f"ruled by {setting.ruling_limit}"),
        Dial(
            "Feed, if held steady", reading.feed(setting.constant_feed_mm_per_min), "breaks no limit anywhere"
        ),
        Dial(
            "One cut",
            seconds(setting.cut_seconds),
            f"{seconds(setting.cut_seconds_low)} to {seconds(setting.cut_seconds_high)}{at_once}",
        ),
    )


def _held_back(setting: CutSetting, reading: Reading) -> str:
    """What the grade asks for, where the saw's range holds the band speed off it."""
    wanted, given = setting.wanted_speed_m_per_min, setting.band_speed_m_per_min
    return (
        f"the grade asks for {reading.speed(wanted)}"
        if wanted and abs(wanted - given) > 0.02 * wanted
        else ""
    )


def _teeth(setting: CutSetting) -> str:
    return f"{setting.band.tooth_form}, {setting.band.tooth_set}" if setting.band.pitch else ""


def short_dials(setting: CutSetting, reading: Reading) -> tuple[Dial, ...]:
    """What to dial in, in one line of a page of many groups; the feed as the saw can hold it."""
    band = setting.band
    edge = f"{band.edge}, {band.tooth_set}" if band.pitch else str(band.edge)
    at_once = f", {setting.bundle} at once" if setting.bundle > 1 else ""
    spread = f"{seconds(setting.cut_seconds_low)} to {seconds(setting.cut_seconds_high)}{at_once}"
    if setting.feed_control is FeedControl.CONSTANT_FEED:
        feed = Dial("Feed, held", reading.feed(setting.constant_feed_mm_per_min), "breaks no limit anywhere")
    else:
        feed = Dial("Feed, mean", reading.feed(setting.mean_feed_mm_per_min), f"{setting.ruling_limit} rules")
    return (
        Dial("Band", reading.band_size(band.width_mm, band.thickness_mm), edge),
        Dial("Pitch", f"{band.pitch} TPI" if band.pitch else "grit"),
        Dial("Band speed", reading.speed(setting.band_speed_m_per_min)),
        feed,
        Dial("One cut", seconds(setting.cut_seconds), spread),
    )


def further_dials(setting: CutSetting, reading: Reading) -> tuple[Dial, ...]:
    """What a person need not dial in but may want to know."""
    return (
        Dial("Area of the cut", reading.area(setting.area_cm2), f"lies {setting.lie}"),
        Dial("Kerf", reading.length(setting.kerf_um), "along the bar"),
        Dial(
            "Teeth in the cut",
            f"{setting.least_teeth_in_cut:.1f} to {setting.most_teeth_in_cut:.1f}",
            f"gullets at most {share(setting.fullest_gullet, 0)} full",
        ),
        _power(setting, reading),
        _force(setting, reading),
        *_life(setting),
    )


def _power(setting: CutSetting, reading: Reading) -> Dial:
    """Power as one number where the methods agree, else as the span between them."""
    if not setting.power_by_method:
        return Dial("Power", NOT_RECKONED, "no figure is known for this material")
    peaks = [method.peak_kw for method in setting.power_by_method]
    low, high = reading.power(min(peaks)), reading.power(max(peaks))
    mean = f"mean {reading.power(setting.mean_power_kw)}"
    if low == high:
        return Dial("Power", high, f"peak at the teeth; {mean}")
    return Dial("Power", f"{low.split(' ')[0]} to {high}", f"peak at the teeth, by method; {mean}")


def _force(setting: CutSetting, reading: Reading) -> Dial:
    if not setting.power_by_method:
        return Dial("Feed force", NOT_RECKONED, "it follows from power")
    note = f"peak, {share(setting.band_force_share, 0)} of what the band bears straight"
    return Dial("Feed force", reading.force(setting.peak_force_n), note)


def peak_power(setting: CutSetting, reading: Reading) -> str:
    """Peak power at the teeth in one cell of a table."""
    return reading.power(setting.peak_power_kw) if setting.power_by_method else NOT_RECKONED


def _life(setting: CutSetting) -> tuple[Dial, ...]:
    if setting.life_area_cm2 is None or not setting.area_cm2:
        return ()
    low, usual, high = (round(area / setting.area_cm2) for area in setting.life_area_cm2)
    return (Dial("Cuts of a band's life", f"about {usual}", f"between {low} and {high}"),)


def angle_picture(
    section: Section, setting: CutSetting, saw: SawSheet | None, reading: Reading, key: str
) -> AnglePicture:
    """The picture of a cut with the readings at every depth beside it."""
    cant_deg = saw.cant_deg if saw else 0.0
    name = f"{section.name}, {angle_words(setting.angle_deg)}"
    canted = f"; the head is canted by {cant_deg:g}°, drawn with the band level" if cant_deg else ""
    outline = met_outline(section, setting, cant_deg)
    return AnglePicture(
        setting=setting_view(setting, reading),
        picture=through_cut(outline, setting, name=name, reading=reading, key=key),
        caption=f"The band through the section, and the feed that follows it{canted}",
        slices=json.dumps(
            [_slice_readings(part, setting, reading) for part in setting.slices], separators=(",", ":")
        ),
        read=tuple(_slice_readings(drawn_at(setting.slices, outline.height_mm), setting, reading)),
        controls=by_control(setting.by_control, reading, f"{key}-controls") if setting.by_control else None,
    )


def _slice_readings(part: Slice, setting: CutSetting, reading: Reading) -> list[str | float]:
    return [
        round(part.depth_mm, 3),
        reading.size(part.depth_mm),
        reading.size(part.contact_mm),
        reading.feed(part.feed_mm_per_min),
        f"{part.teeth_in_cut:.1f}",
        reading.chip(part.chip_um),
        f"{part.gullet_fill * 100:.0f} %",
        reading.power(part.power_kw) if setting.power_by_method else NOT_RECKONED,
        reading.force(part.force_n) if setting.power_by_method else NOT_RECKONED,
        str(part.limit),
    ]


def misfit_words(misfit: Misfit, reading: Reading) -> str:
    """One misfit with its remedy."""
    text, remedy = (reading.told(words).rstrip(".") for words in (misfit.text, misfit.remedy))
    return f"{text[:1].upper()}{text[1:]}." + (f" {remedy[:1].upper()}{remedy[1:]}." if remedy else "")
