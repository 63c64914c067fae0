"""Why each number of a setting is what it is, in the trade's words, with source and confidence."""

import math
from collections.abc import Iterator

from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.candidates import least_teeth, most_teeth, printed_pitch_tpi
from kerfsmith.cutting.condition import BandState, Condition
from kerfsmith.cutting.life import LifeSpan
from kerfsmith.cutting.models import (
    feed_force,
    gullet,
    taylor_1907,
    teeth_in_cut,
    timoshenko_gere_1961,
    vdi_3323,
)
from kerfsmith.cutting.reckon import Reckoned, feed_force_share
from kerfsmith.cutting.set_up import (
    GRAIN_SPACING_MM,
    base_rate,
    break_in_for,
    force_shares,
    guide_span_mm,
    unit_power_bin,
    wall_factor,
)
from kerfsmith.cutting.setting import ControlTime, Limit, PowerByMethod, Reason
from kerfsmith.cutting.speed import speed_reasons
from kerfsmith.units.told import Told, has_measures, marked, quantity

LIMIT_TEXT = {
    Limit.LEAST_CHIP: "the tooth must make a chip and not rub",
    Limit.GREATEST_CHIP: "no tooth may bite thicker",
    Limit.GULLET: "the gullet is as full as it may be by the time the tooth leaves the work",
    Limit.TEETH_IN_CUT: "fewer than three teeth share the chord",
    Limit.AREA_RATE: "the edge wears too fast above the grade's cutting rate",
    Limit.MOTOR_POWER: "the motor gives no more",
    Limit.BAND_FORCE: "a harder push would turn the band aside between its guides",
    Limit.SAW_FORCE: "the saw pushes no harder",
    Limit.SAW_FEED: "the saw feeds no faster",
}


STRAIGHTNESS = ((0.5, "low"), (0.85, "some"), (math.inf, "high"))
"""Share of what the band bears straight, up to which the risk goes by each word: the house's, low confidence.
"""


def _of(about: str, text: str, figure: Figure, formula: str = "") -> Reason:
    return Reason(about, Told(text), formula, figure.source, figure.where, figure.confidence)


def pitch_reasons(grade: Grade, found: Reckoned, corrections: Corrections) -> Iterator[Reason]:
    """Why this pitch."""
    work, band = found.work, found.one.band
    if band.pitch is None:
        yield Reason("pitch", Told("a grit edge has grains in place of teeth; no tooth rule applies"))
        return
    printed = printed_pitch_tpi(work.length_of_cut_mm, corrections)
    point = corrections.size[0].factor
    length = f"length of cut {quantity(work.length_of_cut_mm, 'mm')}"
    told = f"{length}, the full width of solid bar," if work.is_solid else f"mean {length}, area over travel,"
    carried = " (printed for steel, carried over)" if grade.family == "non-metal" else ""
    yield Reason(
        "pitch",
        Told(
            f"{told} asks for about {printed:.2g} teeth per inch{carried}; "
            f"{band.pitch} has {band.pitch.mean_tpi:.3g}"
        ),
        "W = A / H",
        point.source,
        point.where,
        Confidence.DERIVED,
    )
    few, many = least_teeth(work, band), most_teeth(work, band)
    yield Reason(
        "teeth in the cut",
        Told(
            f"{few:.1f} in the thinnest {quantity(work.lasting_chord_mm, 'mm')} that lasts, {many:.1f} in "
            f"the longest {quantity(work.longest_chord_mm, 'mm')}; three are wanted; no more than 24, in "
            "soft metal 14"
        ),
        "n = W / p",
        teeth_in_cut.SOURCE,
        "p. 167, the three-tooth rule",
        Confidence.READ,
    )
    if few < teeth_in_cut.WANTED:
        yield from _few_reasons()


def _few_reasons() -> Iterator[Reason]:
    """What stands behind a setting with fewer than three teeth."""
    yield Reason(
        "teeth in the cut",
        Told("an older rule asks for two at least"),
        "",
        teeth_in_cut.OLDER,
        "sawing section",
        Confidence.READ,
    )
    yield Reason(
        "teeth in the cut",
        Told(
            "one or two may strip, bend and dull early: such a band is taken only where no other one of this "
            "saw has two, and none with less than one"
        ),
        "",
        teeth_in_cut.RISK,
        "teeth in the wall of a tube",
        Confidence.ABSTRACT,
    )


def limit_reasons(
    grade: Grade, found: Reckoned, corrections: Corrections, condition: Condition
) -> Iterator[Reason]:
    """Why this feed."""
    ruling = found.ruling
    yield Reason("feed", Told(f"{ruling} rules most of the cut: {LIMIT_TEXT[ruling]}"))
    chip = grade.chip_um
    biter = "tooth" if found.figures.toothed else "grain"
    yield _of("chip", f"a {biter} may take {quantity(chip.low, 'um', chip.high)}", chip, "h = vf p / v")
    if not found.figures.toothed:
        yield Reason(
            "chip",
            Told(
                f"grains that cut in one line are taken as {quantity(GRAIN_SPACING_MM, 'mm')} apart: a "
                "placeholder, try it first"
            ),
            "vf = h v / s",
            "house",
            "spacing of cutting grains",
            Confidence.MEMORY_LOW,
        )
    rate = base_rate(grade, found.one.band)
    if rate is not None:
        text = (
            f"{quantity(rate.low, 'cm2/min', rate.high)} at {quantity(found.one.speed.reference, 'm/min')}, "
            "in proportion to band speed"
        )
        yield _of("cutting rate", text, rate, "vf = R / W")
    wall = wall_factor(found.work, corrections)
    if wall is not None and found.work.wall_mm is not None:
        text = f"times {wall.value:.2f} for a wall of {quantity(found.work.wall_mm, 'mm')}"
        yield _of("cutting rate", text, wall)
    if condition.band is BandState.BREAK_IN:
        plan = break_in_for(grade, corrections)
        text = f"times {plan.feed.value:.2f} over the first {quantity(plan.area.value, 'cm2')} of a new band"
        yield _of("feed", text, plan.feed)
    if found.figures.toothed:
        yield Reason(
            "gullet",
            Told(
                f"the chip swells {grade.chip_bulking.value:g} times and may fill {gullet.FILL[0]:g} to "
                f"{gullet.FILL[1]:g} of a gullet of 0.3 p², for the finest pitch on the longest chord"
            ),
            "K h W <= eta 0.3 p^2",
            gullet.SOURCE,
            "gullet area, bulking and fill",
            Confidence.MEMORY_LOW,
        )


def power_reasons(
    grade: Grade, saw: SawSheet, methods: tuple[PowerByMethod, ...], condition: Condition
) -> Iterator[Reason]:
    """Why this power, and by how much the methods differ."""
    if not methods:
        told = f"no figure of force or power is known for {grade.name}, so neither is reckoned"
        yield from (Reason(about, Told(told)) for about in ("power", "feed force"))
        return
    peaks = [method.peak_kw for method in methods]
    yield Reason(
        "power",
        Told(
            f"the motor gives {quantity(saw.motor_kw, 'kW')}, "
            f"{quantity(saw.motor_kw * saw.drive_efficiency, 'kW')} of it at the teeth"
        ),
        "Pc = E Pm",
        saw.id,
        "saw sheet",
        Confidence.SHOP,
    )
    if len(methods) > 1:
        told = ", ".join(
            f"{method.method} ({method.source}) {quantity(method.peak_kw, 'kW')}" for method in methods
        )
        yield Reason(
            "power",
            Told(
                f"{quantity(min(peaks), 'kW', max(peaks))} by source: {told}; the limit goes by the highest"
            ),
        )
    for source in grade.kienzle:
        text = (
            f"kc1.1 {quantity(source.kc11.value, 'N/mm2')} at a chip of {quantity(1.0, 'mm')}, "
            f"mc {source.mc:g}; fitted in turning at {quantity(0.1, 'mm', 1.0)} and extrapolated here"
        )
        yield _of("power", text, source.kc11, _KIENZLE)
    if grade.kienzle:
        thinnest = quantity(vdi_3323.LEAST_CHIP_MM * 1000, "um")
        yield Reason(
            "power",
            Told(f"a thinner chip takes more force for its size; below {thinnest} it is held"),
            _KIENZLE,
            vdi_3323.LAW,
            "law of the specific cutting force",
            Confidence.MEMORY_GOOD,
        )
    hb = condition.hb if condition.hb is not None else grade.hb.value
    if (row := unit_power_bin(grade, hb)) is not None:
        figure = row[0].figure
        shown = (
            quantity(figure.value, figure.unit)
            if has_measures(figure.unit)
            else f"{figure.value:.3g} {figure.unit}"
        )
        text = f"unit power {shown} at {hb:.0f} HB"
        text += "" if row[1] else ", the nearest row: the hardness lies outside the table"
        yield _of("power", text, figure, "P = Kp C Q W")


def force_reasons(found: Reckoned, saw: SawSheet, condition: Condition) -> Iterator[Reason]:
    """What the band bears, what the feed pushes, and how straight the cut will run."""
    if not found.figures.power.known:
        return
    low, high = timoshenko_gere_1961.SHARE
    yield Reason(
        "band force",
        Told(
            f"guides {quantity(guide_span_mm(saw, found.work), 'mm')} apart, "
            f"{quantity(saw.band_tension_mpa, 'MPa')} in the band: it bears "
            f"{quantity(float(found.figures.band_n[0, 0]), 'N')} straight ({low:g} to {high:g} of the load "
            "at which it turns aside)"
        ),
        "Mcr = pi/L sqrt((E Iy + T L^2/pi^2)(G J + T b^2/12))",
        timoshenko_gere_1961.SOURCE,
        "ch. 6, with tension added",
        Confidence.MEMORY_GOOD,
    )
    share = float(feed_force_share(found))
    risk = next(word for most, word in STRAIGHTNESS if share <= most)
    yield Reason(
        "straightness",
        Told(
            f"the push reaches {share:.0%} of what the band bears straight: {risk} risk of a crooked cut "
            "with a sound band and guides close to the work"
        ),
        "Ff / (share of Pcr)",
        timoshenko_gere_1961.SOURCE,
        "ch. 6, with tension added",
        Confidence.MEMORY_LOW,
    )
    least, _, most = force_shares(condition)
    yield Reason(
        "feed force",
        Told(
            f"taken as {found.figures.force_ratio:g} of the cutting force; it may be {least:g} to {most:g} "
            "of it"
        ),
        "Ff = r Fc, Fc = P / v",
        feed_force.SOURCE,
        "feed force over cutting force",
        Confidence.MEMORY_LOW,
    )


_KIENZLE = "kc = kc1.1 h^-mc"


def life_reasons(found: Reckoned, life: LifeSpan | None) -> Iterator[Reason]:
    """How long the band lasts at this."""
    if life is None:
        yield Reason("band life", Told("no figure is known for this edge in this grade"))
        return
    area = found.work.area_mm2 / 100
    yield Reason(
        "band life",
        Told(
            f"{quantity(life.low, 'cm2', life.high)}, {quantity(life.usual, 'cm2')} as usual: some "
            f"{life.usual / area:.0f} cuts like this; at "
            f"{found.one.speed_m_per_min / found.one.speed.wanted:.2f} of the speed the grade asks for"
        ),
        "A = A0 (v/v0)^(1 - 1/n)",
        "house",
        "life of a band by grade",
        Confidence.MEMORY_LOW,
    )
    yield Reason(
        "band life",
        Told("an edge wears out sooner at a higher speed, as a power of it"),
        "T = (C/v)^(1/n)",
        taylor_1907.SOURCE,
        "law of tool life",
        Confidence.MEMORY_GOOD,
    )
    low, usual, high = taylor_1907.EXPONENT[found.one.band.edge.value]
    yield Reason(
        "band life",
        Told(f"n of {low:g} to {high:g}, {usual:g} as usual: of turning tools, none was found for bands"),
        "",
        taylor_1907.EXPONENTS,
        "exponent by tool material",
        Confidence.MEMORY_LOW,
    )


def time_reasons(found: Reckoned, rivals: tuple[ControlTime, ...]) -> Iterator[Reason]:
    """Why this time, and how sure."""
    fast, usual, slow = found.seconds
    yield Reason(
        "cut time",
        Told(
            f"area {quantity(found.work.area_mm2 / 100, 'cm2')} over {quantity(found.work.travel_mm, 'mm')} "
            f"of travel; between {_brief(fast)} and {_brief(slow)} s by the figures' spans, "
            f"{_brief(usual)} s usually"
        ),
        "t = integral of dy / vf(y)",
    )
    told = "; ".join(f"{rival.control} {_brief(rival.seconds)} s ({marked(rival.held)})" for rival in rivals)
    yield Reason("feed control", Told(f"the same cut by what a saw can hold: {told}"))


def _brief(seconds: float) -> str:
    """Seconds in two digits at least, so that a cut of two seconds has a span that is one."""
    return f"{seconds:.1f}" if seconds < 9.95 else f"{seconds:.0f}"


def reasons_for(
    grade: Grade,
    found: Reckoned,
    saw: SawSheet,
    corrections: Corrections,
    condition: Condition,
    methods: tuple[PowerByMethod, ...],
    rivals: tuple[ControlTime, ...],
    life: LifeSpan | None,
) -> tuple[Reason, ...]:
    """Every reason, in the order of a ticket: speed, pitch, feed, power, time, kerf."""
    kerf = found.one.band.kerf
    return (
        *speed_reasons(found.one.speed, grade, saw),
        *pitch_reasons(grade, found, corrections),
        *limit_reasons(grade, found, corrections, condition),
        *power_reasons(grade, saw, methods, condition),
        *force_reasons(found, saw, condition),
        *time_reasons(found, rivals),
        *life_reasons(found, life),
        _of(
            "kerf",
            f"{quantity(kerf.low, 'mm', kerf.high)} for a new band; it narrows by "
            f"{quantity(0.05, 'mm', 0.2)} as the set wears",
            kerf,
        ),
    )
