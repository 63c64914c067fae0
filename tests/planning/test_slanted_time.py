"""A cut at an angle takes the saw's time at that angle in the choice of bars, reckoned by hand."""

from dataclasses import replace

import pytest
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.planning.lay_group import bench_of
from kerfsmith.planning.loads import saw_time_of
from kerfsmith.planning.pick_saw import try_saws
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


def test_three_cuts_of_which_two_slant() -> None:
    # 120 s to load; square 30 + 10 s, slanting 42 + 10 s.
    time = saw_time_of({1: 30.0}, 10.0, 120.0, 20.0, 1, {100_000: 42.0})
    assert time.of_load(3, 1, {100_000: 2}) == 120_000 + 40_000 + 2 * 52_000
    assert time.of_load(3, 1) == 120_000 + 3 * 40_000


def test_the_settings_of_the_group_give_the_seconds(catalog: Catalog) -> None:
    section = catalog.find_section("IPE 200")
    lines = (
        OrderLine("l1", "l1", "S235JR", section, 1_000_000, 2, angle_a_deg=30.0, angle_b_deg=30.0),
        OrderLine("l2", "l2", "S235JR", section, 900_000, 2),
    )
    work = Work("S235JR", section, lines)
    bars = (Bar("A", "S235JR", section, 6_000_000, 9),)
    trial = next(iter(try_saws(work, catalog.find_grade("S235JR"), catalog, bars)))
    time = bench_of(work, trial).time
    square, slanted = trial.settings[0], trial.settings[1]
    assert slanted.angle_deg == pytest.approx(30.0)
    ((lean, cut_ms),) = time.slanted
    # An IPE 200 lies 100 mm wide with its web upright and 200 mm with it flat; tan 30 degrees is 0.57735.
    assert lean in (57_735, 115_470)
    # What goes with every cut beside the sawing is the same at every angle.
    assert cut_ms[0] - time.cut_ms[0] == pytest.approx(
        1000 * (slanted.cut_seconds - square.cut_seconds), abs=1
    )
    other = replace(trial, settings=(square,))
    assert bench_of(work, other).time.slanted == ()
