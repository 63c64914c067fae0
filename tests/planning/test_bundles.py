"""Bars cut at once in real plans; each case is worked by hand beside it."""

import itertools
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import partial
from random import Random

import pytest
from tests.planning.saws import make_saw

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import Capacity
from kerfsmith.catalog.section import Section
from kerfsmith.costing.plan_cost import cost_plan
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.seconds import part_work, sawing_seconds, settings_by_cut
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.shapes import Flat, RectTube
from kerfsmith.library.load import load_catalog
from kerfsmith.nesting.problem import Placed
from kerfsmith.nesting.result import Run
from kerfsmith.planning.check import faults
from kerfsmith.planning.make_plan import GroupTask, in_turn, make_plan, tasks_of
from kerfsmith.planning.nest_group import Effort
from kerfsmith.planning.plan import ForLine, Plan, PlanGroup, PlannedBar
from kerfsmith.planning.share_loads import Load, LoadRules, shared
from kerfsmith.planning.times import group_times, idle_seconds_per_cut, index_seconds
from kerfsmith.planning.weigh_loads import IN_LOADS, WITHOUT_LOADS, weigh_loads
from kerfsmith.planning.work import Work
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import NextAim, ShopRules

TUBE = Section("SHS 60x60x6", RectTube(60.0, 60.0, 6.0, 12.0, 6.0))
GRADE = "S355J2H"
EFFORT = Effort(seconds=1e6, seed=1, now=itertools.repeat(0.0).__next__, should_stop=lambda: False)
BY_LOADS = ShopRules(most_at_once=5, next_aims=(NextAim.FEW_LOADS,))


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    # Clamps of 300 x 100 mm hold five tubes of 60 side by side and none above another. No facing, no grip.
    square = Capacity(0, 300, 300, 400, 300, bundle_width_mm=300, bundle_height_mm=100)
    saw = make_saw(
        capacities=(square, Capacity(45, 250, 240, 260, 280)),
        least_grip_mm=0,
        facing_mm=0,
        load_limit_kg=5_000,
    )
    return replace(load_catalog(), saws=(saw,))


def line(name: str, length_mm: int, quantity: int, **more: object) -> OrderLine:
    return OrderLine(name, name, GRADE, TUBE, length_mm * 1000, quantity, **more)  # type: ignore[arg-type]


def rack(length_mm: int = 6000, count: int = 20, **more: object) -> Rack:
    return Rack((Bar("T", GRADE, TUBE, length_mm * 1000, count, **more),))  # type: ignore[arg-type]


def planned(lines: list[OrderLine], stock: Rack, catalog: Catalog, rules: ShopRules) -> Plan:
    plan = make_plan(tasks_of(lines, stock), in_turn(catalog, rules, EFFORT), plan_id="p", name="p", seed=1)
    grips = {saw.id: saw.least_grip_mm for saw in catalog.saws}
    assert faults(plan, lines, stock, grips, rules) == ()
    return plan


def group(lines: list[OrderLine], stock: Rack, catalog: Catalog, rules: ShopRules) -> PlanGroup:
    return planned(lines, stock, catalog, rules).groups[0]


CASE = [line("a", 1990, 10), line("b", 1490, 10)]
"""The worked case: 10 x 2000 and 10 x 1500, each 10 mm shorter so that kerfs go in."""


def test_six_bars_ten_strokes_three_loads(catalog: Catalog) -> None:
    # 10 x 2000 + 10 x 1500 = 35000 on bars of 6000: 6 bars. Two bars of 2000 x 3, two of 2000 x 2 + 1500, two
    # of 1500 x 4 are three loads of 3 + 3 + 4 cuts. Two loads can't do: five bars alike and one, or four and
    # two, or three and three hold ten of each piece only where one of them holds more than 6000.
    rules = replace(BY_LOADS, next_aims=(NextAim.FEW_LOADS, NextAim.FEW_CUTS))
    found = group(CASE, rack(), catalog, rules)
    assert (found.bars_used, found.loads) == (6, 3)
    assert sum(bar.loads * len(bar.pieces) for bar in found.bars) == 10
    assert [(aim.value, aim.best) for aim in found.next_aims] == [(3, 3), (10, 10)]
    used = {bar.at_once for bar in found.bars if bar.at_once > 1}
    assert {one.bundle for one in found.bundle_settings} == used
    alone = group(CASE, rack(), catalog, ShopRules(next_aims=(NextAim.FEW_LOADS,)))
    assert (alone.bars_used, alone.loads, alone.bundle_settings) == (6, 6, ())
    assert alone.cost == found.cost == 36.0


def test_a_load_takes_one_cut_and_its_loading(catalog: Catalog) -> None:
    # Four bars of two pieces in one load: two cuts and two feeds in place of eight, each piece put down, and
    # the first bar loaded in 240 s, each further one in half of it.
    saw = catalog.saws[0]
    found = group([line("a", 2900, 8)], rack(), catalog, BY_LOADS)
    assert [(bar.times, bar.at_once, bar.loads) for bar in found.bars] == [(4, 4, 1)]
    through = found.setting_for(0.0, 4)
    assert through is not None
    square = found.settings[0]
    assert found.times.sawing_s == pytest.approx(2 * through.cut_seconds)
    kerf_mm = square.kerf_um / 1000
    feeding = 2 * (idle_seconds_per_cut(saw) + index_seconds(saw, 2900 + kerf_mm))
    assert found.times.indexing_s == pytest.approx(feeding)
    assert found.times.loading_s == pytest.approx(240 + 3 * 120)
    assert found.times.unloading_s == pytest.approx(8 * saw.cycle.unload_piece_s)
    alone = group([line("a", 2900, 8)], rack(), catalog, ShopRules())
    assert alone.times.sawing_s == pytest.approx(8 * square.cut_seconds)
    assert alone.times.loading_s == pytest.approx(4 * 240)
    saved = (alone.times.total_s - found.times.total_s) / 60
    assert f"4 bars are cut 4 at once, which saves {saved:.0f} min" in " ".join(found.notes)


def test_the_vise_sets_the_limit_and_says_so(catalog: Catalog) -> None:
    found = group([line("a", 2900, 24)], rack(), catalog, replace(BY_LOADS, most_at_once=8))
    assert max(bar.at_once for bar in found.bars) == 5
    # 6 x 60 = 360 mm in one row; in two rows 120 mm, over the clamps' 100.
    assert any("no more than 5 at once: for 6" in note and "the saw's" in note for note in found.notes)


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ([line("a", 2900, 8), line("m", 900, 2, angle_a_deg=45.0)], "m has mitred ends"),
        ([line("a", 2900, 8), line("t", 900, 2, plus_um=500, minus_um=500)], "t may be off by 0.5 mm"),
        ([line("t", 900, 8, plus_um=1_500, minus_um=0)], "t may be off by 0.75 mm either way"),
    ],
)
def test_mitres_and_close_lengths_are_cut_bar_by_bar(
    lines: list[OrderLine], says: str, catalog: Catalog
) -> None:
    found = group(lines, rack(), catalog, BY_LOADS)
    assert {bar.at_once for bar in found.bars} == {1}
    assert any(says in note for note in found.notes)


def test_the_shops_tolerance_decides(catalog: Catalog) -> None:
    lines = [line("t", 2900, 8, plus_um=500, minus_um=500)]
    assert group(lines, rack(), catalog, replace(BY_LOADS, bundle_tolerance_um=500)).loads == 1
    assert group(lines, rack(), catalog, replace(BY_LOADS, bundle_tolerance_um=501)).loads == 4


def test_a_saw_without_clamps_for_bundles_cuts_bar_by_bar(catalog: Catalog) -> None:
    bare = replace(catalog.saws[0], capacities=(Capacity(0, 300, 300, 400, 300),))
    found = group([line("a", 2900, 8)], rack(), replace(catalog, saws=(bare,)), BY_LOADS)
    assert {bar.at_once for bar in found.bars} == {1}
    assert any("no bundle clamps" in note for note in found.notes)


def test_the_load_limit_counts_all_bars_of_a_load(catalog: Catalog) -> None:
    # One bar weighs what the group says a metre weighs, times 6; two go, three don't.
    one_kg = 6 * group([line("a", 2900, 8)], rack(), catalog, BY_LOADS).mass_kg_per_m
    light = replace(catalog.saws[0], load_limit_kg=2.5 * one_kg)
    found = group([line("a", 2900, 8)], rack(), replace(catalog, saws=(light,)), BY_LOADS)
    assert [bar.at_once for bar in found.bars] == [2]
    assert found.bars[0].loads == 2


def test_bars_of_a_load_may_serve_several_lines(catalog: Catalog) -> None:
    # Three of A1 and five of B2, alike: four bars of two at once. The first place serves A1 three times and
    # B2 once, the second B2 four times.
    lines = [line("A1", 2900, 3, due=date(2026, 12, 1)), line("B2", 2900, 5, due=date(2026, 12, 2))]
    rules = replace(BY_LOADS, keep_due_order=False)
    (bar,) = group(lines, rack(), catalog, rules).bars
    assert (bar.times, bar.at_once) == (4, 4)
    first, second = bar.pieces
    assert bar.of_load(first) == {ForLine("A1", "A1"): 3, ForLine("B2", "B2"): 1}
    assert bar.of_load(second) == {ForLine("B2", "B2"): 4}
    assert second.others == ()
    assert [[piece.mark for piece in bar.laid(at)] for at in range(4)] == [["A1", "B2"]] * 3 + [["B2", "B2"]]
    counts = dict.fromkeys(("A1", "B2"), 0)
    for piece, count in bar.each_piece():
        counts[piece.line_id] += count
    assert counts == {"A1": 3, "B2": 5}


def test_bars_alike_share_a_load_though_due_on_several_days(catalog: Catalog) -> None:
    # Two bars of two for either day: one load of four serves both, and it is cut where the first would be.
    lines = [line("A", 2900, 4, due=date(2026, 12, 1)), line("B", 2900, 4, due=date(2026, 12, 2))]
    found = group(lines, rack(), catalog, BY_LOADS)
    (bar,) = found.bars
    assert (bar.times, bar.at_once) == (4, 4)
    for piece in bar.pieces:
        assert bar.of_load(piece) == {ForLine("A", "A"): 2, ForLine("B", "B"): 2}
    assert [(aim.value, aim.best) for aim in found.next_aims] == [(1, None)]


def test_a_load_is_shared_only_where_no_day_waits_for_more_loads() -> None:
    # Four bars and then two, three or four at once: 4 + 1 + 1 as they are, 3 + 3 together. The first day's
    # four would be through after the second load, not after the first. A day without dates goes last.
    kinds = {"A": [line("A", 2900, 8)], "B": [line("B", 2900, 4)]}
    first, second = (
        Run("T", loads, (Placed(name),) * 2, 0, 2) for name, loads in (("A", (4,)), ("B", (1, 1)))
    )
    loads = [Load((first,) * 4, False), Load((second,), False), Load((second,), False)]
    days = {"A": date(2026, 12, 1), "B": date(2026, 12, 2)}

    def due(load: Load) -> date:
        return days[load.runs[0].placed[0].piece]

    rules = LoadRules(frozenset({3, 4}), few=True)
    assert [load.bars for load in shared(loads, kinds, rules, due)] == [4, 1, 1]
    same_day = shared(loads, kinds, rules, lambda _: date(2026, 12, 1))
    assert [[run.placed[0].piece for run in load.runs] for load in same_day] == [["A"] * 3, ["A", "B", "B"]]


def test_what_is_due_first_is_not_held_up_by_a_load(catalog: Catalog) -> None:
    # Due days kept apart: two bars for the first day, two for the second, of other lengths.
    lines = [line("A", 2900, 4, due=date(2026, 12, 1)), line("B", 2800, 4, due=date(2026, 12, 2))]
    found = group(lines, rack(), catalog, BY_LOADS)
    assert [(bar.pieces[0].mark, bar.times, bar.at_once) for bar in found.bars] == [("A", 2, 2), ("B", 2, 2)]


def test_bars_whose_ends_are_kept_and_scrapped_share_no_load(catalog: Catalog) -> None:
    # Each of four bars leaves about 3100; only one new remnant may be kept.
    rules = replace(BY_LOADS, most_new_remnants=1, next_aims=(NextAim.REMNANT_WORTH, NextAim.FEW_LOADS))
    found = group([line("a", 2900, 4)], rack(length_mm=6000, count=4), catalog, rules)
    for bar in found.bars:
        assert sum(one.times for one in found.bars if one.keep) <= 1
        assert bar.times % bar.at_once == 0


def test_saw_hours_decide_where_the_shop_wants_it(catalog: Catalog) -> None:
    rules = replace(BY_LOADS, next_aims=(NextAim.SAW_HOURS,))
    found = group(CASE, rack(), catalog, rules)
    alone = group(CASE, rack(), catalog, replace(rules, most_at_once=1))
    assert found.cost == alone.cost
    assert found.times.total_s < alone.times.total_s
    (aim,) = found.next_aims
    # Loads and cuts of the plan at the milliseconds they were weighed at: no more than the whole time.
    assert 0 < aim.value * 3600 < found.times.total_s


def test_rules_off_leaves_plans_as_they_were(catalog: Catalog) -> None:
    found = group(CASE, rack(), catalog, ShopRules())
    assert {bar.at_once for bar in found.bars} == {1}
    assert found.bundle_settings == ()
    assert not any("at once" in note for note in found.notes)


BAD_LOADS = [
    (lambda bar: object.__setattr__(bar, "at_once", 3), "don't make loads of 3"),
    (lambda bar: object.__setattr__(bar, "at_once", 4), "no setting for 4 at once"),
    (
        lambda bar: object.__setattr__(
            bar, "pieces", (replace(bar.pieces[0], angle_b_deg=10.0), *bar.pieces[1:])
        ),
        "a mitred piece lies in a bundle",
    ),
    (
        lambda bar: object.__setattr__(
            bar, "pieces", (replace(bar.pieces[0], others=(ForLine("b", "b"),)), *bar.pieces[1:])
        ),
        "line a: 8 wanted, 6 accounted for",
    ),
]


@pytest.mark.parametrize(("spoil", "says"), BAD_LOADS)
def test_the_referee_finds_what_is_wrong_with_a_load(spoil: object, says: str, catalog: Catalog) -> None:
    lines = [line("a", 2900, 8)]
    plan = planned(lines, rack(), catalog, replace(BY_LOADS, most_at_once=2))
    bar = plan.groups[0].bars[0]
    assert (bar.times, bar.at_once) == (4, 2)
    spoil(bar)  # type: ignore[operator]
    grips = {saw.id: saw.least_grip_mm for saw in catalog.saws}
    found = faults(plan, lines, rack(), grips, BY_LOADS)
    assert any(says in fault for fault in found), found


def test_the_referee_holds_the_shops_rules_of_bundles(catalog: Catalog) -> None:
    lines = [line("a", 2900, 8, plus_um=1_000, minus_um=1_000)]
    plan = planned(lines, rack(), catalog, BY_LOADS)
    check = partial(faults, plan, lines, rack(), {catalog.saws[0].id: 0.0})
    assert check(BY_LOADS) == ()
    assert any("4 at once, the shop allows 2" in one for one in check(replace(BY_LOADS, most_at_once=2)))
    tight = check(replace(BY_LOADS, bundle_tolerance_um=1_001))
    assert any("too close for bars at once" in one for one in tight)


def test_a_planned_bar_makes_whole_loads(catalog: Catalog) -> None:
    bar = group([line("a", 2900, 8)], rack(), catalog, BY_LOADS).bars[0]
    with pytest.raises(InvalidValue, match="don't make loads of 3"):
        replace(bar, at_once=3)
    with pytest.raises(InvalidValue, match="as many lines"):
        replace(bar, pieces=(replace(bar.pieces[0], others=(ForLine("b", "b"),)), *bar.pieces[1:]))


def test_old_documents_are_read_as_bars_cut_alone(catalog: Catalog) -> None:
    found = group([line("a", 2900, 8)], rack(), catalog, ShopRules())
    document = to_document(found, PlanGroup)
    assert from_document(document, PlanGroup) == found
    del document["bundle_settings"]
    for bar in document["bars"]:
        del bar["at_once"]
        for piece in bar["pieces"]:
            del piece["others"]
    assert from_document(document, PlanGroup) == found
    bundled = group([line("a", 2900, 8)], rack(), catalog, BY_LOADS)
    assert from_document(to_document(bundled, PlanGroup), PlanGroup) == bundled


def test_times_of_cuts_through_loads_are_the_settings_own(catalog: Catalog) -> None:
    found = group(CASE, rack(), catalog, BY_LOADS)
    settings = {one.angle_deg: one for one in found.settings}
    again = group_times(found.bars, settings, catalog.saws[0], (), found.bundle_settings)
    assert again == found.times
    assert isinstance(found.bars[0], PlannedBar)


def test_costs_part_a_load_among_its_lines(catalog: Catalog) -> None:
    # Three of A1 and five of B2 on four bars at once: two passes, of which A1's pieces take three eighths.
    lines = [line("A1", 2900, 3), line("B2", 2900, 5)]
    plan = planned(lines, rack(price=Decimal(50)), catalog, BY_LOADS)
    (found,), saw = plan.groups, catalog.saws[0]
    through = found.setting_for(0.0, 4)
    assert through is not None
    work = part_work(found, saw)
    settings = settings_by_cut(found)
    first, second = (sawing_seconds(one.cuts, settings)[1] for one in work.lines)
    assert first == pytest.approx(2 * through.cut_seconds * 3 / 8)
    assert first + second == pytest.approx(found.times.sawing_s)
    assert sum(one.feeding_s for one in work.lines) == pytest.approx(found.times.indexing_s)
    assert work.loading_s == pytest.approx(found.times.loading_s)
    cost = cost_plan(plan, lines, catalog, Rates(), rack=rack(price=Decimal(50)).bars)
    assert sum(one.area_cm2 for one in cost.lines) == pytest.approx(2 * through.area_cm2)
    a1, b2 = (cost.of_line(name) for name in ("A1", "B2"))
    assert a1 is not None
    assert b2 is not None
    assert (a1.pieces, b2.pieces, a1.missing, b2.missing) == (3, 5, 0, 0)


def test_what_bars_at_once_save_is_told_either_way(catalog: Catalog) -> None:
    lines = [line("a", 2900, 8)]
    task = GroupTask(Work(GRADE, TUBE, tuple(lines)), rack().bars)
    bundled, alone = (group(lines, rack(), catalog, rules) for rules in (BY_LOADS, ShopRules()))
    saved = (alone.times.total_s - bundled.times.total_s) / 3600
    (without,) = weigh_loads(bundled, task, catalog, BY_LOADS)
    assert (without.change, without.taken_away, without.bars, without.cost) == (WITHOUT_LOADS, True, 0, 0.0)
    assert without.hours == pytest.approx(saved)
    # The shop that cuts each alone is told what up to six at once would save: four bars, five can be clamped.
    (wish,) = weigh_loads(alone, task, catalog, ShopRules())
    assert (wish.change, wish.taken_away) == (IN_LOADS, False)
    assert wish.hours == pytest.approx(-saved)
    tight = [line("t", 2900, 8, plus_um=100, minus_um=100)]
    task = GroupTask(Work(GRADE, TUBE, tuple(tight)), rack().bars)
    assert list(weigh_loads(group(tight, rack(), catalog, ShopRules()), task, catalog, ShopRules())) == []


def test_a_top_row_that_is_not_full_is_not_held(catalog: Catalog) -> None:
    # Clamps of 130 x 130 mm: two of 60 side by side, four in two rows; three would lie two and one.
    square = Capacity(0, 300, 300, 400, 300, bundle_width_mm=130, bundle_height_mm=130)
    narrow = replace(catalog, saws=(replace(catalog.saws[0], capacities=(square,)),))
    of_three = group([line("a", 2900, 6)], rack(), narrow, replace(BY_LOADS, most_at_once=3))
    assert sorted((bar.at_once, bar.times) for bar in of_three.bars) == [(1, 1), (2, 2)]
    assert any("top row that isn't full" in note for note in of_three.notes)
    of_four = group([line("a", 2900, 8)], rack(), narrow, replace(BY_LOADS, most_at_once=4))
    assert [(bar.at_once, bar.times) for bar in of_four.bars] == [(4, 4)]
    assert of_four.bundle_settings[0].lie == "4 in rows"


def test_bars_of_a_load_may_all_end_in_the_vise(catalog: Catalog) -> None:
    # Four bars with good ends that take a facing cut, two pieces and the kerf between, to the micrometre.
    gripped = replace(catalog, saws=(replace(catalog.saws[0], least_grip_mm=80.0, facing_mm=10.0),))
    kerf_um = group([line("a", 900, 1)], rack(), gripped, BY_LOADS).settings[0].kerf_um
    lines = [line("a", 2900, 8)]
    stock = Rack((Bar("T", GRADE, TUBE, 10_000 + 2 * kerf_um + 2 * 2_900_000, 4, end_is_good=True),))
    plan = planned(lines, stock, gripped, BY_LOADS)
    (bar,) = plan.groups[0].bars
    assert (bar.times, bar.at_once, bar.ends_in_vise, bar.left_um) == (4, 4, True, 0)


def test_the_saw_is_chosen_by_the_hours_with_bars_at_once(catalog: Catalog) -> None:
    # The same saw twice, one without clamps for bundles and cheaper by the hour. Of 20 bars alike five go at
    # once: a stroke for five, so that the hour may well cost a quarter more.
    clamped = catalog.saws[0]
    plain = replace(
        clamped,
        id="without",
        capacities=tuple(replace(one, bundle_width_mm=0, bundle_height_mm=0) for one in clamped.capacities),
    )
    both = replace(catalog, saws=(plain, replace(clamped, rate_per_hour=1.25 * clamped.rate_per_hour)))
    lines = [line("a", 2900, 40)]
    assert group(lines, rack(), both, ShopRules()).saw == "without"
    found = group(lines, rack(), both, BY_LOADS)
    assert found.saw == clamped.id
    hours = {one.saw: one.hours for one in found.tried}
    assert hours[clamped.id] < 0.8 * hours["without"]  # type: ignore[operator]
    # What was foreseen is what came out, but for the facing, loading and putting down of single bars.
    assert found.loads == 4


def test_the_band_suits_the_bars_at_once_where_most_go_so() -> None:
    # D-2 in 150 x 40 flats: 3 teeth an inch for one, and two flats at once take no less time with it.
    tables = load_catalog()
    flat = Section("flat 150x40", Flat(150.0, 40.0))
    lines = [OrderLine("a", "a", "D-2", flat, 480_000, 12)]
    stock = Rack((Bar("T", "D-2", flat, 3_200_000, 2),))
    rules = ShopRules(most_at_once=4)
    alone = planned(lines, stock, tables, ShopRules()).groups[0]
    found = planned(lines, stock, tables, rules).groups[0]
    band, usual = found.settings[0].band, alone.settings[0].band
    assert found.saw == alone.saw
    assert (band.id != usual.id, {one.band.id for one in found.bundle_settings}) == (True, {band.id})
    assert found.times.total_s < alone.times.total_s
    (why,) = [note for note in found.notes if note.startswith("the band is the one for bars at once")]
    assert usual.name in why
    assert found.settings[0].reasons[0].text == why
    # Without that band the bars are cut as ever.
    other = replace(tables, bands=tuple(one for one in tables.bands if one.id != band.id))
    assert planned(lines, stock, other, rules).groups[0].times.total_s >= found.times.total_s


@pytest.mark.parametrize("seed", range(12))
def test_random_orders_keep_the_referee_and_cost_what_they_cost_alone(seed: int, catalog: Catalog) -> None:
    chance = Random(seed)
    due = [None, date(2026, 12, 1), date(2026, 12, 2)]
    lines = [
        line(
            f"L{number}",
            chance.choice([900, 1200, 1500, 1900, 2900]),
            chance.randint(1, 14),
            due=chance.choice(due),
            order=chance.choice(["O1", "O2"]),
        )
        for number in range(chance.randint(1, 3))
    ]
    stock = Rack(
        tuple(
            Bar(f"B{number}", GRADE, TUBE, chance.choice([3000, 4500, 6000]) * 1000, chance.randint(1, 9))
            for number in range(chance.randint(1, 3))
        )
    )
    rules = ShopRules(
        most_at_once=chance.choice([2, 3, 5]),
        next_aims=tuple(chance.sample(list(NextAim), chance.randint(0, 3))),
        most_new_remnants=chance.choice([None, 0, 2]),
        keep_due_order=chance.random() < 0.6,
    )
    found = group(lines, stock, catalog, rules)
    alone = group(lines, stock, catalog, replace(rules, most_at_once=1))
    assert (found.status, found.cost, found.pieces_planned) == (
        alone.status,
        alone.cost,
        alone.pieces_planned,
    )
    assert found.loads <= found.bars_used
