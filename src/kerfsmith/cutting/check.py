"""A referee for settings: recomputes each limit from the setting alone and says which is broken.

It knows nothing of how settings are chosen: plain sums over the depths of the cut, from the published models,
the grade's figures, the saw's sheet and the section's own chords.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from kerfsmith.catalog.band import Edge
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.figure import Figure
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.claim import Claim, claim_of
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
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.geometry.scanline import Scan

Floats = NDArray[np.float64]

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
    """What a claim is checked against; ``thinnest_mm`` is the chord that lasts."""

    grade: Grade
    saw: SawSheet
    corrections: Corrections
    condition: Condition
    claim: Claim
    scan: Scan
    wall_mm: float | None
    thinnest_mm: float


def breaches(
    grade: Grade,
    section: Section,
    saw: SawSheet,
    corrections: Corrections,
    setting: CutSetting,
    condition: Condition = AS_USUAL,
) -> tuple[Breach, ...]:
    """Every limit that ``setting`` breaks, each at its worst depth; empty when it stands."""
    return claim_breaches(grade, section, saw, corrections, claim_of(setting), condition)


def claim_breaches(
    grade: Grade,
    section: Section,
    saw: SawSheet,
    corrections: Corrections,
    claim: Claim,
    condition: Condition = AS_USUAL,
) -> tuple[Breach, ...]:
    """:func:`breaches` of what a setting claims."""
    lie = next(way for way in ways_to_lie(section, claim.bundle) if way.name == claim.lie)
    work = present(section, lie, angle_deg=claim.angle_deg, bundle=claim.bundle, cant_deg=saw.cant_deg)
    thinnest = _thinnest_lasting_mm(work.scan)
    case = _Case(grade, saw, corrections, condition, claim, work.scan, section.shape.wall_mm, thinnest)
    return (*_whole(case), *_numbers(case), *_depths(case))


def _over(what: str, value: float, allowed: float) -> Iterator[Breach]:
    if not value <= allowed * SLACK + 1e-9:
        yield Breach(what, None, value, allowed)


def _over_at(what: str, depth_mm: Floats, value: Floats, allowed: Floats | float) -> Iterator[Breach]:
    """The worst depth at which a limit is passed; a number that isn't one passes none."""
    kept = value <= allowed * SLACK + 1e-9
    if not kept.all():
        most = np.broadcast_to(allowed, value.shape)
        at = int(np.where(kept, -np.inf, np.nan_to_num(value / most, nan=np.inf)).argmax())
        yield Breach(what, float(depth_mm[at]), float(value[at]), float(most[at]))


def _numbers(case: _Case) -> Iterator[Breach]:
    """Nothing missing, nothing nought that can't be, and time and area that the slices bear out."""
    claim = case.claim
    for name, value in claim.positive:
        if not (math.isfinite(value) and value > 0):
            yield Breach(name, None, value, 0)
    for name, value in claim.not_negative:
        if not (math.isfinite(value) and value >= 0):
            yield Breach(name, None, value, 0)
    low, usual, high = claim.seconds
    if not (0 < low <= usual <= high < math.inf):
        yield Breach("interval of time", None, usual, high)
    depths = np.concatenate([[0.0], claim.columns.depth_mm, [case.scan.depth_mm]])
    feeds = claim.columns.feed_mm_per_min
    slowness = 1.0 / np.concatenate([feeds[:1], feeds, feeds[-1:]])
    seconds = float((np.diff(depths) * 30 * (slowness[1:] + slowness[:-1])).sum())
    if not abs(seconds / usual - 1) <= TIME_SLACK:
        yield Breach("time from slices", None, seconds, usual)
    if not abs(claim.area_cm2 * 100 / case.scan.area_mm2 - 1) <= 1e-9:
        yield Breach("area", None, claim.area_cm2 * 100, case.scan.area_mm2)


def _whole(case: _Case) -> Iterator[Breach]:
    """Limits on the setting as a whole: the band on the saw, its speed, the teeth in a wall, room in the
    vise.
    """
    claim, saw, grade = case.claim, case.saw, case.grade
    speed = claim.band_speed_m_per_min
    yield from _over("band width", abs(claim.band.width_mm - saw.band_width_mm), 0.6)
    yield from _over("band speed", speed, saw.band_speed_max_m_per_min)
    yield from _over("slowest band speed", saw.band_speed_min_m_per_min, speed)
    yield from _over("band speed for the grade", speed, claim.wanted_speed_m_per_min * FASTEST)
    if grade.fire_speed is not None:
        yield from _over("fire speed", speed, grade.fire_speed.high)
    yield from _over("head travel", case.scan.depth_mm, saw.head_travel_mm)
    yield from _over("guide span", case.scan.outline.width_mm, saw.guide_span_max_mm)
    if saw.materials and grade.group not in saw.materials:
        yield Breach("kind of material", None, 1, 0)
    if (pitch := claim.band.pitch) is not None:
        yield from _over("one tooth in a wall", pitch.coarse_mm, case.thinnest_mm)
        yield from _over("teeth told", claim.least_teeth, case.thinnest_mm / pitch.coarse_mm)
        if claim.least_teeth < 3 and not claim.warned:
            yield Breach("few teeth without a caution", None, claim.least_teeth, 3)


@lru_cache(maxsize=64)
def _thinnest_lasting_mm(scan: Scan, samples: int = 1500) -> float:
    """The chord below which a tenth of the travel lies, by plain sampling; a little generous."""
    depths = (np.arange(samples) + 0.5) / samples * scan.depth_mm
    return float(np.sort(scan.shortest_chord_mm(depths))[samples // 10 + samples // 100])


@lru_cache(maxsize=64)
def _met(scan: Scan, depths: bytes) -> tuple[Floats, Floats, NDArray[np.intp]]:
    """Contact, longest chord and number of chords at depths: the same for every grade through one work."""
    return scan.met(np.frombuffer(depths, dtype=np.float64))


def _rate_share(case: _Case, end: str) -> float:
    share = 1.0
    if case.wall_mm is not None:
        share *= _end(case.corrections.wall_factor(case.wall_mm), end)
    if case.claim.bundle > 1:
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
    band, grade = case.claim.band, case.grade
    carbide = band.edge is Edge.CARBIDE
    figure = (grade.rate_carbide or grade.rate_bimetal) if carbide else grade.rate_bimetal
    if figure is None or band.edge.is_grit:
        return math.inf
    faster = case.corrections.carbide_factor(grade.family) if carbide else None
    reference = grade.band_speed.value * (faster.value if faster else 1.0)
    return _end(figure, end) * _rate_share(case, end) * case.claim.band_speed_m_per_min / reference


def _depths(case: _Case) -> Iterator[Breach]:
    """Every limit at every depth."""
    claim, saw, cols = case.claim, case.saw, case.claim.columns
    depth, feed, contact, chip = cols.depth_mm, cols.feed_mm_per_min, cols.contact_mm, cols.chip_um
    width = case.scan.outline.width_mm
    true_contact, true_longest, _ = _met(case.scan, depth.tobytes())
    off = np.abs(contact - true_contact)
    yield from _over_at("contact width", depth, off, 1e-6 * width)
    yield from _over_at("saw's greatest feed", depth, feed, saw.feed_max_mm_per_min)
    yield from _over_at("saw's least feed", depth, saw.feed_min_mm_per_min / feed, 1.0)
    least = case.grade.chip_um.low
    most = max(case.grade.chip_um.high * _break_in_chip(case), least)
    yield from _over_at("greatest chip", depth, chip, most)
    rate = feed * contact / 100
    usual, top = _area_rate(case, "value"), _area_rate(case, "high")
    usual = top if claim.bundle > 1 else usual
    keeps = cols.keeps_chip | (chip <= least * SLACK)
    yield from _over_at("area rate", depth, rate, np.where(keeps, top, usual))
    if (pitch := claim.band.pitch) is not None:
        speed, fine = claim.band_speed_m_per_min, pitch.fine_mm
        yield from _over_at("chip", depth, feed * pitch.mean_mm / speed, chip)
        bulk = case.grade.chip_bulking.value
        room = gullet.AREA_SHARE * fine**2
        fill = bulk * feed * fine / speed / 1000 * true_longest / room
        yield from _over_at("gullet", depth, fill, sum(gullet.FILL) / 2)
        yield from _stripping(case, least, most, pitch.coarse_mm)
    yield from _power(case, rate)


def _break_in_chip(case: _Case) -> float:
    return _break_in(case) if case.condition.band is BandState.BREAK_IN else 1.0


def _stripping(case: _Case, least: float, most: float, coarse_mm: float) -> Iterator[Breach]:
    """Fewer than three teeth in the mean chord there: the chip stays under the line between its ends.

    The count is taken anew for a single bar: one gullet in at the top and the bottom of the work.
    """
    cols = case.claim.columns
    if len(case.scan.outline.bodies) == 1:
        gullet_mm = min(gullet.DEPTH_SHARE * coarse_mm, case.scan.depth_mm / 2)
        inner = np.clip(cols.depth_mm, gullet_mm, case.scan.depth_mm - gullet_mm)
        met, _, number = _met(case.scan, inner.tobytes())
        shared = met / np.maximum(number, 1)
        yield from _over_at("teeth counted", cols.depth_mm, cols.teeth, shared / coarse_mm)
    line = least + (most - least) * np.minimum(cols.teeth, 3.0) / 3
    yield from _over_at("teeth in the cut", cols.depth_mm, cols.chip_um, line)


def _power(case: _Case, rate_cm2_per_min: Floats) -> Iterator[Breach]:
    """Motor, band and saw against the most demanding source for this chip."""
    claim, saw, grade, cols = case.claim, case.saw, case.grade, case.claim.columns
    removal = rate_cm2_per_min * 100 / 60 * claim.band.kerf.value
    chip_mm = np.maximum(cols.chip_um / 1000, 1e-9)
    worn = case.condition.band is BandState.WORN
    wear = case.corrections.worn_power.value if worn else 1.0
    powers = [
        vdi_3323.specific_forces(chip_mm, source.kc11.value, source.mc) * removal * wear / 1e6
        for source in grade.kienzle
    ]
    hb = case.condition.hb if case.condition.hb is not None else grade.hb.value
    rows = [row.figure.value for row in grade.unit_power if row.hb_low <= hb < row.hb_high]
    powers += [unit * handbook_2020.feed_factor(chip_mm) * removal / 1000 * wear for unit in rows]
    if not powers:
        return
    power = np.max(powers, axis=0)
    yield from _over_at("power told", cols.depth_mm, power, cols.power_kw)
    yield from _over_at("motor power", cols.depth_mm, power, saw.motor_kw * saw.drive_efficiency)
    ratio = (feed_force.WORN if worn else feed_force.SHARP)[1]
    force = ratio * power * 60_000 / claim.band_speed_m_per_min
    yield from _over_at("saw's feed force", cols.depth_mm, force, saw.feed_force_max_n)
    yield from _over_at("band force", cols.depth_mm, force, _band_bears(case))


def _band_bears(case: _Case) -> float:
    saw, band = case.saw, case.claim.band
    wanted = case.scan.outline.width_mm + 2 * saw.guide_clearance_mm
    span = min(max(wanted, saw.guide_span_min_mm), saw.guide_span_max_mm)
    tension = band_stress.tension_n(saw.band_tension_mpa, band.width_mm, band.thickness_mm)
    critical = timoshenko_gere_1961.tensioned_load_n(band.width_mm, band.thickness_mm, span, tension)
    return critical * sum(timoshenko_gere_1961.SHARE) / 2
