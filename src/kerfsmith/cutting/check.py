"""A referee for settings: recomputes each limit from the setting alone and says which is broken.

It knows nothing of how settings are chosen: plain sums, one slice at a time, from the published models, the
grade's figures, the saw's sheet and the section's own chords.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kerfsmith.catalog.band import Edge
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.figure import Figure
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.condition import AS_USUAL, BandState, Condition
from kerfsmith.cutting.models import (
    band_stress,
    feed_force,
    gullet,
    handbook_2020,
    timoshenko_gere_1961,
    vdi_3323,
)
from kerfsmith.cutting.present import present, ways_to_lie
from kerfsmith.cutting.setting import CutSetting, Limit, Slice
from kerfsmith.geometry.scanline import Scan

SLACK = 1.002
"""Limits may be passed by this much: levels are set at points of the cut that can miss a peak by less."""

TIME_SLACK = 0.03
"""The referee adds up the slices by trapezium, which is coarser than the setting's own quadrature."""

FASTEST = 1.2
"""Band speed over the speed wanted: the most that is ever offered."""

BUNDLE_RATE_MOST = 1.0
WORN_RATE_MOST = 0.9


@dataclass(frozen=True, slots=True)
class Breach:
    """A limit that a setting breaks: ``value`` against ``allowed``, at ``depth_mm`` (None: the whole cut)."""

    what: str
    depth_mm: float | None
    value: float
    allowed: float

    def __str__(self) -> str:
        place = "" if self.depth_mm is None else f" at {self.depth_mm:.2f} mm"
        return f"{self.what}{place}: {self.value:.6g} against {self.allowed:.6g}"


@dataclass(frozen=True, slots=True)
class _Case:
    """What a setting is checked against."""

    grade: Grade
    saw: SawSheet
    corrections: Corrections
    condition: Condition
    setting: CutSetting
    scan: Scan
    wall_mm: float | None


def breaches(
    grade: Grade,
    section: Section,
    saw: SawSheet,
    corrections: Corrections,
    setting: CutSetting,
    condition: Condition = AS_USUAL,
) -> tuple[Breach, ...]:
    """Every limit that ``setting`` breaks; empty when it stands."""
    lie = next(way for way in ways_to_lie(section, setting.bundle) if way.name == setting.lie)
    work = present(section, lie, angle_deg=setting.angle_deg, bundle=setting.bundle, cant_deg=saw.cant_deg)
    case = _Case(grade, saw, corrections, condition, setting, work.scan, section.shape.wall_mm)
    found = [*_whole(case), *_numbers(case)]
    for each in setting.slices:
        found += _slice(case, each)
    return tuple(found)


def _over(what: str, depth_mm: float | None, value: float, allowed: float) -> Iterator[Breach]:
    if not value <= allowed * SLACK + 1e-9:
        yield Breach(what, depth_mm, value, allowed)


def _numbers(case: _Case) -> Iterator[Breach]:
    """Nothing missing, nothing nought that can't be, and time and area that the slices bear out."""
    s = case.setting
    for name in ("cut_seconds", "cut_seconds_low", "cut_seconds_high", "area_cm2", "mean_feed_mm_per_min"):
        value = getattr(s, name)
        if not (math.isfinite(value) and value > 0):
            yield Breach(name, None, value, 0)
    for name in ("peak_power_kw", "mean_power_kw", "peak_force_n", "band_force_share", "fullest_gullet"):
        value = getattr(s, name)
        if not (math.isfinite(value) and value >= 0):
            yield Breach(name, None, value, 0)
    if not s.cut_seconds_low <= s.cut_seconds <= s.cut_seconds_high:
        yield Breach("interval of time", None, s.cut_seconds, s.cut_seconds_high)
    depths = [0.0, *(each.depth_mm for each in s.slices), case.scan.depth_mm]
    feeds = [
        s.slices[0].feed_mm_per_min,
        *(e.feed_mm_per_min for e in s.slices),
        s.slices[-1].feed_mm_per_min,
    ]
    seconds = sum(
        (b - a) * 30 * (1 / f + 1 / g)
        for a, b, f, g in zip(depths, depths[1:], feeds, feeds[1:], strict=False)
    )
    if abs(seconds / s.cut_seconds - 1) > TIME_SLACK:
        yield Breach("time from slices", None, seconds, s.cut_seconds)
    if abs(s.area_cm2 * 100 / case.scan.area_mm2 - 1) > 1e-9:
        yield Breach("area", None, s.area_cm2 * 100, case.scan.area_mm2)


def _whole(case: _Case) -> Iterator[Breach]:
    """Limits on the setting as a whole: the band on the saw, its speed, the teeth in a wall, room in the
    vise.
    """
    s, saw, grade = case.setting, case.saw, case.grade
    yield from _over("band width", None, abs(s.band.width_mm - saw.band_width_mm), 0.6)
    yield from _over("band speed", None, s.band_speed_m_per_min, saw.band_speed_max_m_per_min)
    yield from _over("slowest band speed", None, saw.band_speed_min_m_per_min, s.band_speed_m_per_min)
    yield from _over(
        "band speed for the grade", None, s.band_speed_m_per_min, s.wanted_speed_m_per_min * FASTEST
    )
    if grade.fire_speed is not None:
        yield from _over("fire speed", None, s.band_speed_m_per_min, grade.fire_speed.high)
    yield from _over("head travel", None, case.scan.depth_mm, saw.head_travel_mm)
    yield from _over("guide span", None, case.scan.outline.width_mm, saw.guide_span_max_mm)
    if saw.materials and grade.group not in saw.materials:
        yield Breach("kind of material", None, 1, 0)
    if s.band.pitch is not None:
        wall = _thinnest_lasting_mm(case.scan)
        yield from _over("one tooth in a wall", None, s.band.pitch.coarse_mm, wall)
        yield from _over("teeth told", None, s.least_teeth_in_cut, wall / s.band.pitch.coarse_mm)
        warned = any("teeth in the thinnest" in text for text in s.cautions)
        if s.least_teeth_in_cut < 3 and not warned:
            yield Breach("few teeth without a caution", None, s.least_teeth_in_cut, 3)


def _thinnest_lasting_mm(scan: Scan, samples: int = 2000) -> float:
    """The chord below which a tenth of the travel lies, by plain sampling; a little generous."""
    depths = [(k + 0.5) / samples * scan.depth_mm for k in range(samples)]
    chords = sorted(scan.shortest_chord_mm(depths).tolist())
    return float(chords[samples // 10 + samples // 100])


def _rate_share(case: _Case, end: str) -> float:
    share = 1.0
    if case.wall_mm is not None:
        share *= _end(case.corrections.wall_factor(case.wall_mm), end)
    if case.setting.bundle > 1:
        share *= BUNDLE_RATE_MOST
    if case.condition.band is BandState.WORN:
        share *= WORN_RATE_MOST
    if case.condition.band is BandState.BREAK_IN:
        share *= _break_in(case)
    return share


def _break_in(case: _Case) -> float:
    hard = case.grade.work_hardens or case.grade.family in ("nickel", "cobalt", "titanium", "stainless")
    return (case.corrections.break_in_hard if hard else case.corrections.break_in_easy).feed.value


def _end(figure: Figure, end: str) -> float:
    return figure.high if end == "high" else figure.value


def _area_rate(case: _Case, end: str) -> float:
    """Area rate (cm2/min) at the setting's band speed, or infinity where the grade has none."""
    band, grade = case.setting.band, case.grade
    carbide = band.edge is Edge.CARBIDE
    figure = (grade.rate_carbide or grade.rate_bimetal) if carbide else grade.rate_bimetal
    if figure is None or band.edge.is_grit:
        return math.inf
    faster = case.corrections.carbide_factor(grade.family) if carbide else None
    reference = grade.band_speed.value * (faster.value if faster else 1.0)
    return _end(figure, end) * _rate_share(case, end) * case.setting.band_speed_m_per_min / reference


def _slice(case: _Case, each: Slice) -> Iterator[Breach]:
    """Every limit at one depth."""
    s, saw, depth = case.setting, case.saw, each.depth_mm
    speed, feed, contact = s.band_speed_m_per_min, each.feed_mm_per_min, each.contact_mm
    true_contact = float(case.scan.contact_mm(depth))
    yield from _over("contact width", depth, abs(contact - true_contact), 1e-6 * case.scan.outline.width_mm)
    yield from _over("saw's greatest feed", depth, feed, saw.feed_max_mm_per_min)
    yield from _over("saw's least feed", depth, saw.feed_min_mm_per_min, feed)
    most = max(case.grade.chip_um.high * _break_in_chip(case), case.grade.chip_um.low)
    yield from _over("greatest chip", depth, each.chip_um, most)
    rate = feed * contact / 100
    usual, top = _area_rate(case, "value"), _area_rate(case, "high")
    if s.bundle > 1:
        usual = top
    keeps_chip = each.chip_um <= case.grade.chip_um.low * SLACK
    yield from _over("area rate", depth, rate, top if each.limit is Limit.LEAST_CHIP or keeps_chip else usual)
    if s.band.pitch is not None:
        yield from _over("chip", depth, feed * s.band.pitch.mean_mm / speed, each.chip_um)
        fine = s.band.pitch.fine_mm
        fill = gullet.fill(
            case.grade.chip_bulking.value, feed * fine / speed / 1000, each.longest_chord_mm, fine
        )
        yield from _over("gullet", depth, fill, sum(gullet.FILL) / 2)
        yield from _stripping(case, each)
    yield from _power(case, each, rate)


def _break_in_chip(case: _Case) -> float:
    return _break_in(case) if case.condition.band is BandState.BREAK_IN else 1.0


def _stripping(case: _Case, each: Slice) -> Iterator[Breach]:
    """Fewer than three teeth in the mean chord there: the chip stays under the line between its ends."""
    if each.teeth_in_cut >= 3:
        return
    least = case.grade.chip_um.low
    most = max(case.grade.chip_um.high * _break_in_chip(case), least)
    allowed = least + (most - least) * each.teeth_in_cut / 3
    yield from _over("teeth in the cut", each.depth_mm, each.chip_um, allowed)


def _power(case: _Case, each: Slice, rate_cm2_per_min: float) -> Iterator[Breach]:
    """Motor, band and saw against the most demanding source for this chip."""
    s, saw, grade = case.setting, case.saw, case.grade
    removal = rate_cm2_per_min * 100 / 60 * s.band.kerf.value
    chip_mm = each.chip_um / 1000
    worn = case.condition.band is BandState.WORN
    wear = case.corrections.worn_power.value if worn else 1.0
    powers = [
        vdi_3323.specific_force(chip_mm, source.kc11.value, source.mc).value * removal * wear / 1e6
        for source in grade.kienzle
    ]
    hb = case.condition.hb if case.condition.hb is not None else grade.hb.value
    rows = [row.figure.value for row in grade.unit_power if row.hb_low <= hb < row.hb_high]
    powers += [handbook_2020.cutting_power_kw(unit, chip_mm, removal, wear).value for unit in rows]
    if not powers:
        return
    power = max(powers)
    yield from _over("power told", each.depth_mm, power, each.power_kw)
    yield from _over("motor power", each.depth_mm, power, saw.motor_kw * saw.drive_efficiency)
    ratio = (feed_force.WORN if worn else feed_force.SHARP)[1]
    force = feed_force.feed_force_n(feed_force.cutting_force_n(power, s.band_speed_m_per_min), ratio)
    yield from _over("saw's feed force", each.depth_mm, force, saw.feed_force_max_n)
    yield from _over("band force", each.depth_mm, force, _band_bears(case))


def _band_bears(case: _Case) -> float:
    saw, band = case.saw, case.setting.band
    wanted = case.scan.outline.width_mm + 2 * saw.guide_clearance_mm
    span = min(max(wanted, saw.guide_span_min_mm), saw.guide_span_max_mm)
    tension = band_stress.tension_n(saw.band_tension_mpa, band.width_mm, band.thickness_mm)
    critical = timoshenko_gere_1961.tensioned_load_n(band.width_mm, band.thickness_mm, span, tension)
    return critical * sum(timoshenko_gere_1961.SHARE) / 2
