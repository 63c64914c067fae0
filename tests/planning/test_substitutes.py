"""Pieces that may be cut from either of two grades or sections; each case is worked by hand beside it.

Mass by hand: a round of 80 mm has pi x 40^2 = 5026.5 mm2, so at 7850 kg/m3 a metre weighs 39.46 kg.
"""

import itertools
import math
from dataclasses import replace
from datetime import date
from decimal import Decimal
from random import Random

import pytest
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.shapes import Round
from kerfsmith.nesting.engines.slow.enumerate import enumerate_plans
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.planning.check import faults
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.nest_group import Effort
from kerfsmith.planning.plan import Plan, PlanStatus
from kerfsmith.planning.tasks import JoinedTask, joined_lines, task_of
from kerfsmith.planning.what_if import without_substitutes
from kerfsmith.shop.order import Material, OrderLine
from kerfsmith.shop.rack import Bar, BarKind, Rack
from kerfsmith.shop.rules import ShopRules

ROUND, WIDER = Section("round 80 mm", Round(80.0)), Section("round 85 mm", Round(85.0))
KG_PER_M = math.pi * 0.04**2 * 7850
EFFORT = Effort(seconds=1e6, seed=1, now=itertools.repeat(0.0).__next__, should_stop=lambda: False)
"""A clock that stands still: every search runs to its end."""


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    # One saw with a grip of 100 mm and a facing cut of 10 mm: round figures to reckon with.
    tables = package_tables()
    saw = replace(tables.saws[0], least_grip_mm=100.0, facing_mm=10.0, max_bar_length_mm=12_000.0)
    return replace(tables, saws=(saw,))


def line(name: str, length_mm: int, quantity: int, *or_grades: str, **fields: object) -> OrderLine:
    told = {"grade": "4140", "section": ROUND, "or_grades": or_grades} | fields
    return OrderLine(name, name, length_um=length_mm * 1000, quantity=quantity, **told)  # type: ignore[arg-type]


def bar(
    name: str,
    length_mm: int,
    count: int,
    grade: str = "4140",
    section: Section = ROUND,
    price: int | None = None,
    kind: BarKind = BarKind.BAR,
    heat: str = "",
) -> Bar:
    worth = None if price is None else Decimal(price)
    return Bar(name, grade, section, length_mm * 1000, count, price=worth, kind=kind, heat=heat)


def planned(
    lines: list[OrderLine], bars: list[Bar], catalog: Catalog, rules: ShopRules | None = None
) -> Plan:
    """The plan, passed by the referee."""
    rack = Rack(tuple(bars))
    run = in_turn(catalog, rules or ShopRules(), EFFORT)
    plan = make_plan(tasks_of(lines, rack), run, plan_id="p", name="p", seed=1)
    assert faults(plan, lines, rack, {saw.id: saw.least_grip_mm for saw in catalog.saws}) == ()
    return plan


def cut_from(plan: Plan, line_id: str) -> dict[str, int]:
    """Pieces of a line by the grade and section they are cut from."""
    found: dict[str, int] = {}
    for group in plan.groups:
        for laid in group.bars:
            for piece, count in laid.each_piece():
                if piece.line_id == line_id:
                    name = f"{group.grade} {group.section.name}"
                    found[name] = found.get(name, 0) + count
    return found


def test_the_substitute_saves_a_bar_to_be_bought(catalog: Catalog) -> None:
    # 4140: one bar of 3000, of which 2890 less a kerf a piece are to be had: two of 1000. Two more are
    # wanted. 4142: a remnant of 2500, of which 2390: two of 1000. Without it a second bar of 3000 is bought.
    bars = [bar("A", 3000, 1), bar("B", 2500, 1, "4142", kind=BarKind.REMNANT)]
    short = planned([line("p", 1000, 4)], bars, catalog)
    assert (short.groups[0].status, short.groups[0].bars_to_buy) == (PlanStatus.SHORT, 1)
    plan = planned([line("p", 1000, 4, "4142")], bars, catalog)
    assert cut_from(plan, "p") == {"4140 round 80 mm": 2, "4142 round 80 mm": 2}
    assert [group.status for group in plan.groups] == [PlanStatus.BEST, PlanStatus.BEST]
    price = plan.groups[0].substitutes_price
    assert price is not None
    assert (price.pieces, price.to_buy, price.bars, price.runs, price.is_proven) == (0, 1, 0, -1, True)
    # A bought metre weighs ten, so 10 x 3 m against the remnant's 2.5 m.
    assert price.cost == pytest.approx((30.0 - 2.5) * KG_PER_M, rel=1e-6)
    assert price.cost_unit == "kg of bar, bought bars x10"
    told = plan.groups[1]
    assert [(one.line_id, one.count, one.ordered) for one in told.substituted] == [
        ("p", 2, Material("4140", ROUND))
    ]
    assert (
        "2 × p, ordered in 4140 round 80 mm, are cut from 4142 round 80 mm: the order allows it" in told.notes
    )
    assert "2 × p are cut from 4142 round 80 mm instead: the order allows it" in plan.groups[0].notes
    assert any("1 bar less is to be bought" in note for note in told.notes)
    assert any("1 run more is to be set up" in note for note in told.notes)
    (answer,) = without_substitutes(told)
    assert (answer.change, answer.to_buy, answer.is_proven) == ("without substitutes", 1, True)


def test_what_costs_less_is_taken_and_the_saving_told_in_money(catalog: Catalog) -> None:
    # Two of 1000 fit a bar of 3000 of either: 90 for the one ordered, 60 for the other.
    bars = [bar("A", 3000, 1, price=90), bar("B", 3000, 1, "4142", price=60)]
    plan = planned([line("p", 1000, 2, "4142")], bars, catalog)
    assert cut_from(plan, "p") == {"4142 round 80 mm": 2}
    (group,) = plan.groups
    assert group.substitutes_price is not None
    assert (group.substitutes_price.cost, group.substitutes_price.cost_unit) == (30.0, "EUR")
    assert group.substitutes_price.is_proven


def test_a_run_more_is_weighed_in_money(catalog: Catalog) -> None:
    # Four of 1000: two bars of 3000 at 60, or one of them and a thick remnant that holds the other two. That
    # takes another band: what the saw's time for the change costs decides.
    thick = Section("round 250 mm", Round(250.0))
    saw = catalog.saws[0]
    change = saw.cycle.band_change_s / 3600 * saw.rate_per_hour
    lines = [line("p", 1000, 4, or_sections=(thick,))]
    for saved, taken in ((math.floor(change), False), (math.ceil(change) + 1, True)):
        remnant = bar("B", 2500, 1, section=thick, price=60 - saved, kind=BarKind.REMNANT)
        plan = planned(lines, [bar("A", 3000, 2, price=60), remnant], catalog)
        assert len(plan.groups) == (2 if taken else 1)
        if taken:
            assert len({group.settings[0].band.id for group in plan.groups}) == 2
            price = plan.groups[0].substitutes_price
            assert price is not None
            assert price.cost == saved
            assert price.set_up == pytest.approx(-change, abs=1e-6)
            assert any(f"band changes cost {change:,.2f} EUR more" in note for note in plan.groups[0].notes)
        else:
            told = (
                f"bars would cost {saved:,.2f} EUR less, but band changes {change:,.2f} EUR more: not taken"
            )
            assert any(told in note for note in plan.groups[0].notes)


def test_no_substitute_where_it_saves_nothing(catalog: Catalog) -> None:
    bars = [bar("A", 3000, 1, price=60), bar("B", 3000, 1, "4142", price=60)]
    plan = planned([line("p", 1000, 2, "4142")], bars, catalog)
    assert cut_from(plan, "p") == {"4140 round 80 mm": 2}
    (group,) = plan.groups
    assert group.substituted == ()
    assert any("nothing would be saved by it" in note for note in group.notes)
    assert any(note.endswith("proven") for note in group.notes)


def test_no_more_pieces_are_substituted_than_it_needs(catalog: Catalog) -> None:
    # The bar of 6000 of 4142 is taken for its own piece of 4000 anyway and has room for one of 1000 more;
    # that of 3000 of 4140 has two places. Of two pieces none moves, though one could at no cost; of three one
    # does.
    bars = [bar("A", 3000, 1), bar("B", 6000, 1, "4142")]
    for wanted, moved in ((2, {}), (3, {"4142 round 80 mm": 1})):
        lines = [line("p", 1000, wanted, "4142"), line("q", 4000, 1, grade="4142")]
        assert cut_from(planned(lines, bars, catalog), "p") == {"4140 round 80 mm": 2, **moved}


def test_the_only_source_may_be_one_that_nothing_else_is_ordered_of(catalog: Catalog) -> None:
    # 5000 is too long for bars of 3000, and for the bar to be bought, which is as long as those.
    bars = [bar("A", 3000, 1), bar("B", 6000, 1, "4142")]
    alone = planned([line("p", 5000, 1)], bars, catalog)
    assert alone.pieces_planned == 0
    plan = planned([line("p", 5000, 1, "4142")], bars, catalog)
    assert cut_from(plan, "p") == {"4142 round 80 mm": 1}
    price = plan.groups[0].substitutes_price
    assert price is not None
    assert price.pieces == 1
    (answer,) = without_substitutes(plan.groups[0])
    assert answer.bars is None
    assert answer.reason == "1 piece could not be cut"


def test_sections_are_weighed_by_mass(catalog: Catalog) -> None:
    # Two of 1000: 80 mm from a bar of 3000 is 118.4 kg, 85 mm (44.54 kg/m) from 2500 is 111.4: taken. From
    # 2900, 129.2 kg, it isn't, though shorter.
    lines = [line("p", 1000, 2, or_sections=(WIDER,))]
    for length_mm, taken in ((2500, WIDER), (2900, ROUND)):
        bars = [bar("A", 3000, 1), bar("B", length_mm, 1, section=WIDER)]
        assert cut_from(planned(lines, bars, catalog), "p") == {f"4140 {taken.name}": 2}


def test_either_grade_in_either_section(catalog: Catalog) -> None:
    both = line("p", 1000, 2, "4142", or_sections=(WIDER,))
    names = ["4140 round 80 mm", "4140 round 85 mm", "4142 round 80 mm", "4142 round 85 mm"]
    assert [one.name for one in both.materials] == names
    plan = planned([both], [bar("B", 3000, 1, "4142", WIDER)], catalog)
    assert cut_from(plan, "p") == {"4142 round 85 mm": 2}


def test_other_groups_are_planned_as_before(catalog: Catalog) -> None:
    others = [
        line("x", 700, 5, grade="4130"),
        line("y", 900, 3, grade="4130"),
        line("z", 400, 9, grade="4340"),
    ]
    bars = [
        bar("A", 3000, 1),
        bar("B", 2500, 1, "4142"),
        bar("C", 4000, 3, "4130"),
        bar("D", 6000, 1, "4340"),
    ]
    before = planned([line("p", 1000, 4), *others], bars, catalog)
    after = planned([line("p", 1000, 4, "4142"), *others], bars, catalog)
    for grade in ("4130", "4340"):
        ((was,), (now,)) = ([one for one in plan.groups if one.grade == grade] for plan in (before, after))
        assert was == now
    assert [task.works[0].grade for task in tasks_of(others, Rack(tuple(bars)))] == ["4130", "4340"]


def test_a_leave_that_nothing_can_use_changes_no_bar(catalog: Catalog) -> None:
    bars = [bar("A", 3000, 2)]
    (was,) = planned([line("p", 1000, 4)], bars, catalog).groups
    (now,) = planned([line("p", 1000, 4, "4142")], bars, catalog).groups
    assert (now.bars, now.cost, now.status) == (was.bars, was.cost, was.status)


def test_joined_groups_are_one_task_and_only_they() -> None:
    lines = [
        line("p", 1000, 1, "4142"),
        line("q", 1000, 1, grade="4142"),
        line("r", 1000, 1, "4142", grade="4340"),
        line("s", 1000, 1, grade="4130"),
    ]
    tasks = tasks_of(lines, Rack(()))
    joined = [task for task in tasks if isinstance(task, JoinedTask)]
    assert [[work.grade for work in task.works] for task in joined] == [["4140", "4142", "4340"]]
    assert [work.grade for task in tasks for work in task.works if task not in joined] == ["4130"]
    assert joined_lines(lines, lines[1]) == lines[:3]
    assert joined_lines(lines, lines[3]) == lines[3:]


def test_one_heat_an_order_holds_for_what_is_ordered_of_one_grade(catalog: Catalog) -> None:
    # Bars of 3000 hold two of the three. Freely both bars of 4140 are taken, 20 together; in one heat the
    # three must come from one bar, and that is the one of 4142 for 50.
    bars = [
        bar("A", 3000, 1, price=10, heat="H1"),
        bar("B", 3000, 1, price=10, heat="H2"),
        bar("C", 6000, 1, "4142", price=50, heat="H3"),
    ]
    lines = [line("p", 1000, 3, "4142", order="J1")]
    assert cut_from(planned(lines, bars, catalog), "p") == {"4140 round 80 mm": 3}
    one = planned(lines, bars, catalog, ShopRules(one_heat_an_order=True))
    assert cut_from(one, "p") == {"4142 round 80 mm": 3}
    assert one.groups[0].bars_to_buy == 0


def test_days_still_come_in_their_order(catalog: Catalog) -> None:
    # Two of each are wanted, half of them a day earlier; what is due first gets what was ordered.
    first, second = date(2026, 12, 1), date(2026, 12, 2)
    lines = [line("late", 1000, 2, "4142", due=second), line("soon", 1000, 2, "4142", due=first)]
    bars = [bar("A", 3000, 1), bar("B", 2500, 1, "4142")]
    plan = planned(lines, bars, catalog)
    assert cut_from(plan, "soon") == {"4140 round 80 mm": 2}
    assert cut_from(plan, "late") == {"4142 round 80 mm": 2}
    assert [group.first_due for group in plan.groups] == [first, second]


def test_mitred_pieces_of_two_sections_are_laid_soundly_and_without_proof(catalog: Catalog) -> None:
    tables = package_tables()
    swings = next(saw for saw in tables.saws if max(one.angle_deg for one in saw.capacities) >= 45)
    tables = replace(tables, saws=(swings,))
    lines = [line("p", 1000, 4, or_sections=(WIDER,), angle_a_deg=30.0, angle_b_deg=-30.0)]
    bars = [bar("A", 3000, 1), bar("B", 3000, 1, section=WIDER)]
    plan = planned(lines, bars, tables)
    assert plan.pieces_planned == 4
    assert all(group.substitutes_price and not group.substitutes_price.is_proven for group in plan.groups)
    assert any("isn't proven" in note for note in plan.groups[0].notes)


def test_an_end_no_saw_can_cut_bars_no_other_line_from_its_substitute(catalog: Catalog) -> None:
    # The saw cuts square alone, so m is left out; p goes on as if it weren't there.
    lines = [line("p", 1000, 4, "4142"), line("m", 1000, 1, angle_a_deg=45.0)]
    bars = [bar("A", 3000, 1), bar("B", 2500, 1, "4142", kind=BarKind.REMNANT)]
    plan = planned(lines, bars, catalog)
    assert cut_from(plan, "p") == {"4140 round 80 mm": 2, "4142 round 80 mm": 2}
    assert [one.mark for group in plan.groups for one in group.unplanned] == ["m"]


@pytest.mark.parametrize("seed", range(12))
def test_the_choice_agrees_with_enumeration(seed: int, catalog: Catalog) -> None:
    """Small problems over two grades, every plan of which is tried; prices make one plan the cheapest."""
    chance = Random(seed)
    lines, bars = _small(chance)
    plan = planned(lines, bars, catalog)
    kerf_um = next(group.settings[0].kerf_um for group in plan.groups if group.settings)
    best = enumerate_plans(_as_problem(lines, bars, kerf_um))
    if best is None:
        assert plan.pieces_planned < plan.pieces_wanted or any(group.bars_to_buy for group in plan.groups)
        return
    prices = {one.id: one.price or Decimal(0) for one in bars}
    cost = sum(prices[laid.bar_id] * laid.times for group in plan.groups for laid in group.bars)
    assert plan.pieces_planned == plan.pieces_wanted
    assert best.cost is not None
    assert cost == Decimal(best.cost) / 1_000_000
    assert all(group.substitutes_price is None or group.substitutes_price.is_proven for group in plan.groups)


def _small(chance: Random) -> tuple[list[OrderLine], list[Bar]]:
    wishes: list[tuple[str, tuple[str, ...]]] = [("4140", ("4142",)), ("4142", ()), ("4142", ("4140",))]
    lines = []
    for number in range(3):
        grade, others = wishes[0] if number == 0 else chance.choice(wishes)
        length_mm = chance.choice((600, 900, 1300, 1900))
        lines.append(line(f"p{number}", length_mm, chance.randint(1, 2), *others, grade=grade))
    bars = [
        bar(f"b{number}", chance.choice((1500, 2600, 4100)), 1, chance.choice(("4140", "4142")), price=price)
        for number, price in enumerate(chance.sample(range(20, 90), 4))
    ]
    return lines, bars


def _as_problem(lines: list[OrderLine], bars: list[Bar], kerf_um: int) -> Problem:
    return Problem(
        kerf_um=kerf_um,
        front_trim_um=10_000,
        grip_um=100_000,
        bars=tuple(
            BarStock(one.id, one.length_um, one.count, int((one.price or 0) * 1_000_000), material=one.grade)
            for one in bars
        ),
        pieces=tuple(
            Piece(one.id, one.length_um, one.quantity, materials=(one.grade, *one.or_grades)) for one in lines
        ),
    )


def test_the_referee_wants_what_a_line_allows_and_every_substitute_told(catalog: Catalog) -> None:
    bars = [bar("A", 3000, 1), bar("B", 2500, 1, "4142")]
    allowed = [line("p", 1000, 4, "4142")]
    plan = planned(allowed, bars, catalog)
    grips = {saw.id: saw.least_grip_mm for saw in catalog.saws}
    refused = faults(plan, [line("p", 1000, 4)], Rack(tuple(bars)), grips)
    assert any("isn't what line p asks for" in fault for fault in refused)
    silent = replace(plan, groups=tuple(replace(group, substituted=()) for group in plan.groups))
    (fault,) = faults(silent, allowed, Rack(tuple(bars)), grips)
    assert "2 of line p are substitutes for 4140" in fault
    assert "0 are told" in fault


def test_a_group_is_planned_again_with_the_pieces_it_has(catalog: Catalog) -> None:
    lines = [line("p", 1000, 4, "4142")]
    bars = [bar("A", 3000, 1), bar("B", 2500, 1, "4142")]
    for group in planned(lines, bars, catalog).groups:
        task = task_of(group, lines, Rack(tuple(bars)))
        assert task is not None
        assert (task.work.id, task.work.pieces) == (group.id, 2)
        assert [one.grade for one in task.bars] == [group.grade]
    assert task_of(planned(lines, bars, catalog).groups[0], (), Rack(())) is None


@pytest.mark.parametrize(
    "fields", [{"or_grades": ("4140",)}, {"or_grades": ("4142", "4142")}, {"or_sections": (ROUND,)}]
)
def test_a_substitute_named_twice_or_for_itself_is_refused(fields: dict[str, object]) -> None:
    with pytest.raises(InvalidValue):
        line("p", 1000, 1, **fields)
