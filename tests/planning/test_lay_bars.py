"""Bars laid for a group pass the plan's referee, and the referee finds what is changed in them."""

import itertools
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.planning.saws import make_saw

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.shapes import Square
from kerfsmith.nesting.check import check as referee
from kerfsmith.nesting.result import Status
from kerfsmith.nesting.solve import solve
from kerfsmith.planning.check import faults
from kerfsmith.planning.lay_bars import read_back
from kerfsmith.planning.mitred_ends import ends_cross
from kerfsmith.planning.plan import GroupTimes, Plan, PlanGroup, PlannedBar, PlanStatus
from kerfsmith.planning.pose_group import Bench, charge, piece_kinds, pose
from kerfsmith.planning.times import cuts_of_bar
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind, Rack
from kerfsmith.shop.rules import ShopRules

SECTION = Section("square 100 mm", Square(100.0))
KERF_UM = 1_600
RULES = ShopRules()
NO_TIME = GroupTimes(0, 0, 0, 0, 0, 0)


def lay(work: Work, bars: list[Bar], saw: SawSheet, kerf_um: int = KERF_UM) -> tuple[PlannedBar, ...] | None:
    problem = pose(work, bars, Bench(saw, kerf_um, "flat"), charge(bars, RULES), RULES)
    result = solve(problem, seconds=1e6, seed=1, now=itertools.count().__next__)
    assert referee(problem, result) == ()
    if result.status is Status.INFEASIBLE:
        return None
    return read_back(result, problem, piece_kinds(work, RULES), bars)


def as_plan(work: Work, bars: tuple[PlannedBar, ...], angles: tuple[float, ...] = ()) -> Plan:
    group = PlanGroup(
        id=work.id,
        grade=work.grade,
        section=work.section,
        saw="plain",
        saw_name="Plain saw",
        status=PlanStatus.BEST,
        settings=(),
        bars=bars,
        cost=1.0,
        lower_bound=1.0,
        cost_unit="m of bar",
        bound_source="",
        pieces_wanted=work.pieces,
        unplanned=(),
        times=NO_TIME,
        mass_kg_per_m=78.5,
        first_due=None,
        tried=(),
    )
    return Plan("p", "p", (group,), (), 1)


def line(name: str, length_um: int, quantity: int, **more: object) -> OrderLine:
    return OrderLine(name, name, "1018", SECTION, length_um, quantity, **more)  # type: ignore[arg-type]


def check(plan: Plan, work: Work, bars: list[Bar], grip_mm: float = 80.0) -> tuple[str, ...]:
    found = faults(plan, work.lines, Rack(tuple(bars)), {"plain": grip_mm})
    return tuple(fault for fault in found if "no setting" not in fault)


@settings(max_examples=60, deadline=None)
@given(
    lines=st.lists(
        st.tuples(st.integers(20_000, 1_500_000), st.integers(1, 4), st.sampled_from([0.0, 30.0, -45.0])),
        min_size=1,
        max_size=4,
    ),
    lengths=st.lists(st.integers(1_000_000, 6_000_000), min_size=1, max_size=3),
    grip_mm=st.sampled_from([0.0, 80.0]),
    facing_mm=st.sampled_from([0.0, 10.0]),
)
def test_every_bar_laid_passes_the_referee(
    lines: list[tuple[int, int, float]], lengths: list[int], grip_mm: float, facing_mm: float
) -> None:
    saw = make_saw(least_grip_mm=grip_mm, facing_mm=facing_mm)
    wanted = tuple(
        line(f"l{place}", length, quantity, angle_b_deg=angle)
        for place, (length, quantity, angle) in enumerate(lines)
    )
    wanted = tuple(one for one in wanted if not ends_cross(one, 100_000))
    assume(wanted)
    work = Work("1018", SECTION, wanted)
    bars = [Bar(f"b{place}", "1018", SECTION, length, 20) for place, length in enumerate(lengths)]
    laid = lay(work, bars, saw)
    if laid is None:
        longest = max(one.length_um for one in wanted)
        assert longest > min(lengths) - 300_000
        return
    assert check(as_plan(work, laid), work, bars, grip_mm) == ()


def test_pieces_due_first_lie_on_the_first_bars(saw: SawSheet) -> None:
    late, soon = date(2026, 12, 20), date(2026, 12, 1)
    work = Work("1018", SECTION, (line("late", 900_000, 12, due=late), line("soon", 900_000, 6, due=soon)))
    bars = [Bar("b", "1018", SECTION, 6_000_000, 5)]
    laid = lay(work, bars, saw)
    assert laid is not None
    marks = [piece.mark for bar in laid for _ in range(bar.times) for piece in bar.pieces]
    assert marks[:6] == ["soon"] * 6


def test_equal_bars_are_put_together(saw: SawSheet) -> None:
    work = Work("1018", SECTION, (line("a", 1_190_000, 12),))
    laid = lay(work, [Bar("b", "1018", SECTION, 6_000_000, 5)], saw)
    assert laid is not None
    # Four a bar: (6000 - 10 - 1.6 - 80) / 1191.6 = 4.96, worked by hand.
    assert [(bar.times, len(bar.pieces)) for bar in laid] == [(3, 4)]
    assert laid[0].remnant_um == 6_000_000 - 11_600 - 4 * 1_191_600


def test_remnants_are_used_before_the_rack_and_the_rack_before_buying(saw: SawSheet) -> None:
    work = Work("1018", SECTION, (line("a", 500_000, 2),))
    bars = [
        Bar("buy", "1018", SECTION, 1_200_000, None, kind=BarKind.TO_BUY),
        Bar("long", "1018", SECTION, 6_000_000, 1),
        Bar("left", "1018", SECTION, 1_300_000, 1, kind=BarKind.REMNANT),
    ]
    laid = lay(work, bars, saw)
    assert laid is not None
    assert [bar.bar_id for bar in laid] == ["left"]
    laid = lay(work, bars[:2], saw)
    assert laid is not None
    assert [bar.bar_id for bar in laid] == ["long"]


def test_mitred_frames_share_their_cuts_when_turned() -> None:
    # Worked by hand: six trapezoids of 1000 on a square of 100 at 45 degrees and no kerf take 6 x 900 + 100
    # when every second one is turned over.
    saw = make_saw(least_grip_mm=0, facing_mm=0)
    work = Work("1018", SECTION, (line("f", 1_000_000, 6, angle_a_deg=45.0, angle_b_deg=-45.0),))
    bars = [Bar("b", "1018", SECTION, 5_500_000, 1)]
    laid = lay(work, bars, saw, kerf_um=0)
    assert laid is not None
    assert laid[0].remnant_um == 0
    assert laid[0].pieces_um == 5_500_000
    assert [piece.lap_um for piece in laid[0].pieces] == [0, *[100_000] * 5]
    assert len({piece.ends_deg for piece in laid[0].pieces}) == 2
    assert lay(work, [Bar("b", "1018", SECTION, 5_499_999, 1)], saw, kerf_um=0) is None


def test_the_cuts_of_a_mitred_bar_are_counted_once_where_shared() -> None:
    saw = make_saw(least_grip_mm=80, facing_mm=10)
    work = Work("1018", SECTION, (line("f", 1_000_000, 4, angle_a_deg=45.0, angle_b_deg=-45.0),))
    laid = lay(work, [Bar("b", "1018", SECTION, 6_000_000, 1)], saw)
    assert laid is not None
    # A facing cut that is the first near end, then one far cut a piece: all at 45 degrees.
    assert cuts_of_bar(laid[0]) == [45.0] * 5
    # Kerf along the bar at 45 degrees: 1.6 x sqrt 2 = 2.263 (derived), the facing kerf booked square.
    assert [piece.kerf_um for piece in laid[0].pieces] == [2_263 + 663, 2_263, 2_263, 2_263]


def test_the_referee_finds_each_change(saw: SawSheet) -> None:
    work = Work("1018", SECTION, (line("a", 1_190_000, 8), line("b", 700_000, 3)))
    bars = [Bar("b1", "1018", SECTION, 6_000_000, 3)]
    laid = lay(work, bars, saw)
    assert laid is not None
    sound = as_plan(work, laid)
    assert check(sound, work, bars) == ()
    group, first = sound.groups[0], laid[0]
    shorter = replace(first.pieces[0], length_um=first.pieces[0].length_um - 1)
    wrong = [
        replace(group, bars=laid[1:]),
        replace(group, bars=(replace(first, times=first.times + 1), *laid[1:])),
        replace(group, bars=(replace(first, bar_id="b9"), *laid[1:])),
        replace(group, lower_bound=2.0),
        replace(
            group,
            bars=(
                replace(first, pieces=(shorter, *first.pieces[1:]), remnant_um=first.remnant_um + 1),
                *laid[1:],
            ),
        ),
    ]
    for changed in wrong:
        assert check(replace(sound, groups=(changed,)), work, bars) != ()


def test_a_bar_that_does_not_add_up_cannot_be_made(saw: SawSheet) -> None:
    work = Work("1018", SECTION, (line("a", 1_190_000, 1),))
    laid = lay(work, [Bar("b1", "1018", SECTION, 6_000_000, 3)], saw)
    assert laid is not None
    with pytest.raises(InvalidValue):
        replace(laid[0], remnant_um=laid[0].remnant_um + 1)
