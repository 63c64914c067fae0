"""How near a workload brings a saw to its limits, and which limit rules how much of the sawing time."""

from collections.abc import Iterator
from dataclasses import dataclass

from kerfsmith.catalog.saw import Capacity, SawSheet
from kerfsmith.costing.plan_cost import LineCost
from kerfsmith.costing.which_saw.saw_year import SawYear
from kerfsmith.cutting.fit import capacity_at
from kerfsmith.cutting.present import ways_to_lie
from kerfsmith.cutting.setting import CutSetting, Limit
from kerfsmith.geometry.shapes import Round, RoundTube, Square
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.told import NOTHING, Told, how_many, sentence

NEAR = 0.9
"""From this share of a limit on a saw is said to be at it."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How near the work comes to one limit: the most of it, where, and the share of pieces at or past it.

    ``note`` says what the limit means for the work that comes nearest; ``reached_mm`` is the length of bar at
    which a load limit is reached.
    """

    limit: Told
    most: float
    allowed: float
    unit: str
    where: str
    share_at_limit: float
    note: Told = NOTHING
    reached_mm: float | None = None

    @property
    def share(self) -> float:
        """The most of it over what is allowed."""
        return self.most / self.allowed if self.allowed else float("inf")


@dataclass(frozen=True, slots=True)
class _Use:
    limit: Told
    value: float
    allowed: float
    unit: str
    where: str
    pieces: float
    note: Told = NOTHING
    reached_mm: float | None = None


def length_at_load_mm(load_limit_kg: float, mass_kg_per_m: float) -> float:
    """Length of bar at which a load limit is reached, mm: limit / mass per length (statics)."""
    return 1000 * load_limit_kg / mass_kg_per_m


def reaches(year: SawYear) -> tuple[Reach, ...]:
    """Each limit with the most that the work asks of it, the nearest first."""
    found: dict[Told, list[_Use]] = {}
    for line in year.lines:
        for use in _uses(line, year.saw, float(year.pieces(line))):
            found.setdefault(use.limit, []).append(use)
    pieces = float(year.pieces_a_year)
    out = []
    for name, uses in found.items():
        top = max(uses, key=lambda use: use.value / use.allowed)
        at = sum(use.pieces for use in uses if use.value >= NEAR * use.allowed)
        out.append(
            Reach(name, top.value, top.allowed, top.unit, top.where, at / pieces, top.note, top.reached_mm)
        )
    return tuple(sorted(out, key=lambda reach: -reach.share))


def _uses(line: LineCost, saw: SawSheet, pieces: float) -> Iterator[_Use]:
    group, where = line.group, f"{line.line.grade} {line.line.section.name}"
    square, every = group.settings[0], (*group.settings, *group.bundle_settings)
    yield _Use(
        Told("motor power"),
        max(setting.peak_power_kw for setting in every),
        saw.motor_kw * saw.drive_efficiency,
        "kW",
        where,
        pieces,
    )
    yield _Use(
        Told("feed force"),
        max(setting.peak_force_n for setting in every),
        saw.feed_force_max_n,
        "N",
        where,
        pieces,
    )
    if square.wanted_speed_m_per_min:
        yield _Use(
            Told("band speed"),
            square.wanted_speed_m_per_min,
            saw.band_speed_max_m_per_min,
            "m/min",
            where,
            pieces,
        )
    for setting in every:
        yield from _capacity(group, setting, saw, where, pieces)
    longest = max(um_to_mm(bar.length_um) for bar in group.bars)
    mass = group.mass_kg_per_m * max(um_to_mm(bar.length_um) * bar.at_once for bar in group.bars) / 1000
    reached = length_at_load_mm(saw.load_limit_kg, group.mass_kg_per_m)
    yield _Use(Told("load"), mass, saw.load_limit_kg, "kg", where, pieces, reached_mm=reached)
    yield _Use(Told("bar length"), longest, saw.max_bar_length_mm, "mm", where, pieces)
    advance = um_to_mm(line.line.length_um + square.kerf_um)
    strokes = saw.strokes(advance)
    note = how_many("one stroke", "{count} strokes", strokes)
    at = f"{where}, {line.line.mark}"
    yield _Use(Told("stroke"), advance, saw.shuttle_stroke_mm, "mm", at, pieces, note)


def _capacity(
    group: PlanGroup, setting: CutSetting, saw: SawSheet, where: str, pieces: float
) -> Iterator[_Use]:
    row = capacity_at(saw, setting.angle_deg)
    if row is None:
        return
    ways = ways_to_lie(group.section, setting.bundle)
    outline = next((way for way in ways if way.name == setting.lie), ways[0]).outline
    for name, value, allowed in _sizes(group, setting, row, outline.width_mm, outline.height_mm):
        yield _Use(_capacity_called(name, setting.angle_deg), value, allowed, "mm", where, pieces)


def _capacity_called(name: Told, angle_deg: float) -> Told:
    if not angle_deg:
        return sentence("capacity, {size}", size=name)
    return sentence("capacity, {size} at {angle}°", size=name, angle=f"{angle_deg:g}")


def _sizes(
    group: PlanGroup, setting: CutSetting, row: Capacity, width: float, height: float
) -> tuple[tuple[Told, float, float], ...]:
    shape = group.section.shape
    if setting.bundle > 1:
        return (
            (Told("width of bars at once"), width, row.bundle_width_mm),
            (Told("height of bars at once"), height, row.bundle_height_mm),
        )
    if isinstance(shape, Round | RoundTube):
        return ((Told("round"), max(width, height), row.round_mm),)
    if isinstance(shape, Square) and setting.lie == "flat":
        return ((Told("square"), width, row.square_mm),)
    return (Told("width"), width, row.rect_width_mm), (Told("height"), height, row.rect_height_mm)


def time_ruled(year: SawYear) -> tuple[tuple[Limit, float], ...]:
    """Share of the year's sawing time that each limit rules, the largest first.

    From the slices of each cut: the time between two depths goes to the limit that rules there (trapezes).
    """
    found: dict[Limit, float] = {}
    for group in year.plan.groups:
        lines = [line for line in year.lines if line.group.id == group.id]
        seconds = sum(line.seconds.sawing_s * float(year.workload.times(line.line)) for line in lines)
        if not group.settings or not seconds:
            continue
        shares = _by_limit(group.settings[0])
        for limit, share in shares.items():
            found[limit] = found.get(limit, 0.0) + share * seconds
    whole = sum(found.values())
    ordered = sorted(found.items(), key=lambda each: -each[1])
    return tuple((limit, seconds / whole) for limit, seconds in ordered)


def _by_limit(setting: CutSetting) -> dict[Limit, float]:
    """Share of one cut's time by limit."""
    slices = setting.slices
    if len(slices) < 2:
        return {setting.ruling_limit: 1.0}
    depths = [one.depth_mm for one in slices]
    found: dict[Limit, float] = {}
    for place, one in enumerate(slices):
        before = depths[place - 1] if place else depths[0]
        after = depths[place + 1] if place + 1 < len(depths) else depths[-1]
        time = (after - before) / 2 / one.feed_mm_per_min
        found[one.limit] = found.get(one.limit, 0.0) + time
    whole = sum(found.values())
    return {limit: time / whole for limit, time in found.items()}
