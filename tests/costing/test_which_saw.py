"""Which saw: the arithmetic of limits, a year replayed on hand-made saws, pay-back and its sensitivity."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache

import pytest
from tests.costing import shop

from kerfsmith.catalog.saw import Capacity, SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.costing.rates import Span
from kerfsmith.costing.reckoning import Driver
from kerfsmith.costing.which_saw.accuracy import check_lengths
from kerfsmith.costing.which_saw.compare import Comparison, which_saw
from kerfsmith.costing.which_saw.document import comparison_document
from kerfsmith.costing.which_saw.limits_reached import length_at_load_mm, time_ruled
from kerfsmith.costing.which_saw.pay_back import Offer, Steps
from kerfsmith.costing.which_saw.saw_year import ShopYear
from kerfsmith.costing.which_saw.workload import (
    Workload,
    YearlyRow,
    from_history,
    from_order_book,
    from_yearly,
)
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.measures import mass_kg_per_m
from kerfsmith.geometry.shapes import Flat, Round
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.lengths import Promise, spread
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.plan import Plan
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.money import Money
from kerfsmith.units.show import KG_PER_LB
from kerfsmith.units.told import Told

INCH = 25.4
RATES = shop.rates(
    metal_per_kg={"steel": Span.sure(Decimal("1.50")), "aluminium": Span.sure(Decimal("5.00"))}
)


def planner(lines: Sequence[OrderLine], saw: SawSheet) -> Plan:
    """Every saw alone; the same lines get the same one of several best plans, so that money compares."""
    return planned(tuple(lines), saw)


@cache
def planned(lines: tuple[OrderLine, ...], saw: SawSheet) -> Plan:
    """Lines on bars of 6 m from the rack, which no saw's limit shortens."""
    kinds = {(line.grade, line.section.key): line for line in lines}
    stock = [
        Bar(
            f"{line.grade} {line.section.name}",
            line.grade,
            line.section,
            6_000_000,
            500,
        )
        for line in kinds.values()
    ]
    effort = Effort(seconds=1e6, seed=1, now=itertools.count().__next__, should_stop=lambda: False)
    run = in_turn(shop.catalog(saw), ShopRules(), effort)
    return make_plan(tasks_of(lines, Rack(tuple(stock))), run, plan_id="p", name="p", seed=1)


def compared(lines: Sequence[OrderLine], *saws: SawSheet, **more: object) -> Comparison:
    work = from_order_book("work", lines, times_a_year=Decimal(50))
    return which_saw(work, saws, shop.catalog(*saws), RATES, planner, **more)  # type: ignore[arg-type]  # real names


def steel(name: str, diameter_mm: float, length_um: int, quantity: int, **changes: object) -> OrderLine:
    plain = OrderLine(
        name, name, "1045", Section(f"round {diameter_mm:g} mm", Round(diameter_mm)), length_um, quantity
    )
    return replace(plain, **changes)  # type: ignore[arg-type]  # a test names real fields


SLOW = shop.saw()
QUICK = shop.saw(
    id="quick",
    name="Quick saw",
    shuttle_stroke_mm=1_300,
    cycle=replace(SLOW.cycle, load_bar_s=60.0, index_fixed_s=1.0, head_return_s=2.0, unload_piece_s=1.0),
)


# common practice: the worked figures of a bar-feed shuttle that carries 5,000 lb with a 25 in stroke, for a
# 17 in round steel bar at 0.2836 lb/in3: 64.4 lb an inch, limit reached at 77.7 in, 60 in in three strokes.
def test_load_limit_and_strokes_of_a_large_round() -> None:
    density = 0.2836 * KG_PER_LB / (INCH / 1000) ** 3
    area_mm2 = Round(17 * INCH).outline().area_mm2
    kg_per_m = mass_kg_per_m(area_mm2, density)
    assert kg_per_m / KG_PER_LB * INCH / 1000 == pytest.approx(64.4, abs=0.05)
    assert length_at_load_mm(5_000 * KG_PER_LB, kg_per_m) / INCH == pytest.approx(77.7, abs=0.05)
    shuttle = shop.saw(shuttle_stroke_mm=25 * INCH, load_limit_kg=5_000 * KG_PER_LB)
    assert shuttle.strokes(60 * INCH) == 3


# common practice: as above, with the bar 6 m long (236.2 in, so 15 212 lb), three times what it carries.
def test_a_bar_over_the_load_limit_is_refused_with_the_figure_to_reach() -> None:
    shuttle = shop.saw(
        id="shuttle",
        load_limit_kg=5_000 * KG_PER_LB,
        shuttle_stroke_mm=25 * INCH,
        capacities=(Capacity(0, 17 * INCH, 17 * INCH, 20 * INCH, 17 * INCH),),
        head_travel_mm=500,
        guide_span_max_mm=600,
        motor_kw=7.5,
    )
    strong = replace(shuttle, id="strong", name="Strong saw", load_limit_kg=8_000.0)
    line = steel("big", 17 * INCH, round(60 * INCH * 1000), 3)
    found = compared([line], shuttle, strong)
    refused = found.of("shuttle")
    assert [one.misfits[0].dimension for one in refused.year.cannot] == ["bar mass"]
    special = next(one for one in refused.specials if one.figure == "bar mass")
    # 7850 kg/m3 is 0.2836 lb/in3: 64.4 lb/in x 236.2 in by hand.
    assert special.must_reach / KG_PER_LB == pytest.approx(64.4 * 6_000 / INCH, rel=0.003)
    assert special.has == pytest.approx(5_000 * KG_PER_LB)
    load = next(reach for reach in found.of("strong").reaches if reach.limit == "load")
    assert load.share == pytest.approx(special.must_reach / 8_000)
    stroke = next(one for one in found.of("strong").specials if one.figure == "shuttle stroke")
    assert 60 * INCH < stroke.must_reach < 60 * INCH + 5
    # Three strokes where one would do: two fixed times for each of 3 pieces, 50 times a year.
    assert stroke.hours == pytest.approx(2 * SLOW.cycle.index_fixed_s * 150 / 3600)


def test_a_year_is_the_lot_so_many_times() -> None:
    lines = [steel("a", 80, 500_000, 20), steel("b", 80, 300_000, 10)]
    found = compared(lines, SLOW, QUICK)
    year = found.of("plain").year
    times = year.plan.groups[0].times
    worn = sum(line.bands[1] for line in year.lines if line.bands) * SLOW.cycle.band_change_s
    assert float(year.pieces_a_year) == 30 * 50
    assert year.hours()[1] == pytest.approx(50 * (times.total_s + 600 + worn) / 3600)
    assert year.hours()[0] < year.hours()[1] < year.hours()[2]
    bands = year.bands_a_year()
    assert bands is not None
    assert bands[0] < bands[1] < bands[2]
    assert year.year_cost().amount.amount == pytest.approx(50 * year.cost.total.amount)
    shift = year.pieces_a_shift(ShopYear(shift_hours=8, availability=0.5))
    assert shift == pytest.approx(1_500 / year.hours()[1] * 4)


def test_what_does_not_fit_is_told_and_left_out_of_the_common_work() -> None:
    lines = [steel("small", 80, 500_000, 20), steel("thick", 320, 300_000, 4)]
    wide = replace(
        QUICK, capacities=(Capacity(0, 400, 400, 450, 400),), head_travel_mm=450, load_limit_kg=4_000
    )
    found = compared(lines, SLOW, wide)
    assert [one.line.id for one in found.of("plain").year.cannot] == ["thick"]
    assert found.common == {"small"}
    special = next(one for one in found.of("plain").specials if one.figure == "diameter")
    assert (special.has, special.must_reach, special.pieces_a_year) == (300, 320, 200)
    assert not found.of("quick").year.cannot


def test_a_grade_that_wants_more_speed_names_the_speed() -> None:
    line = OrderLine("al", "al", "6061", Section("round 60 mm", Round(60.0)), 200_000, 30)
    found = compared([line], SLOW, QUICK)
    special = next(one for one in found.of("plain").specials if one.figure == "band speed")
    wanted = found.of("plain").year.plan.groups[0].settings[0].wanted_speed_m_per_min
    assert special.must_reach == wanted > SLOW.band_speed_max_m_per_min
    assert special.hours > 0


def test_metal_without_a_price_is_no_reason_why_a_saw_cannot() -> None:
    lines = [
        steel("a", 80, 500_000, 20),
        OrderLine("n", "n", "625", Section("round 60 mm", Round(60.0)), 200_000, 5),
    ]
    found = compared(lines, SLOW, QUICK)
    assert found.of("plain").year.cannot == ()
    assert [one.line.id for one in found.of("plain").year.unpriced] == ["n"]
    assert any("n is in no figure: no price is known" in words for words in found.assumptions)


def test_small_pieces_in_number_ask_for_hold_downs() -> None:
    bare = replace(SLOW, capacities=(Capacity(0, 300, 300, 400, 300),))
    line = OrderLine("pin", "pin", "1018", Section("flat 40 x 20 mm", Flat(40.0, 20.0)), 60_000, 60)
    special = next(
        one
        for one in compared([line], bare, QUICK).of("plain").specials
        if one.figure == "hold-downs for bundles"
    )
    assert special.has == 0
    assert special.must_reach >= 40
    assert special.hours > 0


def test_time_ruled_is_all_of_the_time() -> None:
    found = compared([steel("a", 80, 500_000, 20), steel("b", 200, 300_000, 5)], SLOW, QUICK)
    shares = [share for _, share in time_ruled(found.of("plain").year)]
    assert sum(shares) == pytest.approx(1)
    assert shares == sorted(shares, reverse=True)


def test_lengths_spread_with_strokes_and_faces_lean_with_height() -> None:
    tight = steel("tight", 80, 1_400_000, 4, plus_um=300, minus_um=200)
    loose = steel("loose", 200, 400_000, 4, plus_um=400, minus_um=400)
    checks = {
        one.line.line.id: one for one in check_lengths(compared([tight, loose], SLOW, QUICK).of("plain").year)
    }
    # By hand: 3 strokes of 500 for 1.4 m, each off 0.1 either way: 0.3 of the 0.25 around the middle; with
    # independent strokes 0.1 x root 3 = 0.173 (JCGM 100:2008, 5.1.2). One stroke for 0.4 m: 0.1 of 0.4.
    # 0.002 of 80 mm and of 200 mm is what the faces lean, whatever the length.
    assert checks["tight"].spread.strokes == 3
    assert checks["tight"].spread.worst_mm == pytest.approx(0.3)
    assert checks["tight"].spread.usual_mm == pytest.approx(0.1 * math.sqrt(3))
    assert checks["tight"].spread.allowed_mm == pytest.approx(0.25)
    assert checks["tight"].verdict is Promise.FIRST_PIECE
    assert checks["tight"].out_of_square_mm == pytest.approx(0.16)
    assert checks["loose"].spread.worst_mm == pytest.approx(0.1)
    assert checks["loose"].verdict is Promise.HOLDS
    assert checks["loose"].out_of_square_mm == pytest.approx(0.4)


def test_a_saw_is_judged_on_lengths_as_the_plan_judges_it() -> None:
    lines = [
        steel(f"l{length}", 80, length, 4, plus_um=plus, minus_um=minus)
        for length in (300_000, 900_000, 2_300_000)
        for plus, minus in ((150, 150), (300, 0), (100, 1000), (2000, 2000))
    ]
    for check in check_lengths(compared(lines, SLOW, QUICK).of("plain").year):
        assert check.spread == spread(check.line.line, SLOW, check.line.group.settings[0].kerf_um)


def test_an_unstated_tolerance_is_the_standards() -> None:
    line = steel("free", 80, 400_000, 4)
    check = check_lengths(compared([line], SLOW, QUICK).of("plain").year)[0]
    # ISO 2768-1 class m, up to 400 mm: +-0.5.
    assert (check.spread.allowed_mm, check.stated) == (0.5, False)


@pytest.fixture(scope="module")
def paid() -> Comparison:
    offers = (Offer("quick", Money(Decimal(20_000), "EUR")),)
    return compared([steel("a", 80, 800_000, 40)], SLOW, QUICK, offers=offers)


def test_pay_back_leaves_the_saws_own_price_out_of_its_hour(paid: Comparison) -> None:
    found = paid.pay_backs[0]
    old, new = (paid.of(name).year.year_cost().by_driver for name in ("plain", "quick"))
    # By hand: all costs a year less half of each saw's hours, the new from the old.
    half = {Driver.SAW_HOUR: Decimal("0.5")}
    saving = sum((old[driver] - new[driver]) * half.get(driver, Decimal(1)) for driver in old)
    assert found.saving.amount == pytest.approx(saving)
    assert found.years == pytest.approx(Decimal(20_000) / saving)
    assert found.saving_low <= found.saving <= found.saving_high


def test_each_case_brackets_the_pay_back(paid: Comparison) -> None:
    found = paid.pay_backs[0]
    assert found.years is not None
    names = {str(case.name): case for case in found.cases}
    for case in (names["volume ±20%"], names["price of the saw ±10%"], names["saw hour ±20%"]):
        assert case.better is not None
        assert case.worse is not None
        assert case.better < found.years < case.worse
    # By hand: price a tenth up and down, saving a fifth down and up.
    assert names["price of the saw ±10%"].worse == pytest.approx(found.years * Decimal("1.1"))
    assert names["volume ±20%"].worse == pytest.approx(found.years / Decimal("0.8"))


def test_a_saw_that_saves_nothing_never_pays() -> None:
    offers = (Offer("plain", Money(Decimal(20_000), "EUR")),)
    found = compared([steel("a", 80, 800_000, 40)], SLOW, QUICK, offers=offers, against="quick").pay_backs[0]
    assert found.years is None
    assert "costs no less" in found.reason


def test_more_capital_in_the_hour_means_less_to_save() -> None:
    lines = [steel("a", 80, 800_000, 40)]
    offers = (Offer("quick", Money(Decimal(20_000), "EUR")),)
    savings = [
        compared(lines, SLOW, QUICK, offers=offers, steps=Steps(capital_share=share))
        .pay_backs[0]
        .saving.amount
        for share in (Decimal(0), Decimal("0.5"), Decimal(1))
    ]
    assert savings == sorted(savings, reverse=True)


def test_a_workload_from_a_sheet_of_yearly_quantities() -> None:
    section = Section("round 80 mm", Round(80.0))
    work = from_yearly(
        "year", [YearlyRow("1045", section, 500_000, 1_000, 40), YearlyRow("1045", section, 9_000, 5, 40)]
    )
    assert work.pieces_a_year == 1_005
    assert [line.quantity for line in work.lines] == [40, 5]
    assert [work.times(line) for line in work.lines] == [25, 1]


def test_a_history_is_brought_to_a_year() -> None:
    line = steel("a", 80, 500_000, 100)
    work = from_history("past", [line], first=date(2025, 1, 1), last=date(2025, 12, 31))
    assert float(work.pieces_a_year) == pytest.approx(100 * 365.25 / 365)
    with pytest.raises(InvalidValue):
        from_history("past", [line], first=date(2025, 2, 1), last=date(2025, 1, 1))


def test_a_comparison_takes_two_saws() -> None:
    work = Workload("w", (steel("a", 80, 500_000, 1),), {"a": Decimal(1)}, Told("test"))
    with pytest.raises(InvalidValue):
        which_saw(work, [SLOW], shop.catalog(SLOW), RATES, planner)


def test_the_document_tells_every_saw(paid: Comparison) -> None:
    document = comparison_document(paid)
    assert [saw["saw"] for saw in document["saws"]] == ["plain", "quick"]
    assert document["pay_back"][0]["years"] == pytest.approx(float(paid.pay_backs[0].years or 0))
    assert document["sources"]
    assert all(
        {"limit", "share", "where"} <= reach.keys() for saw in document["saws"] for reach in saw["limits"]
    )
