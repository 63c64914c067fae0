"""Bars laid for a group pass the plan's referee, and the referee finds what is changed in them."""

import itertools
import math
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.planning.conftest import make_saw

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.shapes import Square
from kerfsmith.nesting.result import Status
from kerfsmith.nesting.solve import solve
from kerfsmith.planning.check import faults
from kerfsmith.planning.lay_bars import charge, kerf_along_bar_um, piece_kerf_um, pose, read_back
from kerfsmith.planning.plan import GroupTimes, Plan, PlanGroup, PlannedBar, PlanStatus
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind, Rack
from kerfsmith.shop.rules import ShopRules

SECTION = Section("square 100 mm", Square(100.0))
KERF_UM = 1_600
RULES = ShopRules()
NO_TIME = GroupTimes(0, 0, 0, 0, 0, 0)


def lay(work: Work, bars: list[Bar], saw: SawSheet) -> tuple[PlannedBar, ...] | None:
    result = solve(
        pose(work, bars, saw, KERF_UM, charge(bars, RULES)),
        seconds=30.0,
        seed=1,
        now=itertools.count().__next__,
    )
    if result.status is Status.INFEASIBLE:
        return None
    return read_back(result, work, bars, saw, KERF_UM, RULES)


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


def test_kerf_along_the_bar_at_a_mitre() -> None:
    # kerf 1.6 at 45 degrees is 2.263 along the bar (derived: 1.6 / cos 45).
    assert kerf_along_bar_um(1_600, 45.0) == math.ceil(1_600 * math.sqrt(2))
    assert piece_kerf_um(line("m", 1_000_000, 1, angle_a_deg=45.0, angle_b_deg=-45.0), 1_600) == 2 * 2_263
    assert piece_kerf_um(line("s", 1_000_000, 1), 1_600) == 1_600


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
