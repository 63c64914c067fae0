"""From grade, work, saw, band and condition to the numbers a cut is reckoned with."""

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from kerfsmith.catalog.band import Band, Edge
from kerfsmith.catalog.corrections import BreakIn, Corrections
from kerfsmith.catalog.figure import Figure
from kerfsmith.catalog.material import Grade, UnitPower
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.condition import BandState, Condition
from kerfsmith.cutting.figures import Figures, Floats, PowerFigures, column
from kerfsmith.cutting.models import band_stress, feed_force, gullet, timoshenko_gere_1961
from kerfsmith.cutting.speed import Speed
from kerfsmith.cutting.work import Work

BUNDLE_RATE = (0.7, 0.85, 1.0)
"""Share of the area rate for pieces cut in a bundle, low, usual and high: the house's figure, low confidence.
"""

WORN_RATE = (0.6, 0.75, 0.9)
"""Share of the area rate that a worn band still gives: the house's figure, low confidence."""

GRAIN_SPACING_MM = 15.0
"""Distance between grains that cut in one line of a grit edge: the house's figure, low confidence."""


class Outlook(StrEnum):
    """Which end of every figure's span is taken."""

    USUAL = "usual"
    FAST = "fast"
    SLOW = "slow"


def pick(figure: Figure, outlook: Outlook) -> float:
    """The value of a figure of which more means a quicker cut."""
    return {Outlook.USUAL: figure.value, Outlook.FAST: figure.high, Outlook.SLOW: figure.low}[outlook]


def pick_against(figure: Figure, outlook: Outlook) -> float:
    """The value of a figure of which more means a slower cut."""
    return {Outlook.USUAL: figure.value, Outlook.FAST: figure.low, Outlook.SLOW: figure.high}[outlook]


def pick_of(span: tuple[float, float, float], outlook: Outlook) -> float:
    """One of low, usual and high, of which more means a quicker cut."""
    return span[{Outlook.SLOW: 0, Outlook.USUAL: 1, Outlook.FAST: 2}[outlook]]


def unit_power_bin(grade: Grade, hb: float) -> tuple[UnitPower, bool] | None:
    """The row of unit power for a hardness, lower edge inclusive, and whether the hardness lies in it."""
    for row in grade.unit_power:
        if row.hb_low <= hb < row.hb_high:
            return row, True
    if not grade.unit_power:
        return None
    return min(grade.unit_power, key=lambda row: min(abs(hb - row.hb_low), abs(hb - row.hb_high))), False


def power_figures(
    grade: Grade, corrections: Corrections, condition: Condition, outlook: Outlook
) -> PowerFigures:
    """What a chip of this grade costs in power, by every method that has figures."""
    hb = condition.hb if condition.hb is not None else grade.hb.value
    found = unit_power_bin(grade, hb)
    worn = condition.band is BandState.WORN
    return PowerFigures(
        kienzle=tuple((source.kc11.value, source.mc) for source in grade.kienzle),
        unit_power=found[0].figure.value if found else None,
        wear=pick_against(corrections.worn_power, outlook) if worn else 1.0,
        lenient=outlook is Outlook.FAST,
    )


def break_in_for(grade: Grade, corrections: Corrections) -> BreakIn:
    """How a new band is run in for this grade: gently in easy metal, firmly where it work-hardens."""
    return corrections.break_in_hard if runs_in_firmly(grade) else corrections.break_in_easy


def runs_in_firmly(grade: Grade) -> bool:
    """Whether a new band must bite from the start, lest the metal harden under it."""
    return grade.work_hardens or grade.family in ("nickel", "cobalt", "titanium", "stainless")


def base_rate(grade: Grade, band: Band) -> Figure | None:
    """The grade's area rate with this edge, at its reference speed; None where no figure is known."""
    if band.edge.is_grit:
        return None
    if band.edge is Edge.CARBIDE:
        return grade.rate_carbide or grade.rate_bimetal
    return grade.rate_bimetal


def wall_factor(work: Work, corrections: Corrections) -> Figure | None:
    """Factor on area rate for tube and shapes by wall; None for solid bar."""
    return corrections.wall_factor(work.wall_mm) if work.wall_mm is not None else None


def rate_share(
    grade: Grade, work: Work, corrections: Corrections, condition: Condition, outlook: Outlook
) -> float:
    """Share of the area rate left after wall, bundle and state of the band."""
    share = 1.0
    if (wall := wall_factor(work, corrections)) is not None:
        share *= pick(wall, outlook)
    if work.bundle > 1:
        share *= pick_of(BUNDLE_RATE, outlook)
    if condition.band is BandState.WORN:
        share *= pick_of(WORN_RATE, outlook)
    if condition.band is BandState.BREAK_IN:
        share *= pick(break_in_for(grade, corrections).feed, outlook)
    return share


def guide_span_mm(saw: SawSheet, work: Work) -> float:
    """Distance between the band guides: the work and a clearance each side, within what the saw can set."""
    wanted = work.width_mm + 2 * saw.guide_clearance_mm
    return min(max(wanted, saw.guide_span_min_mm), saw.guide_span_max_mm)


def band_bears_n(saw: SawSheet, work: Work, band: Band, outlook: Outlook) -> float:
    """Feed force the tensioned band bears without turning aside."""
    tension = band_stress.tension_n(saw.band_tension_mpa, band.width_mm, band.thickness_mm)
    critical = timoshenko_gere_1961.tensioned_load_n(
        band.width_mm, band.thickness_mm, guide_span_mm(saw, work), tension
    )
    low, high = timoshenko_gere_1961.SHARE
    return critical * pick_of((low, (low + high) / 2, high), outlook)


@dataclass(frozen=True, slots=True)
class Try:
    """One band at one speed, to be reckoned. ``feed_share`` is the share of the allowed feed that is used."""

    band: Band
    speed: Speed
    speed_m_per_min: float
    feed_share: float = 1.0


def figures_for(
    grade: Grade,
    work: Work,
    saw: SawSheet,
    tries: tuple[Try, ...],
    corrections: Corrections,
    condition: Condition,
    outlook: Outlook = Outlook.USUAL,
) -> Figures:
    """The numbers for several tries of one grade at once; all must be toothed or all grit."""
    cases = tuple((grade, one) for one in tries)
    power = power_figures(grade, corrections, condition, outlook)
    return _figures(cases, power, work, saw, corrections, condition, outlook)


def figures_of(
    cases: tuple[tuple[Grade, Try], ...],
    work: Work,
    saw: SawSheet,
    corrections: Corrections,
    condition: Condition,
    outlook: Outlook = Outlook.USUAL,
) -> Figures:
    """The numbers for tries in several grades, all toothed or all grit, whose power is told by as many
    methods (see :func:`methods_of`).
    """
    each = [power_figures(grade, corrections, condition, outlook) for grade, _ in cases]
    pairs = zip(*(one.kienzle for one in each), strict=True)
    units = [one.unit_power for one in each if one.unit_power is not None]
    power = PowerFigures(
        tuple((column(*(kc11 for kc11, _ in source)), column(*(mc for _, mc in source))) for source in pairs),
        column(*map(float, units)) if units else None,
        each[0].wear,
        each[0].lenient,
    )
    return _figures(cases, power, work, saw, corrections, condition, outlook)


def force_shares(condition: Condition) -> tuple[float, float, float]:
    """Low, usual and high share of the cutting force with which a band of this state is pushed."""
    return feed_force.WORN if condition.band is BandState.WORN else feed_force.SHARP


def methods_of(grade: Grade) -> tuple[int, bool]:
    """By how many sources of Kienzle's law, and whether by unit power, a grade's power is told."""
    return len(grade.kienzle), bool(grade.unit_power)


def _figures(
    cases: tuple[tuple[Grade, Try], ...],
    power: PowerFigures,
    work: Work,
    saw: SawSheet,
    corrections: Corrections,
    condition: Condition,
    outlook: Outlook,
) -> Figures:
    tries = [one for _, one in cases]
    ratio = force_shares(condition)
    chips = [_chip_span(grade, corrections, condition, outlook) for grade, _ in cases]
    eta = pick_of((gullet.FILL[0], sum(gullet.FILL) / 2, gullet.FILL[1]), outlook)
    shares = _rate_shares(tuple(grade for grade, _ in cases), work, corrections, condition, outlook)
    rates = [_rates(grade, one, *share, outlook) for (grade, one), share in zip(cases, shares, strict=True)]
    sizes = {(one.band.width_mm, one.band.thickness_mm): one.band for one in tries}
    bears = {size: band_bears_n(saw, work, band, outlook) for size, band in sizes.items()}
    pitches = [one.band.pitch for one in tries]
    return Figures(
        speed=column(*(one.speed_m_per_min for one in tries)),
        pitch=column(*(pitch.mean_mm if pitch else GRAIN_SPACING_MM for pitch in pitches)),
        fine=column(*(pitch.fine_mm if pitch else GRAIN_SPACING_MM for pitch in pitches)),
        coarse=column(*(pitch.coarse_mm if pitch else GRAIN_SPACING_MM for pitch in pitches)),
        kerf=column(*(one.band.kerf.value for one in tries)),
        rate=column(*(rate for rate, _ in rates)),
        rate_most=column(*(most for _, most in rates)),
        chip_least=column(*(least for least, _ in chips)),
        chip_most=column(*(most for _, most in chips)),
        fill_most=column(*(eta for _ in tries)),
        bulking=column(*(pick_against(grade.chip_bulking, outlook) for grade, _ in cases)),
        band_n=column(*(bears[one.band.width_mm, one.band.thickness_mm] for one in tries)),
        motor_kw=column(*(saw.motor_kw * saw.drive_efficiency for _ in tries)),
        saw_n=column(*(saw.feed_force_max_n for _ in tries)),
        feed_most=column(*(saw.feed_max_mm_per_min for _ in tries)),
        force_ratio=pick_of((ratio[2], ratio[1], ratio[0]), outlook),
        power=power,
        toothed=tries[0].band.pitch is not None,
    )


def _rate_shares(
    grades: tuple[Grade, ...], work: Work, corrections: Corrections, condition: Condition, outlook: Outlook
) -> list[tuple[float, float]]:
    """Share of the area rate left for each grade, as told and at its fast end."""
    found: dict[bool, tuple[float, float]] = {}
    for grade in grades:
        firmly = runs_in_firmly(grade)
        if firmly not in found:
            found[firmly] = (
                rate_share(grade, work, corrections, condition, outlook),
                rate_share(grade, work, corrections, condition, Outlook.FAST),
            )
    return [found[runs_in_firmly(grade)] for grade in grades]


def _rates(grade: Grade, one: Try, share: float, most_share: float, outlook: Outlook) -> tuple[float, float]:
    figure = base_rate(grade, one.band)
    if figure is None:
        return np.inf, np.inf
    by_speed = one.speed_m_per_min / one.speed.reference
    most = figure.value * share if outlook is Outlook.SLOW else figure.high * most_share
    usual = pick(figure, outlook) * share * by_speed
    return usual, max(most * by_speed, usual)


def _chip_span(
    grade: Grade, corrections: Corrections, condition: Condition, outlook: Outlook
) -> tuple[float, float]:
    least = grade.chip_um.low
    most = grade.chip_um.value if outlook is Outlook.SLOW else grade.chip_um.high
    if condition.band is BandState.BREAK_IN:
        most *= pick(break_in_for(grade, corrections).feed, outlook)
    return least, max(most, least)


def at_speeds(figures: Figures, speeds: Floats) -> Figures:
    """The figures of each band at each of its speeds: row b of ``speeds`` (bands, speeds) goes with band b.

    Settings come out band by band. Rates go with the speed; all else stays.
    """
    bands, count = speeds.shape
    spread = figures.take(np.repeat(np.arange(bands), count))
    faster = speeds.reshape(-1, 1) / spread.speed
    return replace(
        spread,
        speed=speeds.reshape(-1, 1),
        rate=spread.rate * faster,
        rate_most=spread.rate_most * faster,
        origin=None,
    )
