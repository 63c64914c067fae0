"""What the saws' page shows."""

from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.web.drawing.capacity import capacity_drawing
from kerfsmith.web.reading import Reading, seconds


@dataclass(frozen=True, slots=True)
class CapacityRow:
    """What goes through at one head angle."""

    angle: str
    round: str
    square: str
    rectangle: str
    bundle: str


@dataclass(frozen=True, slots=True)
class SawView:
    """One saw's sheet."""

    anchor: str
    name: str
    note: str
    drawing: Markup
    capacities: tuple[CapacityRow, ...]
    facts: tuple[tuple[str, str], ...]
    times: tuple[tuple[str, str], ...]


def saw_view(saw: SawSheet, at: int, reading: Reading) -> SawView:
    """One saw in the reader's measure."""
    return SawView(
        anchor=f"saw{at}",
        name=saw.name,
        note=saw.note,
        drawing=capacity_drawing(saw, reading, f"saw{at}-drawing"),
        capacities=tuple(
            CapacityRow(
                "square" if row.angle_deg == 0 else f"{row.angle_deg:g}°",
                reading.size(row.round_mm),
                reading.size(row.square_mm),
                f"{reading.size(row.rect_width_mm)} × {reading.size(row.rect_height_mm)}",
                f"{reading.size(row.bundle_width_mm)} × {reading.size(row.bundle_height_mm)}"
                if row.bundle_width_mm
                else "",
            )
            for row in saw.capacities
        ),
        facts=_facts(saw, reading),
        times=_times(saw, reading),
    )


def _facts(saw: SawSheet, reading: Reading) -> tuple[tuple[str, str], ...]:
    size, speed = reading.size, reading.speed
    return (
        (
            "Band",
            f"{reading.band_size(saw.band_width_mm, saw.band_thickness_mm)}, {size(saw.band_length_mm)} long",
        ),
        ("Band speed", f"{speed(saw.band_speed_min_m_per_min)} to {speed(saw.band_speed_max_m_per_min)}"),
        ("Feed", f"{reading.feed(saw.feed_min_mm_per_min)} to {reading.feed(saw.feed_max_mm_per_min)}"),
        ("Feed control", f"{saw.feed_control}; at most {reading.force(saw.feed_force_max_n)}"),
        ("Motor", f"{reading.power(saw.motor_kw)}, {saw.drive_efficiency * 100:.0f} % of it at the teeth"),
        ("Wheels", size(saw.wheel_diameter_mm)),
        (
            "Guides apart",
            f"{size(saw.guide_span_min_mm)} to {size(saw.guide_span_max_mm)}, "
            f"{size(saw.guide_clearance_mm)} from the work",
        ),
        ("Band tension", f"{saw.band_tension_mpa:g} MPa"),
        ("Head travel", size(saw.head_travel_mm)),
        ("Shuttle stroke", size(saw.shuttle_stroke_mm)),
        ("Least grip", f"{size(saw.least_grip_mm)}, becomes remnant"),
        ("Facing cut", size(saw.facing_mm)),
        ("Index accuracy", f"± {size(saw.index_accuracy_mm)}"),
        ("Load", f"at most {reading.mass(saw.load_limit_kg)}, bars to {size(saw.max_bar_length_mm)}"),
        ("Thinnest work", size(saw.min_work_mm)),
        ("Set up for", ", ".join(saw.materials) or "any grade"),
        ("Coolant", "yes" if saw.coolant else "no"),
        ("Rate", f"{saw.rate_per_hour:g} an hour"),
    )


def _times(saw: SawSheet, reading: Reading) -> tuple[tuple[str, str], ...]:
    cycle = saw.cycle
    return (
        ("Load a bar", seconds(cycle.load_bar_s)),
        ("Clamp", seconds(cycle.clamp_s)),
        ("Index", f"{seconds(cycle.index_fixed_s)} and {reading.size(cycle.index_mm_per_s)} a second"),
        (
            "Approach",
            f"{reading.size(cycle.approach_mm)} at {reading.size(cycle.approach_mm_per_s)} a second",
        ),
        ("Head return", seconds(cycle.head_return_s)),
        ("Put a piece down", seconds(cycle.unload_piece_s)),
        ("Change the band", seconds(cycle.band_change_s)),
    )
