"""Why each number of a setting is what it is, in the trade's words, with source and confidence."""

from collections.abc import Iterator

from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.candidates import least_teeth, most_teeth, printed_pitch_tpi
from kerfsmith.cutting.condition import BandState, Condition
from kerfsmith.cutting.life import LifeSpan
from kerfsmith.cutting.models import (
    gullet,
    taylor_1907,
    teeth_in_cut,
)
from kerfsmith.cutting.power_reasons import force_reasons, power_reasons
from kerfsmith.cutting.reckon import Reckoned
from kerfsmith.cutting.set_up import (
    GRAIN_SPACING_MM,
    base_rate,
    break_in_for,
    wall_factor,
)
from kerfsmith.cutting.setting import ControlTime, Limit, PowerByMethod, Reason, reason_of
from kerfsmith.cutting.speed import speed_reasons
from kerfsmith.units.told import Told, joined, quantity, sentence

LIMIT_TEXT = {
    Limit.LEAST_CHIP: Told("the tooth must make a chip and not rub"),
    Limit.GREATEST_CHIP: Told("no tooth may bite thicker"),
    Limit.GULLET: Told("the gullet is as full as it may be by the time the tooth leaves the work"),
    Limit.TEETH_IN_CUT: Told("fewer than three teeth share the chord"),
    Limit.AREA_RATE: Told("the edge wears too fast above the grade's cutting rate"),
    Limit.MOTOR_POWER: Told("the motor gives no more"),
    Limit.BAND_FORCE: Told("a harder push would turn the band aside between its guides"),
    Limit.SAW_FORCE: Told("the saw pushes no harder"),
    Limit.SAW_FEED: Told("the saw feeds no faster"),
}


def pitch_reasons(grade: Grade, found: Reckoned, corrections: Corrections) -> Iterator[Reason]:
    """Why this pitch."""
    work, band = found.work, found.one.band
    if band.pitch is None:
        yield Reason("pitch", Told("a grit edge has grains in place of teeth; no tooth rule applies"))
        return
    printed = printed_pitch_tpi(work.length_of_cut_mm, corrections)
    point = corrections.size[0].factor
    length = sentence("length of cut {length_of_cut}", length_of_cut=quantity(work.length_of_cut_mm, "mm"))
    told = (
        sentence("{length}, the full width of solid bar,", length=length)
        if work.is_solid
        else sentence("mean {length}, area over travel,", length=length)
    )
    carried = Told(" (printed for steel, carried over)") if grade.family == "non-metal" else ""
    yield Reason(
        "pitch",
        sentence(
            "{length} asks for about {wanted} teeth per inch{carried}; {pitch} has {teeth}",
            length=told,
            wanted=f"{printed:.2g}",
            carried=carried,
            pitch=band.pitch,
            teeth=f"{band.pitch.mean_tpi:.3g}",
        ),
        "W = A / H",
        point.source,
        point.where,
        Confidence.DERIVED,
    )
    few, many = least_teeth(work, band), most_teeth(work, band)
    yield Reason(
        "teeth in the cut",
        sentence(
            "{few} in the thinnest {lasting_chord} that lasts, {many} in the longest "
            "{longest_chord}; three are wanted; no more than 24, in soft metal 14",
            few=f"{few:.1f}",
            lasting_chord=quantity(work.lasting_chord_mm, "mm"),
            many=f"{many:.1f}",
            longest_chord=quantity(work.longest_chord_mm, "mm"),
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
    yield Reason(
        "feed",
        sentence(
            "{ruling} rules most of the cut: {limit_text}", ruling=ruling, limit_text=LIMIT_TEXT[ruling]
        ),
    )
    chip = grade.chip_um
    biter = Told("tooth") if found.figures.toothed else Told("grain")
    yield reason_of(
        "chip",
        sentence("a {biter} may take {span}", biter=biter, span=quantity(chip.low, "um", chip.high)),
        chip,
        "h = vf p / v",
    )
    if not found.figures.toothed:
        yield Reason(
            "chip",
            sentence(
                "grains that cut in one line are taken as {grain_spacing} apart: a placeholder, try it first",
                grain_spacing=quantity(GRAIN_SPACING_MM, "mm"),
            ),
            "vf = h v / s",
            "house",
            "spacing of cutting grains",
            Confidence.MEMORY_LOW,
        )
    rate = base_rate(grade, found.one.band)
    if rate is not None:
        text = sentence(
            "{span} at {reference}, in proportion to band speed",
            span=quantity(rate.low, "cm2/min", rate.high),
            reference=quantity(found.one.speed.reference, "m/min"),
        )
        yield reason_of("cutting rate", text, rate, "vf = R / W")
    wall = wall_factor(found.work, corrections)
    if wall is not None and found.work.wall_mm is not None:
        text = sentence(
            "times {factor} for a wall of {wall}",
            factor=f"{wall.value:.2f}",
            wall=quantity(found.work.wall_mm, "mm"),
        )
        yield reason_of("cutting rate", text, wall)
    if condition.band is BandState.BREAK_IN:
        plan = break_in_for(grade, corrections)
        text = sentence(
            "times {feed} over the first {area} of a new band",
            feed=f"{plan.feed.value:.2f}",
            area=quantity(plan.area.value, "cm2"),
        )
        yield reason_of("feed", text, plan.feed)
    if found.figures.toothed:
        yield Reason(
            "gullet",
            sentence(
                "the chip swells {times} times and may fill {least} to {most} of a "
                "gullet of 0.3 p², for the finest pitch on the longest chord",
                times=f"{grade.chip_bulking.value:g}",
                least=f"{gullet.FILL[0]:g}",
                most=f"{gullet.FILL[1]:g}",
            ),
            "K h W <= eta 0.3 p^2",
            gullet.SOURCE,
            "gullet area, bulking and fill",
            Confidence.MEMORY_LOW,
        )


def life_reasons(found: Reckoned, life: LifeSpan | None) -> Iterator[Reason]:
    """How long the band lasts at this."""
    if life is None:
        yield Reason("band life", Told("no figure is known for this edge in this grade"))
        return
    area = found.work.area_mm2 / 100
    yield Reason(
        "band life",
        sentence(
            "{span}, {usual} as usual: some {cuts} cuts like this; at {share} of the "
            "speed the grade asks for",
            span=quantity(life.low, "cm2", life.high),
            usual=quantity(life.usual, "cm2"),
            cuts=f"{life.usual / area:.0f}",
            share=f"{found.one.speed_m_per_min / found.one.speed.wanted:.2f}",
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
        sentence(
            "n of {low} to {high}, {usual} as usual: of turning tools, none was found for bands",
            low=f"{low:g}",
            high=f"{high:g}",
            usual=f"{usual:g}",
        ),
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
        sentence(
            "area {area_mm2} over {travel} of travel; between {fast} and {slow} s by the "
            "figures' spans, {usual} s usually",
            area_mm2=quantity(found.work.area_mm2 / 100, "cm2"),
            travel=quantity(found.work.travel_mm, "mm"),
            fast=_brief(fast),
            slow=_brief(slow),
            usual=_brief(usual),
        ),
        "t = integral of dy / vf(y)",
    )
    held = joined(
        "; ",
        (
            sentence(
                "{control} {seconds} s ({held})",
                control=one.control,
                seconds=_brief(one.seconds),
                held=one.held,
            )
            for one in rivals
        ),
    )
    yield Reason("feed control", sentence("the same cut by what a saw can hold: {each}", each=held))


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
        reason_of(
            "kerf",
            sentence(
                "{span} for a new band; it narrows by {loss} as the set wears",
                span=quantity(kerf.low, "mm", kerf.high),
                loss=quantity(0.05, "mm", 0.2),
            ),
            kerf,
        ),
    )
