"""Saw sheets: what one saw can hold, drive and reach."""

import math
from dataclasses import dataclass, field
from enum import StrEnum

from kerfsmith.errors import InvalidValue
from kerfsmith.units.told import sentence


class FeedControl(StrEnum):
    """What the saw can hold steady while the width of the cut changes."""

    FOLLOWS_CUT = "follows the cut"
    CONSTANT_FEED = "constant feed"
    CONSTANT_FORCE = "constant force"
    CONSTANT_AREA_RATE = "constant area rate"


@dataclass(frozen=True, slots=True)
class Capacity:
    """The largest work at one head angle (0 = square cut): round, square, and width by height, mm."""

    angle_deg: float
    round_mm: float
    square_mm: float
    rect_width_mm: float
    rect_height_mm: float
    bundle_width_mm: float = 0.0
    bundle_height_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class CycleTimes:
    """Seconds of each step of a cutting cycle that is not cutting."""

    load_bar_s: float
    clamp_s: float
    index_fixed_s: float
    index_mm_per_s: float
    approach_mm: float
    approach_mm_per_s: float
    head_return_s: float
    unload_piece_s: float
    band_change_s: float


@dataclass(frozen=True, slots=True)
class SawSheet:
    """One saw's sheet. Lengths mm, speeds m/min, feed mm/min, power kW, force N, mass kg, stress MPa.

    ``capacities`` has one row per head angle, the square cut first; an angle between rows is held to the next
    row up. ``min_round_mm`` is the thinnest work the vises hold. ``guide_clearance_mm`` is the gap from the
    work to each band guide. ``least_grip_mm`` must stay in the shuttle vise and becomes remnant.
    ``band_tension_mpa`` is what the saw puts into the band. ``pivot_mm`` is how far the axis that the head
    swings about for mitres stands from the fixed jaw, across the bar; None where nobody has said.

    Raises InvalidValue for an empty or contradictory sheet.
    """

    id: str
    name: str
    capacities: tuple[Capacity, ...]
    band_width_mm: float
    band_thickness_mm: float
    band_length_mm: float
    band_speed_min_m_per_min: float
    band_speed_max_m_per_min: float
    wheel_diameter_mm: float
    guide_clearance_mm: float
    guide_span_min_mm: float
    guide_span_max_mm: float
    band_tension_mpa: float
    motor_kw: float
    drive_efficiency: float
    feed_min_mm_per_min: float
    feed_max_mm_per_min: float
    feed_force_max_n: float
    head_travel_mm: float
    feed_control: FeedControl
    cant_deg: float
    shuttle_stroke_mm: float
    load_limit_kg: float
    least_grip_mm: float
    facing_mm: float
    index_accuracy_mm: float
    min_work_mm: float
    max_bar_length_mm: float
    cycle: CycleTimes
    coolant: bool = True
    rate_per_hour: float = 0.0
    materials: tuple[str, ...] = field(default=())
    """Grade groups the saw is set up for; empty means any."""
    note: str = ""
    pivot_mm: float | None = None

    def __post_init__(self) -> None:
        if not self.capacities or self.capacities[0].angle_deg != 0:
            raise InvalidValue(
                sentence("saw {id}: the first capacity row must be the square cut", id=self.id)
            )
        if not 0 < self.band_speed_min_m_per_min <= self.band_speed_max_m_per_min:
            raise InvalidValue(sentence("saw {id}: band speed range is upside down", id=self.id))
        if not 0 < self.feed_min_mm_per_min <= self.feed_max_mm_per_min:
            raise InvalidValue(sentence("saw {id}: feed range is upside down", id=self.id))
        if not 0 < self.drive_efficiency <= 1:
            raise InvalidValue(sentence("saw {id}: drive efficiency lies between 0 and 1", id=self.id))

    def strokes(self, advance_mm: float) -> int:
        """Shuttle strokes needed to advance by ``advance_mm``: ceil(advance / stroke).

        Source: derived; a stroke can be no longer than the shuttle's travel.
        """
        return max(1, math.ceil(advance_mm / self.shuttle_stroke_mm - 1e-9))
