"""A last piece that is the bar's own end, left in the vise; each case is worked by hand beside it."""

import itertools
from dataclasses import replace

import pytest
from tests.planning.saws import make_saw
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Round
from kerfsmith.planning.check import faults
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.nest_group import Effort
from kerfsmith.planning.plan import Plan
from kerfsmith.planning.times import cuts_of_bar
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules

ROUND = Section("round 80 mm", Round(80.0))
EFFORT = Effort(seconds=1e6, seed=1, now=itertools.repeat(0.0).__next__, should_stop=lambda: False)


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return replace(package_tables(), saws=(make_saw(least_grip_mm=80, facing_mm=10),))


def line(name: str, length_um: int, quantity: int, **more: int) -> OrderLine:
    return OrderLine(name, name, "1045", ROUND, length_um, quantity, **more)  # type: ignore[arg-type]


def planned(lines: list[OrderLine], stock: Rack, catalog: Catalog) -> Plan:
    run = in_turn(catalog, ShopRules(), EFFORT)
    return make_plan(tasks_of(lines, stock), run, plan_id="p", name="p", seed=1)


def sound(plan: Plan, lines: list[OrderLine], stock: Rack) -> bool:
    return faults(plan, lines, stock, {"plain": 80.0}, ShopRules()) == ()


def kerf_um(catalog: Catalog) -> int:
    """The kerf of this work's band, from a plan of one piece."""
    stock = Rack((Bar("A", "1045", ROUND, 3_000_000, 1),))
    return planned([line("a", 100_000, 1)], stock, catalog).groups[0].settings[0].kerf_um


def stock_for(catalog: Catalog, *, spare_um: int = 0, good: bool = True) -> Rack:
    """A bar that takes facing, two pieces of 1000 mm and a kerf between, to the micrometre, or more."""
    length_um = 10_000 + kerf_um(catalog) + 1_000_000 + kerf_um(catalog) + 1_000_000 + spare_um
    return Rack((Bar("G", "1045", ROUND, length_um, 1, end_is_good=good),))


def test_a_good_end_saves_grip_and_kerf(catalog: Catalog) -> None:
    lines, stock = [line("a", 1_000_000, 2)], stock_for(catalog)
    plan = planned(lines, stock, catalog)
    (bar,) = plan.groups[0].bars
    assert sound(plan, lines, stock)
    assert (bar.ends_in_vise, bar.left_um, bar.keep) == (True, 0, False)
    assert [piece.far_cut for piece in bar.pieces] == [True, False]
    # The facing cut and the one between the pieces.
    assert cuts_of_bar(bar) == [0.0, 0.0]
    assert plan.groups[0].bars_to_buy == 0


def test_an_end_as_rolled_keeps_its_grip(catalog: Catalog) -> None:
    lines, stock = [line("a", 1_000_000, 2)], stock_for(catalog, good=False)
    plan = planned(lines, stock, catalog)
    assert not any(bar.ends_in_vise for bar in plan.groups[0].bars)
    assert plan.groups[0].bars_used == 2


def test_the_last_piece_takes_what_its_tolerance_allows(catalog: Catalog) -> None:
    # +1/-1: dialled at 1000, up to 1 mm longer. A bar 0.8 mm longer ends with a last piece of 1000.8.
    lines = [line("a", 1_000_000, 2, plus_um=1_000, minus_um=1_000)]
    stock = stock_for(catalog, spare_um=800)
    plan = planned(lines, stock, catalog)
    (bar,) = plan.groups[0].bars
    assert sound(plan, lines, stock)
    assert bar.ends_in_vise
    assert sum(piece.over_um for piece in bar.pieces) == 800
    assert bar.left_um == 0
    assert all(piece.length_um == 1_000_000 for piece in bar.pieces)
    # 2.2 mm are more than both may take up together.
    longer = planned(lines, stock_for(catalog, spare_um=2_200), catalog)
    assert not any(bar.ends_in_vise for bar in longer.groups[0].bars)


def test_lengths_aimed_below_their_nominal_never_end_in_the_vise(catalog: Catalog) -> None:
    lines = [line("a", 1_000_000, 2, plus_um=0, minus_um=1_000)]
    plan = planned(lines, stock_for(catalog, spare_um=-1_000), catalog)
    assert not any(bar.ends_in_vise for bar in plan.groups[0].bars)


def test_a_piece_that_only_fits_as_the_end_is_not_too_long(catalog: Catalog) -> None:
    kerf = kerf_um(catalog)
    stock = Rack((Bar("G", "1045", ROUND, 10_000 + kerf + 1_000_000, 1, end_is_good=True),))
    lines = [line("a", 1_000_000, 1)]
    plan = planned(lines, stock, catalog)
    assert plan.groups[0].bars[0].ends_in_vise
    assert sound(plan, lines, stock)


def test_the_referee_asks_for_a_good_end_and_enough_to_hold(catalog: Catalog) -> None:
    lines, stock = [line("a", 1_000_000, 2)], stock_for(catalog)
    plan = planned(lines, stock, catalog)
    as_rolled = Rack((replace(stock.bars[0], end_is_good=False),))
    (found,) = faults(plan, lines, as_rolled, {"plain": 80.0})
    assert "can't be what is left in the vise" in found
    assert any("left in the vise" in one for one in faults(plan, lines, stock, {"plain": 1_200.0}))
    bar = plan.groups[0].bars[0]
    object.__setattr__(bar, "keep", True)
    assert any("nothing is left to keep" in one for one in faults(plan, lines, stock, {"plain": 80.0}))
    object.__setattr__(bar, "keep", False)
    object.__setattr__(bar, "pieces", (bar.pieces[0], replace(bar.pieces[1], over_um=5)))
    assert any("is to be its end, -5 um off" in one for one in faults(plan, lines, stock, {"plain": 80.0}))


def test_what_is_left_in_the_vise_suits_every_line_of_its_kind(catalog: Catalog) -> None:
    # Both lines are dialled at 1000 mm and 0.9 mm is over. One piece of the first line could take it, but any
    # piece of the kind may be the one that is left: both take a part.
    lines = [
        line("a", 1_000_000, 1, plus_um=1_000, minus_um=1_000),
        line("b", 1_000_000, 1, plus_um=500, minus_um=500),
    ]
    stock = stock_for(catalog, spare_um=900)
    plan = planned(lines, stock, catalog)
    assert sound(plan, lines, stock)
    (bar,) = plan.groups[0].bars
    assert sum(piece.over_um for piece in bar.pieces) == 900
    assert max(piece.over_um for piece in bar.pieces) <= 500
