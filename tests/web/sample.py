"""A small shop in memory: values made by hand for the pages to show, nothing reckoned by the engines.

Feeds follow an even area rate and the figures beside them are only of a likely size; pages must show what
they are handed, whatever it is.
"""

from datetime import date
from functools import cache

import numpy as np
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.present import present
from kerfsmith.cutting.setting import CutSetting, Limit, Misfit, Reason, Slice
from kerfsmith.geometry.lay import lies
from kerfsmith.geometry.shapes import Flat, Hexagon, RectTube, Round, RoundTube, Square
from kerfsmith.planning.plan import (
    GroupTimes,
    PlanGroup,
    PlannedBar,
    PlannedPiece,
    PlanStatus,
    SawTried,
)
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.told import Told, quantity

TODAY = date(2026, 11, 25)
KERF_UM = 1_800
BURNS = Told("Fine chips of titanium burn. Keep them wet; never put water on a fire of them.")
NOT_SET_UP = Misfit(
    "power", 2.7, 1.5, "kW", Told("Set up for light metals only."), Told("Use the North saw.")
)
ALWAYS = Told("The saw's own manual comes first.")


@cache
def catalog() -> Catalog:
    """The package's own catalog."""
    return package_tables()


def section(name: str) -> Section:
    """A section by a name of the catalog or a plain shape in mm ("round 80")."""
    kind, _, size = name.partition(" ")
    inch = 25.4 if size.endswith(" in") else 1.0
    numbers = (
        [float(part) * inch for part in size.removesuffix(" in").split("x")] if size[:1].isdigit() else []
    )
    plain = {
        "round": Round,
        "square": Square,
        "flat": Flat,
        "hexagon": Hexagon,
        "tube": RoundTube,
        "box": RectTube,
    }
    if kind in plain and numbers:
        return Section(name, plain[kind](*numbers))
    return next(one for one in catalog().sections if one.name == name)


def setting(of: Section, *, saw: str = "north", angle_deg: float = 0.0, rate: float = 45.0) -> CutSetting:
    """A setting with forty slices at an area rate of ``rate`` cm2/min, held between two feeds."""
    lie = lies(of.shape)[0]
    work = present(of, lie, angle_deg=angle_deg)
    scan = work.scan
    depths = np.linspace(0, scan.depth_mm, 121)[1::2]
    contacts = np.maximum(scan.contact_mm(depths), 0.5)
    slices = tuple(map(_slice, depths, contacts, scan.longest_chord_mm(depths), [rate] * depths.size))
    seconds = scan.area_mm2 / 100 / rate * 60
    band = next(one for one in catalog().bands if one.id == "B34-3/4")
    feeds = [part.feed_mm_per_min for part in slices]
    return CutSetting(
        saw=saw,
        band=band,
        lie=lie.name,
        angle_deg=angle_deg,
        bundle=1,
        band_speed_m_per_min=76.2,
        kerf_um=KERF_UM,
        cut_seconds=seconds,
        cut_seconds_low=seconds * 0.8,
        cut_seconds_high=seconds * 1.35,
        area_cm2=scan.area_mm2 / 100,
        mean_feed_mm_per_min=scan.depth_mm / seconds * 60,
        constant_feed_mm_per_min=min(feeds),
        peak_power_kw=2.7,
        mean_power_kw=2.1,
        peak_force_n=1150.0,
        least_teeth_in_cut=3.2,
        most_teeth_in_cut=14.0,
        ruling_limit=Limit.AREA_RATE,
        slices=slices,
        reasons=(
            Reason(
                "band speed",
                Told(
                    f"4140 runs at {quantity(76, 'm/min')} with coolant, for a cut "
                    f"{quantity(101.6, 'mm')} long."
                ),
                "v = v0 · f(W)",
                "MH31",
                "p. 1245",
                Confidence.READ,
            ),
            Reason(
                "area rate",
                Told("The rate of alloy steel with a bimetal band."),
                "",
                "MH31",
                "",
                Confidence.MEMORY_LOW,
            ),
            Reason(
                "pitch",
                Told("3/4 keeps between three and fourteen teeth in the cut."),
                "z = W / p",
                "GW2019",
                "p. 167",
            ),
        ),
        cautions=(ALWAYS,),
    )


def _slice(depth: float, contact: float, longest: float, rate: float) -> Slice:
    wanted = rate * 100 / contact
    feed = min(wanted, 140.0)
    limit = Limit.GREATEST_CHIP if feed < wanted else Limit.AREA_RATE
    if contact > 95:
        limit = Limit.MOTOR_POWER
    return Slice(
        float(depth),
        float(contact),
        float(longest),
        contact / 7.3,
        feed,
        24.0,
        min(1.0, longest / 190),
        contact * feed / 4000,
        contact * 10,
        limit,
    )


def bar(
    bar_id: str,
    length_mm: float,
    pieces: list[tuple[str, float, int]],
    *,
    times: int = 1,
    keep: bool = True,
    kind: BarKind = BarKind.BAR,
    angles: tuple[float, float] = (0.0, 0.0),
) -> PlannedBar:
    """A pattern: marks with lengths and counts, a facing cut of 5 mm, the rest as remnant."""
    laid = tuple(
        PlannedPiece(f"L-{mark}", mark, round(length * 1000), KERF_UM, *angles)
        for mark, length, count in pieces
        for _ in range(count)
    )
    used = sum(piece.length_um + piece.kerf_um for piece in laid) + 5_000 + KERF_UM
    whole = round(length_mm * 1000)
    return PlannedBar(bar_id, kind, whole, times, "H41827", "A1", 5_000, KERF_UM, laid, whole - used, keep)


def group(grade: str, of: Section, bars: tuple[PlannedBar, ...], **given: object) -> PlanGroup:
    """A group with likely figures; anything may be given otherwise."""
    count = sum(one.times * len(one.pieces) for one in bars)
    one_cut = setting(of) if bars else None
    sawing = (one_cut.cut_seconds if one_cut else 0) * count
    length = sum(one.times * one.length_um for one in bars) / 1e6
    values: dict[str, object] = {
        "id": f"{grade}|{of.key}",
        "grade": grade,
        "section": of,
        "saw": "north",
        "saw_name": "North saw",
        "status": PlanStatus.BEST,
        "settings": (one_cut,) if one_cut else (),
        "bars": bars,
        "cost": length * 68,
        "lower_bound": length * 68,
        "cost_unit": "EUR",
        "bound_source": "column bound",
        "pieces_wanted": count,
        "unplanned": (),
        "times": GroupTimes(
            sawing, sawing * 0.8, sawing * 1.35, 22.0 * count, 180.0 * len(bars), 15.0 * count
        ),
        "mass_kg_per_m": of.shape.outline().area_mm2 * 0.00785,
        "first_due": date(2026, 12, 4),
        "tried": (
            SawTried("north", "North saw", True, 3.1, 412.0, ()),
            SawTried(
                "light-metal",
                "Light-metal saw",
                False,
                None,
                None,
                (
                    Misfit(
                        "power",
                        2.7,
                        1.5,
                        "kW",
                        Told("Set up for light metals only."),
                        Told("Use the North saw."),
                    ),
                ),
            ),
        ),
    }
    return PlanGroup(**{**values, **given})  # type: ignore[arg-type]  # a test's shorthand
