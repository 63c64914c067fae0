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
from kerfsmith.web.words import say


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
    currency: str,
    may_keep: bool,
    problem: str = "",
    findings: Sequence[Finding] = (),
) -> SawsPage:
    """All sheets, each in its part; rates are in ``currency``."""
    views: dict[SawStanding, list[SawView]] = {standing: [] for standing in SawStanding}
    for at, saw in enumerate(saws):
        views[saw.standing].append(
            replace(saw_view(saw.sheet, at, reading, currency), href=link("saws", saw.sheet.id))
        )
    own, candidates, retired = (tuple(views[standing]) for standing in SawStanding)
    return SawsPage(own, candidates, retired, may_keep, problem, finding_rows(findings))


def saw_view(saw: SawSheet, at: int, reading: Reading, currency: str) -> SawView:
    """One saw in the reader's measure, its rate in ``currency``."""
    return SawView(
        anchor=f"saw{at}",
        name=saw.name,
        note=saw.note,
        drawing=capacity_drawing(saw, reading, f"saw{at}-drawing"),
        capacities=tuple(
            CapacityRow(
                say("square") if row.angle_deg == 0 else f"{row.angle_deg:g}°",
                reading.size(row.round_mm),
                reading.size(row.square_mm),
                f"{reading.size(row.rect_width_mm)} × {reading.size(row.rect_height_mm)}",
                f"{reading.size(row.bundle_width_mm)} × {reading.size(row.bundle_height_mm)}"
                if row.bundle_width_mm
                else "",
            )
            for row in saw.capacities
        ),
        facts=_facts(saw, reading, currency),
        times=_times(saw, reading),
    )


def _facts(saw: SawSheet, reading: Reading, currency: str) -> tuple[tuple[str, str], ...]:
    size, speed = reading.size, reading.speed
    return (
        (
            say("Band"),
            say(
                "{band_width}, {band_length} long",
                band_width=reading.band_size(saw.band_width_mm, saw.band_thickness_mm),
                band_length=size(saw.band_length_mm),
            ),
        ),
        (
            say("Band speed"),
            say(
                "{low} to {high}",
                low=speed(saw.band_speed_min_m_per_min),
                high=speed(saw.band_speed_max_m_per_min),
            ),
        ),
        (
            say("Feed"),
            say(
                "{low} to {high}",
                low=reading.feed(saw.feed_min_mm_per_min),
                high=reading.feed(saw.feed_max_mm_per_min),
            ),
        ),
        (
            say("Feed control"),
            say(
                "{feed_control}; at most {feed_force_max}",
                feed_control=say(str(saw.feed_control)),
                feed_force_max=reading.force(saw.feed_force_max_n),
            ),
        ),
        (
            say("Motor"),
            say(
                "{motor}, {drive_efficiency} % of it at the teeth",
                motor=reading.power(saw.motor_kw),
                drive_efficiency=f"{saw.drive_efficiency * 100:.0f}",
            ),
        ),
        (say("Wheels"), size(saw.wheel_diameter_mm)),
        (
            say("Guides apart"),
            say(
                "{guide_span_min} to {guide_span_max}, {guide_clearance} from the work",
                guide_span_min=size(saw.guide_span_min_mm),
                guide_span_max=size(saw.guide_span_max_mm),
                guide_clearance=size(saw.guide_clearance_mm),
            ),
        ),
        (say("Band tension"), f"{saw.band_tension_mpa:g} MPa"),
        (say("Head travel"), size(saw.head_travel_mm)),
        (say("Head's pivot"), _pivot(saw, reading)),
        (say("Shuttle stroke"), size(saw.shuttle_stroke_mm)),
        (say("Least grip"), say("{least_grip}, becomes remnant", least_grip=size(saw.least_grip_mm))),
        (say("Facing cut"), size(saw.facing_mm)),
        (say("Index accuracy"), f"± {size(saw.index_accuracy_mm)}"),
        (
            say("Load"),
            say(
                "at most {load_limit}, bars to {max_bar_length}",
                load_limit=reading.mass(saw.load_limit_kg),
                max_bar_length=size(saw.max_bar_length_mm),
            ),
        ),
        (say("Thinnest work"), size(saw.min_work_mm)),
        (say("Set up for"), ", ".join(map(say, saw.materials)) or say("any grade")),
        (say("Coolant"), say("yes") if saw.coolant else say("no")),
        (
            say("Rate"),
            say("{rate} {currency} an hour", rate=f"{saw.rate_per_hour:g}", currency=currency),
        ),
    )


def _pivot(saw: SawSheet, reading: Reading) -> str:
    return (
        say("not told")
        if saw.pivot_mm is None
        else say("{pivot} from the fixed jaw", pivot=reading.size(saw.pivot_mm))
    )


def _times(saw: SawSheet, reading: Reading) -> tuple[tuple[str, str], ...]:
    cycle = saw.cycle
    return (
        (say("Load a bar"), seconds(cycle.load_bar_s)),
        (say("Clamp"), seconds(cycle.clamp_s)),
        (
            say("Index"),
            say(
                "{index_fixed} and {index} a second",
                index_fixed=seconds(cycle.index_fixed_s),
                index=reading.size(cycle.index_mm_per_s),
            ),
        ),
        (
            say("Approach"),
            say(
                "{approach} at {approach_2} a second",
                approach=reading.size(cycle.approach_mm),
                approach_2=reading.size(cycle.approach_mm_per_s),
            ),
        ),
        (say("Head return"), seconds(cycle.head_return_s)),
        (say("Put a piece down"), seconds(cycle.unload_piece_s)),
        (say("Change the band"), seconds(cycle.band_change_s)),
    )
