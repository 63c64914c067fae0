"""Tickets and labels of the tests' shop."""

import pytest
from tests.paper import shop
from tests.paper.case import ROUND, Case

from kerfsmith.catalog.material import Hazard
from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import RectTube
from kerfsmith.planning.plan import PlanStatus, Unplanned
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.told import Told

TUBE = Section("RHS 100 × 60 × 5", RectTube(100.0, 60.0, 5.0, 10.0, 5.0))


@pytest.fixture
def rounds() -> Case:
    """Six bars and a remnant of 4 in round, square cuts, metric and inch lengths mixed."""
    lines = (
        shop.order_line("L1", "P-101", ROUND, 1_190_000, 16),
        shop.order_line(
            "L2", "P-102", ROUND, 1_190_625, 1, plus_um=None, minus_um=None, notes="Stamp the end."
        ),
        shop.order_line("L3", "SHAFT-7", ROUND, 250_000, 9, minus_um=500),
    )
    bars = (
        shop.planned_bar(
            "R-014",
            2_150_000,
            shop.pieces("L2", "P-102", 1_190_625, 1) + shop.pieces("L3", "SHAFT-7", 250_000, 1),
            kind=BarKind.REMNANT,
            heat="H4398",
            place="B1-4",
        ),
        shop.planned_bar("B-207", 6_000_000, shop.pieces("L1", "P-101", 1_190_000, 4), times=3),
        shop.planned_bar(
            "B-208",
            6_096_000,
            shop.pieces("L1", "P-101", 1_190_000, 4) + shop.pieces("L3", "SHAFT-7", 250_000, 4),
            times=2,
            heat="",
            place="",
            kind=BarKind.TO_BUY,
        ),
    )
    found = shop.group(
        "G1",
        "4140",
        ROUND,
        bars,
        (shop.setting(),),
        status=PlanStatus.SHORT,
        lower_bound=407.0,
        unplanned=(Unplanned("L9", "P-103", 2, Told("longer than any bar on the rack")),),
    )
    return Case(shop.plan(found), found, shop.saw(), shop.grade(), lines)


@pytest.fixture
def mitred() -> Case:
    """A hollow section with mitres both ways, in a plan whose group is the second."""
    caution = "Lead: fine chips and mist carry it. Wash before eating; keep chips apart."
    first = shop.group("G1", "12L14", ROUND, (), (shop.setting(),))
    bars = (
        shop.planned_bar(
            "T-9",
            6_000_000,
            shop.pieces("M1", "FRAME-A", 900_000, 2, 45.0, -45.0)
            + shop.pieces("M2", "BRACE", 640_000, 3, 30.0, 30.0)
            + shop.pieces("M3", "POST", 420_000, 2),
        ),
    )
    settings = (
        shop.setting(lie="on edge", cautions=(caution,)),
        shop.setting(30.0, lie="on edge"),
        shop.setting(45.0, lie="on edge"),
    )
    found = shop.group("G2", "12L14", TUBE, bars, settings, mass_kg_per_m=11.3)
    lines = (
        shop.order_line("M1", "FRAME-A", TUBE, 900_000, 2, angle_a_deg=45.0, angle_b_deg=-45.0),
        shop.order_line("M2", "BRACE", TUBE, 640_000, 3, angle_a_deg=30.0, angle_b_deg=30.0),
        shop.order_line("M3", "POST", TUBE, 420_000, 2),
    )
    return Case(shop.plan(first, found), found, shop.saw(), shop.grade("12L14", (Hazard.LEAD,)), lines)
