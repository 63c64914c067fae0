"""A slant across web or flange is planned with that face level, and two ways in one run are told apart."""

import math
import time
from dataclasses import replace

import pytest
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.geometry.lay import lie_called
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.plan import Plan
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


def plan(catalog: Catalog, *lines: OrderLine) -> Plan:
    bar = Bar("A", "S235JR", lines[0].section, 6_000_000, 9)
    effort = Effort(1.0, 1, time.process_time, lambda: False)
    run = in_turn(catalog, ShopRules(), effort)
    return make_plan(tasks_of(lines, Rack((bar,))), run, plan_id="p", name="p", seed=1)


def line(catalog: Catalog, lie: str, angle_deg: float = 30.0, name: str = "l1", count: int = 2) -> OrderLine:
    section = catalog.find_section("IPE 200")
    return OrderLine(
        name, name, "S235JR", section, 1_000_000, count, angle_a_deg=angle_deg, angle_b_deg=angle_deg, lie=lie
    )


@pytest.mark.parametrize("lie", ["web flat", "web upright"])
def test_every_setting_lies_as_asked(catalog: Catalog, lie: str) -> None:
    made = plan(catalog, line(catalog, lie))
    group = made.groups[0]
    assert made.pieces_planned == 2
    assert {setting.lie for setting in group.settings} == {lie}
    # Two parallelograms share a slant: the second laps the first by width x tan(angle), which shows the width
    # that was planned with.
    across_mm = lie_called(group.section.shape, lie).width_mm
    laps = {piece.lap_um for bar in group.bars for piece in bar.pieces}
    assert max(laps) == pytest.approx(across_mm * 1000 * math.tan(math.radians(30)), abs=1000)


def test_two_ways_in_one_run_are_told(catalog: Catalog) -> None:
    few = line(catalog, "web upright", name="l2", count=1)
    group = plan(catalog, line(catalog, "web flat"), few).groups[0]
    assert [(one.line_id, one.count) for one in group.unplanned] == [("l2", 1)]
    assert "web upright" in group.unplanned[0].reason
    assert group.pieces_planned == 2


def test_a_square_line_lies_anyhow(catalog: Catalog) -> None:
    square = replace(line(catalog, "web upright", 0.0, "l2", 3), lie="web upright")
    assert plan(catalog, line(catalog, "web flat"), square).pieces_planned == 5
