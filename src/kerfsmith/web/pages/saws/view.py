"""What the saws' page shows."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.errors import Finding
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.web.drawing.capacity import capacity_drawing
from kerfsmith.web.findings import FindingRow, finding_rows
from kerfsmith.web.reading import Reading, seconds
from kerfsmith.web.sheet import link


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
    href: str = ""


@dataclass(frozen=True, slots=True)
class SawsPage:
    """The shop's saws, candidates and those retired; ``may_keep`` is whether the reader keeps them."""

    own: tuple[SawView, ...]
    candidates: tuple[SawView, ...]
    retired: tuple[SawView, ...]
    may_keep: bool
    problem: str = ""
    findings: tuple[FindingRow, ...] = ()


def saws_page(
    saws: Sequence[KeptSaw],
    reading: Reading,
    *,
    may_keep: bool,
    problem: str = "",
    findings: Sequence[Finding] = (),
) -> SawsPage:
    """All sheets, each in its part."""
    views: dict[SawStanding, list[SawView]] = {standing: [] for standing in SawStanding}
    for at, saw in enumerate(saws):
        views[saw.standing].append(replace(saw_view(saw.sheet, at, reading), href=link("saws", saw.sheet.id)))
    own, candidates, retired = (tuple(views[standing]) for standing in SawStanding)
    return SawsPage(own, candidates, retired, may_keep, problem, finding_rows(findings))


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
        ("Head's pivot", _pivot(saw, reading)),
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


def _pivot(saw: SawSheet, reading: Reading) -> str:
    return "not told" if saw.pivot_mm is None else f"{reading.size(saw.pivot_mm)} from the fixed jaw"


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
