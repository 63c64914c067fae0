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
from kerfsmith.web.naming import edge_words, pitch_words, teeth_words
from kerfsmith.web.reading import Reading, seconds, share
from kerfsmith.web.reasons import ReasonLine, reason_line
from kerfsmith.web.words import say, to_say

NOT_RECKONED = to_say("not reckoned")
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
    return say("square cut") if angle_deg == 0 else say("{angle_deg}° mitre", angle_deg=f"{angle_deg:g}")


def setting_view(setting: CutSetting, reading: Reading) -> SettingView:
    """What to dial in, and why."""
    reasons = tuple(reason_line(reason, reading) for reason in setting.reasons)
    return SettingView(cut_words(setting), main_dials(setting, reading), reasons)


def cut_words(setting: CutSetting) -> str:
    """Which cut a setting is for: its head angle, and how many bars at once."""
    words = angle_words(setting.angle_deg)
    if setting.bundle == 1:
        return words
    return say("{words}, {bundle} bars at once", words=words, bundle=setting.bundle)


def main_dials(setting: CutSetting, reading: Reading) -> tuple[Dial, ...]:
    """What a person dials in, and how long a cut takes."""
    band = setting.band
    return (
        Dial(say("Band"), reading.band_size(band.width_mm, band.thickness_mm), edge_words(band)),
        Dial(say("Pitch"), f"{band.pitch} TPI" if band.pitch else say("grit edge"), _teeth(setting)),
        Dial(say("Band speed"), reading.speed(setting.band_speed_m_per_min), _held_back(setting, reading)),
        Dial(
            say("Feed, mean"),
            reading.feed(setting.mean_feed_mm_per_min),
            say(
                "{setting}; ruled by {ruling_limit}",
                setting=_mean_feeds(setting, reading),
                ruling_limit=say(str(setting.ruling_limit)),
            ),
        ),
        Dial(
            say("Feed, if held steady"),
            reading.feed(setting.constant_feed_mm_per_min),
            _steady(setting, reading),
        ),
        Dial(
            say("One cut"),
            seconds(setting.cut_seconds),
            _cut_spread(setting),
        ),
    )


def _mean_feeds(setting: CutSetting, reading: Reading) -> str:
    """The mean feed in the slowest and the quickest time that the figures leave open."""
    travel = setting.mean_feed_mm_per_min * setting.cut_seconds
    low, high = (travel / time for time in (setting.cut_seconds_high, setting.cut_seconds_low))
    return say("{low} to {high}", low=_bare(reading.feed(low)), high=_bare(reading.feed(high)))


def _steady(setting: CutSetting, reading: Reading) -> str:
    """The feeds that may turn out to be the greatest steady one."""
    told = say("breaks no limit anywhere")
    if setting.steady_span_mm_per_min is None:
        return told
    low, high = (_bare(reading.feed(feed)) for feed in setting.steady_span_mm_per_min)
    return told if low == high else say("{low} to {high}; {told}", low=low, high=high, told=told)


def _bare(shown: str) -> str:
    """A figure without its unit, which stands beside it already."""
    return shown.rpartition(" ")[0]


def _held_back(setting: CutSetting, reading: Reading) -> str:
    """What the grade asks for, where the saw's range holds the band speed off it."""
    wanted, given = setting.wanted_speed_m_per_min, setting.band_speed_m_per_min
    return (
        say("the grade asks for {wanted}", wanted=reading.speed(wanted))
        if wanted and abs(wanted - given) > 0.02 * wanted
        else ""
    )


def _teeth(setting: CutSetting) -> str:
    return teeth_words(setting.band) if setting.band.pitch else ""


def _cut_spread(setting: CutSetting) -> str:
    """Between which times a cut may come out; of bars cut at once with their number."""
    low, high = seconds(setting.cut_seconds_low), seconds(setting.cut_seconds_high)
    if setting.bundle > 1:
        return say("{low} to {high}, {bundle} at once", low=low, high=high, bundle=setting.bundle)
    return say("{low} to {high}", low=low, high=high)


def short_dials(setting: CutSetting, reading: Reading) -> tuple[Dial, ...]:
    """What to dial in, in one line of a page of many groups; the feed as the saw can hold it."""
    band = setting.band
    edge = edge_words(band)
    if band.pitch:
        edge = say("{edge}, {set}", edge=edge, set=say(band.tooth_set))
    if setting.feed_control is FeedControl.CONSTANT_FEED:
        feed = Dial(
            say("Feed, held"), reading.feed(setting.constant_feed_mm_per_min), say("breaks no limit anywhere")
        )
    else:
        feed = Dial(
            say("Feed, mean"),
            reading.feed(setting.mean_feed_mm_per_min),
            say("{ruling_limit} rules", ruling_limit=say(str(setting.ruling_limit))),
        )
    return (
        Dial(say("Band"), reading.band_size(band.width_mm, band.thickness_mm), edge),
        Dial(say("Pitch"), pitch_words(band)),
        Dial(say("Band speed"), reading.speed(setting.band_speed_m_per_min)),
        feed,
        Dial(say("One cut"), seconds(setting.cut_seconds), _cut_spread(setting)),
    )


def further_dials(setting: CutSetting, reading: Reading) -> tuple[Dial, ...]:
    """What a person need not dial in but may want to know."""
    return (
        Dial(say("Area of the cut"), reading.area(setting.area_cm2), say("lies {lie}", lie=say(setting.lie))),
        Dial(say("Kerf"), reading.length(setting.kerf_um), _new_kerfs(setting, reading)),
        Dial(
            say("Teeth in the cut"),
            say(
                "{low} to {high}",
                low=f"{setting.least_teeth_in_cut:.1f}",
                high=f"{setting.most_teeth_in_cut:.1f}",
            ),
            say("gullets at most {fullest_gullet} full", fullest_gullet=share(setting.fullest_gullet, 0)),
        ),
        _power(setting, reading),
        _force(setting, reading),
        *_life(setting),
    )


def _new_kerfs(setting: CutSetting, reading: Reading) -> str:
    """The kerfs that a new band of this kind may have."""
    kerf = setting.band.kerf
    low, high = (_bare(reading.fine(width)) for width in (kerf.low, kerf.high))
    return (
        say("along the bar")
        if low == high
        else say("{low} to {high} of a new band, along the bar", low=low, high=high)
    )


def _power(setting: CutSetting, reading: Reading) -> Dial:
    """Power as one number where the methods agree, else as the span between them."""
    if not setting.power_by_method:
        return Dial(say("Power"), say(NOT_RECKONED), say("no figure is known for this material"))
    peaks = [method.peak_kw for method in setting.power_by_method]
    low, high = reading.power(min(peaks)), reading.power(max(peaks))
    mean = say("mean {mean_power}", mean_power=reading.power(setting.mean_power_kw))
    if low == high:
        return Dial(say("Power"), high, say("peak at the teeth; {mean}", mean=mean))
    return Dial(
        say("Power"),
        say("{low} to {high}", low=low.split(" ")[0], high=high),
        say("peak at the teeth, by method; {mean}", mean=mean),
    )


def _force(setting: CutSetting, reading: Reading) -> Dial:
    if not setting.power_by_method:
        return Dial(say("Feed force"), say(NOT_RECKONED), say("it follows from power"))
    note = say(
        "peak, {band_force_share} of what the band bears straight",
        band_force_share=share(setting.band_force_share, 0),
    )
    if setting.force_span_n:
        low, high = (reading.force(force) for force in setting.force_span_n)
        note = say("{low} to {high}; {note}", low=low, high=high, note=note)
    return Dial(say("Feed force"), reading.force(setting.peak_force_n), note)


def peak_power(setting: CutSetting, reading: Reading) -> str:
    """Peak power at the teeth in one cell of a table."""
    return reading.power(setting.peak_power_kw) if setting.power_by_method else say(NOT_RECKONED)


def _life(setting: CutSetting) -> tuple[Dial, ...]:
    if setting.life_area_cm2 is None or not setting.area_cm2:
        return ()
    low, usual, high = (round(area / setting.area_cm2) for area in setting.life_area_cm2)
    return (
        Dial(
            say("Cuts of a band's life"),
            say("about {usual}", usual=usual),
            say("between {low} and {high}", low=low, high=high),
        ),
    )


def angle_picture(
    section: Section, setting: CutSetting, saw: SawSheet | None, reading: Reading, key: str
) -> AnglePicture:
    """The picture of a cut with the readings at every depth beside it."""
    cant_deg = saw.cant_deg if saw else 0.0
    name = f"{section.name}, {angle_words(setting.angle_deg)}"
    outline = met_outline(section, setting, cant_deg)
    return AnglePicture(
        setting=setting_view(setting, reading),
        picture=through_cut(outline, setting, name=name, reading=reading, key=key, cant_deg=cant_deg),
        caption=_caption(cant_deg),
        slices=json.dumps(
            [_slice_readings(part, setting, reading) for part in setting.slices], separators=(",", ":")
        ),
        read=tuple(_slice_readings(drawn_at(setting.slices, outline.height_mm), setting, reading)),
        controls=by_control(setting.by_control, reading, f"{key}-controls") if setting.by_control else None,
    )


def _caption(cant_deg: float) -> str:
    if not cant_deg:
        return say("The band through the section, and the feed that follows it")
    return say(
        "The band through the section, and the feed that follows it; the head is canted by {cant_deg}°, "
        "drawn with the band level and sizes as it meets them",
        cant_deg=f"{cant_deg:g}",
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
        reading.power(part.power_kw) if setting.power_by_method else say(NOT_RECKONED),
        reading.force(part.force_n) if setting.power_by_method else say(NOT_RECKONED),
        say(str(part.limit)),
    ]


def misfit_words(misfit: Misfit, reading: Reading) -> str:
    """One misfit with its remedy."""
    text, remedy = (reading.told(words).rstrip(".") for words in (misfit.text, misfit.remedy))
    return f"{text[:1].upper()}{text[1:]}." + (f" {remedy[:1].upper()}{remedy[1:]}." if remedy else "")
