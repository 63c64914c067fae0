"""A small shop in memory: values made by hand for the pages to show, nothing reckoned by the engines.

Feeds follow an even area rate and the figures beside them are only of a likely size; pages must show what they
are handed, whatever it is.
"""

from datetime import date
from functools import cache

import numpy as np

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.present import present
from kerfsmith.cutting.setting import CutSetting, Limit, Misfit, Reason, Slice
from kerfsmith.errors import Finding, Severity
from kerfsmith.geometry.lay import lies
from kerfsmith.geometry.shapes import Flat, Hexagon, RectTube, Round, RoundTube, Square
from kerfsmith.library.load import load_catalog
from kerfsmith.planning.plan import (
    GroupTimes,
    Plan,
    PlanGroup,
    PlannedBar,
    PlannedPiece,
    PlanStatus,
    SawTried,
    Unplanned,
)
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar, BarKind, Rack

TODAY = date(2026, 11, 25)
KERF_UM = 1_800


@cache
def catalog() -> Catalog:
    """The package's own catalog."""
    return load_catalog()


def section(name: str) -> Section:
    """A section by a name of the catalog or a plain shape in mm ("round 80")."""
    kind, _, size = name.partition(" ")
    numbers = [float(part) for part in size.split("x")] if size and size[0].isdigit() else []
    plain = {"round": Round, "square": Square, "flat": Flat, "hexagon": Hexagon, "tube": RoundTube, "box": RectTube}
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
        saw=saw, band=band, lie=lie.name, angle_deg=angle_deg, bundle=1, band_speed_m_per_min=76.2,
        kerf_um=KERF_UM, cut_seconds=seconds, cut_seconds_low=seconds * 0.8, cut_seconds_high=seconds * 1.35,
        area_cm2=scan.area_mm2 / 100, mean_feed_mm_per_min=scan.depth_mm / seconds * 60,
        constant_feed_mm_per_min=min(feeds), peak_power_kw=2.7, mean_power_kw=2.1, peak_force_n=1150.0,
        least_teeth_in_cut=3.2, most_teeth_in_cut=14.0, ruling_limit=Limit.AREA_RATE, slices=slices,
        reasons=(
            Reason("band speed", "4140 runs at 76 m/min with coolant at 102 mm in the cut.", "v = v0 · f(W)",
                   "MH31", "p. 1245", Confidence.READ),
            Reason("area rate", "The rate of alloy steel with a bimetal band.", "", "MH31", "", Confidence.MEMORY_LOW),
            Reason("pitch", "3/4 keeps between three and fourteen teeth in the cut.", "z = W / p", "GW2019", "p. 167"),
        ),
        cautions=(),
    )  # fmt: skip


def _slice(depth: float, contact: float, longest: float, rate: float) -> Slice:
    wanted = rate * 100 / contact
    feed = min(wanted, 140.0)
    limit = Limit.GREATEST_CHIP if feed < wanted else Limit.AREA_RATE
    if contact > 95:
        limit = Limit.MOTOR_POWER
    return Slice(
        float(depth), float(contact), float(longest), contact / 7.3, feed, 24.0, min(1.0, longest / 190),
        contact * feed / 4000, contact * 10, limit,
    )  # fmt: skip


def bar(bar_id: str, length_mm: float, pieces: list[tuple[str, float, int]], *, times: int = 1, keep: bool = True,
        kind: BarKind = BarKind.BAR, angles: tuple[float, float] = (0.0, 0.0)) -> PlannedBar:  # fmt: skip
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
        "id": f"{grade}|{of.key}", "grade": grade, "section": of, "saw": "north", "saw_name": "North saw",
        "status": PlanStatus.BEST, "settings": (one_cut,) if one_cut else (), "bars": bars,
        "cost": length * 68, "lower_bound": length * 68, "cost_unit": "EUR", "bound_source": "column bound",
        "pieces_wanted": count, "unplanned": (),
        "times": GroupTimes(sawing, sawing * 0.8, sawing * 1.35, 22.0 * count, 180.0 * len(bars), 15.0 * count),
        "mass_kg_per_m": of.shape.outline().area_mm2 * 0.00785, "first_due": date(2026, 12, 4),
        "tried": (
            SawTried("north", "North saw", True, 3.1, 412.0, ()),
            SawTried("light-metal", "Light-metal saw", False, None, None,
                     (Misfit("power", 2.7, 1.5, "kW", "Set up for light metals only.", "Use the North saw."),)),
        ),
    }  # fmt: skip
    return PlanGroup(**{**values, **given})  # type: ignore[arg-type]  # a test's shorthand


@cache
def plan() -> Plan:
    """Ten groups: proven, not proven, late, short of bars, impossible, mitred, with many patterns and long names."""
    mitred = section("W12X26")
    titanium = setting(section("round 50"))
    return Plan(
        id="P-1", name="Order book", seed=1, findings=_FINDINGS,
        groups=(
            group("4140", section("round 101.6"), (
                bar("B-4140-400-A", 3657.6, [("SP-102", 698.5, 4), ("SP-101", 314.325, 2)], times=2),
                bar("R-0117", 1479.55, [("SP-103", 225.425, 5)], kind=BarKind.REMNANT, keep=False),
                bar("B-4140-400-B", 6000, [("SP-101", 314.325, 6), ("SP-103", 225.425, 2), ("SP-102", 698.5, 3)]),
            ), first_due=date(2026, 11, 23)),
            group("1045", section("round 80"), (bar("B-1045-80", 6000, [("PN-301", 412, 12), ("PN-302", 268, 3)]),),
                  status=PlanStatus.GOOD, cost=412.0, lower_bound=408.6),
            group("1018", section("square 50"), (bar("B-SQ50", 3000, [("SQ-11", 185, 12)]),), first_due=date(2026, 11, 27)),
            group("1018", section("hexagon 30"), (bar("B-HX", 3000, [("NUT-1", 38, 40), ("NUT-2", 52, 20)]),)),
            group("A992", mitred, (bar("B-W12", 12192, [("RAF-1", 4318, 2)], angles=(30, -30), times=2),
                                   bar("B-W12-7", 6096, [("RAF-2", 2378.1, 2)], keep=False)),
                  saw="yard", saw_name="Yard saw", settings=(setting(mitred, saw="yard"), setting(mitred, angle_deg=30, saw="yard"))),
            group("304L", section("tube 114.3x6.02"), (bar("B-PIPE4", 6096, [("PI-1", 971.55, 6)]),), status=PlanStatus.SHORT,
                  pieces_wanted=9, unplanned=(Unplanned("L-PI-1", "PI-1", 3, "No bar of 304L tube is left on the rack."),)),
            group("S235JR", section("box 100x100x6"), tuple(bar(f"B-SHS-{n}", 6000, [("FR-1", 1190, n), ("FR-2", 860, 2)]) for n in (1, 2, 3, 1, 2, 3)),
                  saw="yard", saw_name="Yard saw", cost_unit="m", cost=36.0, lower_bound=35.1, status=PlanStatus.GOOD),
            group("Ti-6Al-4V", section("round 50"), (bar("B-TI", 1800, [("T-1", 260, 6)]),),
                  settings=(CutSetting(**{**_fields(titanium), "cautions": (
                      "Fine chips of titanium burn. Keep them wet and out of the pit; never put water on a fire of them.",)}),)),
            group("A36", section("flat 200x10"), (bar("B-FL", 6096, [("FL-71", 698.5, 7)]),), first_due=None),
            group("D-2", section("round 450"), (), saw="", saw_name="", status=PlanStatus.CANNOT, pieces_wanted=4,
                  unplanned=(Unplanned("L-X", "DIE-9", 4, "A round of 450 mm passes no saw: the largest takes 432 mm."),)),
        ),
    )  # fmt: skip


def _fields(value: CutSetting) -> dict[str, object]:
    return {name: getattr(value, name) for name in CutSetting.__dataclass_fields__}


_FINDINGS = (
    Finding("length-unit", Severity.ERROR, "order_book.csv", 14, "Length", "-190", "is negative", "Write a length greater than zero."),
    Finding("grade-unknown", Severity.ERROR, "order_book.csv", 22, "Grade", "41400", "no grade is called that", "Did you mean 4140?"),
    Finding("date-order", Severity.WARNING, "order_book.csv", 9, "Due", "3/4/26", "can be two dates", "Write it as 2026-04-03."),
)  # fmt: skip


@cache
def orders() -> tuple[Order, ...]:
    """Two orders of a few lines."""
    lines = [
        OrderLine(f"L-{mark}", mark, grade, section(of), round(length * 1000), count, 1600, 0, date(2026, 12, 3), order="O-1",
                  customer=customer, row=row)
        for row, (mark, grade, of, length, count, customer) in enumerate(
            [
                ("SP-101", "4140", "round 101.6", 314.325, 10, "Weir pump repair"),
                ("SP-102", "4140", "round 101.6", 698.5, 8, "Weir pump repair"),
                ("PN-301", "1045", "round 80", 412, 12, "Gate works"),
                ("RAF-1", "A992", "W12X26", 4318, 4, "Mezzanine"),
            ],
            2,
        )
    ]  # fmt: skip
    return (Order("O-1", "Order book", tuple(lines)), Order("O-2", "Silo stair", tuple(lines[2:])))


@cache
def rack() -> Rack:
    """Bars and remnants of three sections."""
    return Rack(
        tuple(
            Bar(bar_id, grade, section(of), round(length * 1000), count, heat, place, None, kind)
            for bar_id, grade, of, length, count, heat, place, kind in [
                ("B-4140-400-A", "4140", "round 101.6", 3657.6, 3, "H41827", "A1", BarKind.BAR),
                ("B-4140-400-B", "4140", "round 101.6", 6000, 2, "H41902", "A1", BarKind.BAR),
                ("R-0112", "4140", "round 101.6", 955.675, 1, "H41650", "R2", BarKind.REMNANT),
                ("B-1045-80", "1045", "round 80", 6000, 4, "H50011", "A2", BarKind.BAR),
                ("B-W12", "A992", "W12X26", 12192, None, "", "", BarKind.TO_BUY),
            ]
        )
    )
