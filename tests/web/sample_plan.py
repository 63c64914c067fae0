"""The sample shop's plan, orders and rack."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache

from tests.web.sample import ALWAYS, BURNS, bar, group, section, setting

from kerfsmith.errors import Finding, Severity
from kerfsmith.planning.plan import Plan, PlanStatus, Unplanned
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar, BarKind, Rack
from kerfsmith.units.told import Told, quantity

_FINDINGS = (
    Finding(
        "length-unit",
        Severity.ERROR,
        "order_book.csv",
        14,
        "Length",
        "-190",
        "is negative",
        "Write a length greater than zero.",
    ),
    Finding(
        "grade-unknown",
        Severity.ERROR,
        "order_book.csv",
        22,
        "Grade",
        "41400",
        "no grade is called that",
        "Did you mean 4140?",
    ),
    Finding(
        "date-order",
        Severity.WARNING,
        "order_book.csv",
        9,
        "Due",
        "3/4/26",
        "can be two dates",
        "Write it as 2026-04-03.",
    ),
)


@cache
def plan() -> Plan:
    """Ten groups: proven, not proven, late, short of bars, impossible, mitred, with many patterns."""
    mitred = section("W12X26")
    titanium = setting(section("round 50"))
    return Plan(
        id="P-1",
        name="Order book",
        seed=1,
        findings=_FINDINGS,
        groups=(
            group(
                "4140",
                section("round 101.6"),
                (
                    bar("B-4140-400-A", 3657.6, [("SP-102", 698.5, 4), ("SP-101", 314.325, 2)], times=2),
                    bar("R-0117", 1479.55, [("SP-103", 225.425, 5)], kind=BarKind.REMNANT, keep=False),
                    bar(
                        "B-4140-400-B",
                        6000,
                        [("SP-101", 314.325, 6), ("SP-103", 225.425, 2), ("SP-102", 698.5, 3)],
                    ),
                ),
                first_due=date(2026, 11, 23),
            ),
            group(
                "1045",
                section("round 80"),
                (bar("B-1045-80", 6000, [("PN-301", 412, 12), ("PN-302", 268, 3)]),),
                status=PlanStatus.GOOD,
                cost=412.0,
                lower_bound=408.6,
            ),
            group(
                "1018",
                section("square 50"),
                (bar("B-SQ50", 3000, [("SQ-11", 185, 12)]),),
                first_due=date(2026, 11, 27),
            ),
            group(
                "1018", section("hexagon 30"), (bar("B-HX", 3000, [("NUT-1", 38, 40), ("NUT-2", 52, 20)]),)
            ),
            group(
                "A992",
                mitred,
                (
                    bar("B-W12", 12192, [("RAF-1", 4318, 2)], angles=(30, -30), times=2),
                    bar("B-W12-7", 6096, [("RAF-2", 2378.1, 2)], keep=False),
                ),
                saw="yard",
                saw_name="Yard saw",
                settings=(setting(mitred, saw="yard"), setting(mitred, angle_deg=30, saw="yard")),
            ),
            group(
                "304L",
                section("tube 114.3x6.02"),
                (bar("B-PIPE4", 6096, [("PI-1", 971.55, 6)]),),
                status=PlanStatus.SHORT,
                pieces_wanted=9,
                unplanned=(Unplanned("L-PI-1", "PI-1", 3, Told("No bar of 304L tube is left on the rack.")),),
            ),
            group(
                "S235JR",
                section("box 100x100x6"),
                tuple(
                    bar(f"B-SHS-{n}", 6000, [("FR-1", 1190, n), ("FR-2", 860, 2)]) for n in (1, 2, 3, 1, 2, 3)
                ),
                saw="yard",
                saw_name="Yard saw",
                cost_unit="m of bar",
                cost=36.0,
                lower_bound=35.1,
                status=PlanStatus.GOOD,
            ),
            group(
                "Ti-6Al-4V",
                section("round 50"),
                (bar("B-TI", 1800, [("T-1", 260, 6)]),),
                settings=(replace(titanium, cautions=(ALWAYS, BURNS)),),
            ),
            group("A36", section("flat 200x10"), (bar("B-FL", 6096, [("FL-71", 698.5, 7)]),), first_due=None),
            group(
                "D-2",
                section("round 450"),
                (),
                saw="",
                saw_name="",
                status=PlanStatus.CANNOT,
                pieces_wanted=4,
                unplanned=(
                    Unplanned(
                        "L-X",
                        "DIE-9",
                        4,
                        Told(
                            f"A round of {quantity(450, 'mm')} passes no saw: the largest takes "
                            f"{quantity(432, 'mm')}."
                        ),
                    ),
                ),
            ),
        ),
    )


@cache
def orders() -> tuple[Order, ...]:
    """Two orders of a few lines."""
    lines = [
        OrderLine(
            f"L-{mark}",
            mark,
            grade,
            section(of),
            round(length * 1000),
            count,
            1600,
            0,
            date(2026, 12, 3),
            order="O-1",
            customer=customer,
            row=row,
        )
        for row, (mark, grade, of, length, count, customer) in enumerate(
            [
                ("SP-101", "4140", "round 101.6", 314.325, 10, "Weir pump repair"),
                ("SP-102", "4140", "round 101.6", 698.5, 8, "Weir pump repair"),
                ("PN-301", "1045", "round 80", 412, 12, "Gate works"),
                ("RAF-1", "A992", "W12X26", 4318, 4, "Mezzanine"),
            ],
            2,
        )
    ]
    return (Order("O-1", "Order book", tuple(lines)), Order("O-2", "Silo stair", tuple(lines[2:])))


@cache
def rack() -> Rack:
    """Bars and remnants of three sections."""
    return Rack(
        tuple(
            Bar(bar_id, grade, section(of), round(length * 1000), count, heat, place, Decimal("412.5"), kind)
            for bar_id, grade, of, length, count, heat, place, kind in [
                ("B-4140-400-A", "4140", "round 101.6", 3657.6, 3, "H41827", "A1", BarKind.BAR),
                ("B-4140-400-B", "4140", "round 101.6", 6000, 2, "H41902", "A1", BarKind.BAR),
                ("R-0112", "4140", "round 101.6", 955.675, 1, "H41650", "R2", BarKind.REMNANT),
                ("B-1045-80", "1045", "round 80", 6000, 4, "H50011", "A2", BarKind.BAR),
                ("B-W12", "A992", "W12X26", 12192, None, "", "", BarKind.TO_BUY),
            ]
        )
    )
