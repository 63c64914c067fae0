"""What is dialled in, and what a saw's index leaves of a tolerance; each case is worked by hand."""

import math
from dataclasses import replace

import pytest
from tests.planning.saws import make_saw
from tests.tables import package_tables

from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Round
from kerfsmith.nesting.result import Status
from kerfsmith.nesting.solve import solve
from kerfsmith.planning.check import faults
from kerfsmith.planning.lay_bars import read_back
from kerfsmith.planning.lengths import Promise, length_notes, over_um, spread, unpromised
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.nest_group import Effort
from kerfsmith.planning.pose_group import Bench, charge, piece_kinds, pose
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules

ROUND = Section("round 80 mm", Round(80.0))
RULES = ShopRules()


def line(length_um: int, plus_um: int | None, minus_um: int | None, quantity: int = 1) -> OrderLine:
    return OrderLine("a", "a", "1045", ROUND, length_um, quantity, plus_um=plus_um, minus_um=minus_um)


@pytest.mark.parametrize(
    ("plus_um", "minus_um", "over"),
    [
        # +1/16 in / -0: 1.5875 mm, the middle 0.79375, dialled 0.79; +2/-0: 1 mm; +0/-0.5: 0.25 under.
        (1_588, 0, 790),
        (2_000, 0, 1_000),
        (0, 500, -250),
        # The same both ways, or not stated both ways: the nominal length.
        (500, 500, 0),
        (None, None, 0),
        (1_000, None, 0),
        # +0.3/-0.1: 0.1 over.
        (300, 100, 100),
    ],
)
def test_the_middle_of_the_tolerance_is_dialled(plus_um: int | None, minus_um: int | None, over: int) -> None:
    assert over_um(line(300_000, plus_um, minus_um)) == over


def test_strokes_add_plainly_at_worst_and_by_the_root_of_squares_usually() -> None:
    # 1190 mm and a kerf of 1.6 by strokes of 500: three. 3 x 0.1 = 0.3; 0.1 x sqrt 3 = 0.1732 (JCGM 100:2008,
    # 5.1.2: the combined standard uncertainty of uncorrelated inputs is the root of the sum of squares).
    saw = make_saw(index_accuracy_mm=0.1, shuttle_stroke_mm=500)
    found = spread(line(1_190_000, 250, 250), saw, 1_600)
    assert found.strokes == 3
    assert found.worst_mm == pytest.approx(0.3)
    assert found.usual_mm == pytest.approx(0.1 * math.sqrt(3))


@pytest.mark.parametrize(
    ("plus_um", "minus_um", "promise"),
    [
        # Three strokes of 0.1: 0.3 at worst, 0.173 usually.
        (300, 300, Promise.HOLDS),
        (290, 290, Promise.FIRST_PIECE),
        (180, 180, Promise.FIRST_PIECE),
        (170, 170, Promise.CANNOT),
        # Aiming for the middle half of +0.6/-0 lies on either side.
        (600, 0, Promise.HOLDS),
        (340, 0, Promise.CANNOT),
        (None, None, Promise.UNTOLD),
    ],
)
def test_what_an_index_can_promise(plus_um: int | None, minus_um: int | None, promise: Promise) -> None:
    saw = make_saw(index_accuracy_mm=0.1, shuttle_stroke_mm=500)
    assert spread(line(1_190_000, plus_um, minus_um), saw, 1_600).promise is promise


def test_what_is_not_held_is_said_with_its_figures() -> None:
    saw = make_saw(index_accuracy_mm=0.1, shuttle_stroke_mm=500, name="Long saw")
    assert length_notes([line(1_190_000, 300, 300)], saw, 1_600) == ()
    (check,) = length_notes([line(1_190_000, 250, 250)], saw, 1_600)
    assert all(word in check for word in ("first-piece check", "3 strokes", "Long saw", "0.25", "0.3"))
    (cannot,) = length_notes([line(1_190_000, 100, 100)], saw, 1_600)
    assert "can't be promised" in cannot


def test_the_bar_has_room_for_what_is_dialled_over() -> None:
    # Bar 6000, facing 10 + 1.6, grip 80: 5908.4 for pieces with a kerf of 1.6 each. Five of 1180: 5 x 1181.6
    # = 5908, 0.4 spare. At +2/-0 each is dialled 1 mm over: 5913 don't go in, and the fifth needs another
    # bar; at +/-1 they are dialled at 1180.
    bars = [Bar("b", "1045", ROUND, 6_000_000, 9)]
    saw = make_saw(least_grip_mm=80, facing_mm=10)
    for plus_um, minus_um, used in ((1_000, 1_000, 1), (2_000, 0, 2)):
        work = Work("1045", ROUND, (line(1_180_000, plus_um, minus_um, quantity=5),))
        problem = pose(work, bars, Bench(saw, 1_600, "flat"), charge(bars, RULES), RULES)
        result = solve(problem, seconds=30, seed=1, now=lambda: 0.0)
        assert result.status is Status.OPTIMAL
        laid = read_back(result, problem, piece_kinds(work, RULES), bars)
        assert sum(bar.times for bar in laid) == used
        assert {piece.length_um for bar in laid for piece in bar.pieces} == {1_180_000}
        assert {piece.dial_um for bar in laid for piece in bar.pieces} == {
            1_180_000 + (plus_um - minus_um) // 2
        }


def test_a_saw_that_keeps_the_length_goes_before_a_cheaper_one() -> None:
    catalog = package_tables()
    effort = Effort(1e6, 1, lambda: 0.0, lambda: False)

    def saw_for(lines: list[OrderLine], rough: str) -> str:
        saws = tuple(replace(one, index_accuracy_mm=2.0 if one.id == rough else 0.02) for one in catalog.saws)
        run = in_turn(replace(catalog, saws=saws), RULES, effort)
        tasks = tasks_of(lines, Rack((Bar("b", "1045", ROUND, 6_000_000, 2),)))
        return make_plan(tasks, run, plan_id="p", name="p", seed=1).groups[0].saw

    loose, tight = [line(400_000, None, None, 4)], [line(400_000, 500, 500, 4)]
    cheapest = saw_for(loose, "")
    assert saw_for(loose, cheapest) == cheapest
    assert saw_for(tight, "") == cheapest
    assert saw_for(tight, cheapest) != cheapest
    rough = next(one for one in catalog.saws if one.id == cheapest)
    assert unpromised(tight, replace(rough, index_accuracy_mm=2.0), 1_600) == 4


def test_the_referee_refuses_what_is_dialled_out_of_tolerance() -> None:
    catalog = package_tables()
    lines = [line(400_000, 500, 0, 4)]
    rack = Rack((Bar("b", "1045", ROUND, 6_000_000, 2),))
    run = in_turn(catalog, RULES, Effort(1e6, 1, lambda: 0.0, lambda: False))
    made = make_plan(tasks_of(lines, rack), run, plan_id="p", name="p", seed=1)
    grips = {saw.id: saw.least_grip_mm for saw in catalog.saws}
    assert faults(made, lines, rack, grips) == ()
    group = made.groups[0]
    bar = group.bars[0]
    for over in (501, -1):
        first = replace(bar.pieces[0], over_um=over)
        wrong = replace(group, bars=(replace(bar, pieces=(first, *bar.pieces[1:])), *group.bars[1:]))
        assert faults(replace(made, groups=(wrong,)), lines, rack, grips)
