"""What a saw's sheet is asked for, figure by figure.

Each has its name, its words, its unit in either measure, and what is taken where nobody says.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Measured(StrEnum):
    """What a figure measures."""

    LENGTH = "length"
    BAND_SPEED = "band speed"
    FEED = "feed"
    SPEED = "speed"
    POWER = "power"
    FORCE = "force"
    MASS = "mass"
    STRESS = "stress"
    ANGLE = "angle"
    TIME = "time"
    SHARE = "share"
    RATE = "money an hour"


@dataclass(frozen=True, slots=True)
class UnitOf:
    """A unit as it is written and as it ends a name, and how many of the sheet's own units it is."""

    shown: str
    suffix: str
    factor: float


_MM = (UnitOf("mm", "mm", 1.0), UnitOf("in", "in", 25.4), UnitOf("cm", "cm", 10.0))
_LENGTHS = (*_MM, UnitOf("m", "m", 1000.0), UnitOf("ft", "ft", 304.8))

# Exact by definition (inch, pound, standard gravity), the mechanical horsepower: NIST SP 811 (2008), B.8.
UNITS: Mapping[Measured, tuple[UnitOf, ...]] = {
    Measured.LENGTH: _LENGTHS,
    Measured.BAND_SPEED: (UnitOf("m/min", "m_per_min", 1.0), UnitOf("ft/min", "ft_per_min", 0.3048)),
    Measured.FEED: (UnitOf("mm/min", "mm_per_min", 1.0), UnitOf("in/min", "in_per_min", 25.4)),
    Measured.SPEED: (UnitOf("mm/s", "mm_per_s", 1.0), UnitOf("in/s", "in_per_s", 25.4)),
    Measured.POWER: (UnitOf("kW", "kw", 1.0), UnitOf("hp", "hp", 0.745_699_871_582_270_2)),
    Measured.FORCE: (UnitOf("N", "n", 1.0), UnitOf("lbf", "lbf", 4.448_221_615_260_5)),
    Measured.MASS: (UnitOf("kg", "kg", 1.0), UnitOf("lb", "lb", 0.453_592_37)),
    Measured.STRESS: (UnitOf("MPa", "mpa", 1.0), UnitOf("psi", "psi", 0.006_894_757_293_168_361)),
    Measured.ANGLE: (UnitOf("°", "deg", 1.0),),
    Measured.TIME: (UnitOf("s", "s", 1.0), UnitOf("min", "min", 60.0)),
    Measured.SHARE: (UnitOf("%", "percent", 0.01),),
    Measured.RATE: (UnitOf("an hour", "per_hour", 1.0),),
}
"""Units of each kind, the metric one first and then the one an inch reader writes, where it is another."""


@dataclass(frozen=True, slots=True)
class SawField:
    """One figure of a sheet. ``key`` is its name without unit, ``attribute`` that of `SawSheet` or, with
    ``in_cycle``, of `CycleTimes`. ``usual`` is taken where nobody says (common practice), None: it must be
    said. ``optional`` may stay unsaid."""

    key: str
    attribute: str
    label: str
    measured: Measured
    usual: float | None = None
    in_cycle: bool = False
    optional: bool = False


_L, _T = Measured.LENGTH, Measured.TIME
FIELDS: tuple[SawField, ...] = (
    SawField("band_width", "band_width_mm", "Band width", _L),
    SawField("band_thickness", "band_thickness_mm", "Band thickness", _L),
    SawField("band_length", "band_length_mm", "Band length", _L),
    SawField("band_speed_min", "band_speed_min_m_per_min", "Band speed, least", Measured.BAND_SPEED),
    SawField("band_speed_max", "band_speed_max_m_per_min", "Band speed, most", Measured.BAND_SPEED),
    SawField("band_tension", "band_tension_mpa", "Band tension", Measured.STRESS, 200.0),
    SawField("wheel_diameter", "wheel_diameter_mm", "Wheel diameter", _L),
    SawField("guide_clearance", "guide_clearance_mm", "Guide to the work, each side", _L, 30.0),
    SawField("guide_span_min", "guide_span_min_mm", "Guides apart, least", _L, 80.0),
    SawField("guide_span_max", "guide_span_max_mm", "Guides apart, most", _L),
    SawField("motor", "motor_kw", "Motor of the band", Measured.POWER),
    SawField("efficiency", "drive_efficiency", "Share of it at the teeth", Measured.SHARE, 0.78),
    SawField("feed_min", "feed_min_mm_per_min", "Feed, least", Measured.FEED),
    SawField("feed_max", "feed_max_mm_per_min", "Feed, most", Measured.FEED),
    SawField("feed_force_max", "feed_force_max_n", "Feed force, most", Measured.FORCE),
    SawField("head_travel", "head_travel_mm", "Head travel", _L),
    SawField("cant", "cant_deg", "Cant of the head", Measured.ANGLE, 0.0),
    SawField("pivot", "pivot_mm", "Head's pivot from the fixed jaw, across the bar", _L, optional=True),
    SawField("shuttle_stroke", "shuttle_stroke_mm", "Shuttle stroke", _L),
    SawField("load_limit", "load_limit_kg", "Load limit of the shuttle and its rollers", Measured.MASS),
    SawField("max_bar_length", "max_bar_length_mm", "Longest bar", _L),
    SawField("least_grip", "least_grip_mm", "Least grip, becomes remnant", _L),
    SawField("min_work", "min_work_mm", "Thinnest and shortest work", _L, 10.0),
    SawField("facing", "facing_mm", "Facing cut", _L, 6.0),
    SawField("index_accuracy", "index_accuracy_mm", "Index accuracy, each stroke, ±", _L, 0.15),
    SawField("rate", "rate_per_hour", "Rate of the saw, without the person", Measured.RATE, 0.0),
    SawField("load_bar", "load_bar_s", "Load a bar", _T, 180.0, True),
    SawField("clamp", "clamp_s", "Clamp and let go", _T, 2.0, True),
    SawField("index_fixed", "index_fixed_s", "Each stroke of the shuttle, fixed", _T, 3.0, True),
    SawField("index_speed", "index_mm_per_s", "Speed of the shuttle", Measured.SPEED, 120.0, True),
    SawField("approach", "approach_mm", "Approach of the head", _L, 15.0, True),
    SawField("approach_speed", "approach_mm_per_s", "Speed of the approach", Measured.SPEED, 35.0, True),
    SawField("head_return", "head_return_s", "Head back up", _T, 8.0, True),
    SawField("unload_piece", "unload_piece_s", "Put a piece down", _T, 6.0, True),
    SawField("band_change", "band_change_s", "Change the band", _T, 600.0, True),
)
"""Every figure of a sheet but its capacities."""

CAPACITIES: tuple[SawField, ...] = (
    SawField("angle", "angle_deg", "Head angle", Measured.ANGLE),
    SawField("round", "round_mm", "Round", _L),
    SawField("square", "square_mm", "Square", _L),
    SawField("width", "rect_width_mm", "Rectangle, width", _L),
    SawField("height", "rect_height_mm", "Rectangle, height", _L),
    SawField("bundle_width", "bundle_width_mm", "Bundle, width", _L, 0.0),
    SawField("bundle_height", "bundle_height_mm", "Bundle, height", _L, 0.0),
)
"""Every figure of one row of capacities."""


def unit_of(measured: Measured, *, inch: bool) -> UnitOf:
    """The unit that a reader of a measure writes without naming it."""
    units = UNITS[measured]
    return units[1] if inch and len(units) > 1 and measured is not Measured.TIME else units[0]
