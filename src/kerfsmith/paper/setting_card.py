"""What to dial in for each head angle, as text in the reader's measure."""

from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import FeedControl, SawSheet
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.geometry.mitre import mitre_factor
from kerfsmith.paper.ticket_page import Dial, SettingCard
from kerfsmith.units.length import Measure
from kerfsmith.units.show import show_area_rate, show_feed, show_length, show_seconds, show_speed


def setting_card(setting: CutSetting, saw: SawSheet, grade: Grade, measure: Measure) -> SettingCard:
    """The setting of one cut: band speed, feed, pitch, kerf, head and coolant as dials."""
    band = setting.band
    low, high = show_seconds(setting.cut_seconds_low), show_seconds(setting.cut_seconds_high)
    return SettingCard(
        title=_title(setting),
        band=_band_name(setting, measure),
        lie=_lie(setting),
        dials=(
            _dial("Band speed", show_speed(setting.band_speed_m_per_min, measure), ""),
            *_feed_dials(setting, saw, measure),
            Dial(
                "Pitch",
                str(band.pitch) if band.pitch else "grit",
                "TPI" if band.pitch else "",
                str(band.edge),
            ),
            _dial("Kerf", _exact(_along_bar_um(setting), measure), "along the bar, new band"),
            Dial("Coolant", *_coolant(saw, grade)),
        ),
        note=f"One cut takes about {show_seconds(setting.cut_seconds)} of sawing ({low} to {high}). "
        f"What rules the feed most of the time: {setting.ruling_limit}.",
    )


def _title(setting: CutSetting) -> str:
    if setting.bundle > 1:
        return f"Square cut, {setting.bundle} bars at once"
    return "Square cut" if setting.angle_deg == 0 else f"Head at {setting.angle_deg:g}°"


def _lie(setting: CutSetting) -> str:
    """How the work lies, in words; a round bar lies as it likes."""
    lying = "" if setting.lie == "as drawn" else f"laid {setting.lie}"
    return ", ".join(word for word in (lying, "clamped from above too" * (setting.bundle > 1)) if word)


def _band_name(setting: CutSetting, measure: Measure) -> str:
    band = setting.band
    if measure is Measure.METRIC:
        size = f"{band.width_mm:g} × {band.thickness_mm:g} mm"
    else:
        size = f"{band.width_mm / 25.4:.2f} × {band.thickness_mm / 25.4:.3f} in"
    teeth = f"{band.pitch} TPI" if band.pitch else "grit"
    form = ", ".join(
        word for word in (teeth, band.tooth_form, band.tooth_set and f"{band.tooth_set} set") if word
    )
    return f"{band.id}: {size}, {form}, {band.edge}"


def _feed_dials(setting: CutSetting, saw: SawSheet, measure: Measure) -> tuple[Dial, ...]:
    """The feed in the terms in which the saw is set."""
    feeds = [cut.feed_mm_per_min for cut in setting.slices]
    mean = show_feed(setting.mean_feed_mm_per_min, measure)
    if saw.feed_control is FeedControl.FOLLOWS_CUT:
        span = (
            f"follows the cut, {show_feed(min(feeds), measure)} to {show_feed(max(feeds), measure)}"
            if feeds
            else ""
        )
        return (_dial("Mean feed", mean, span),)
    if saw.feed_control is FeedControl.CONSTANT_AREA_RATE:
        rate = setting.area_cm2 * 60 / setting.cut_seconds
        return (_dial("Cutting rate", show_area_rate(rate, measure), f"constant; mean feed {mean}"),)
    highest = show_feed(setting.constant_feed_mm_per_min, measure)
    if saw.feed_control is FeedControl.CONSTANT_FORCE:
        return (_dial("Greatest feed", highest, "set the force so that the head never sinks faster"),)
    return (_dial("Feed", highest, "constant through the cut"),)


def _coolant(saw: SawSheet, grade: Grade) -> tuple[str, str, str]:
    """Figure, unit and note: what the grade asks for, set against what the saw has."""
    if grade.coolant != "dry" and not saw.coolant:
        return "NONE", "", f"the grade asks for {grade.coolant}; this saw has none: speed is set for dry"
    return grade.coolant.upper(), "", "no water" if grade.coolant == "dry" else ""


def _along_bar_um(setting: CutSetting) -> int:
    """What one cut takes of the bar: a mitre takes 1 / cos(angle) times the square cut's kerf (derived)."""
    return round(setting.kerf_um * mitre_factor(setting.angle_deg))


def _exact(length_um: int, measure: Measure) -> str:
    """Length for a dial: decimals, never a fraction (0.01 mm or 0.001 in)."""
    return show_length(length_um, measure, denominator=1, decimals=2)


def _dial(name: str, shown: str, note: str) -> Dial:
    figure, _, unit = shown.rpartition(" ")
    return Dial(name, figure, unit, note)
