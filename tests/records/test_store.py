"""The store keeps what it is given, all of a change or none of it, and lets nobody edit the ledger."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Engine, Executable, delete, insert, update
from sqlalchemy.exc import DatabaseError, IntegrityError

from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Beam, Round
from kerfsmith.planning.plan import ForLine, GroupTimes, Plan, PlanGroup, PlannedBar, PlannedPiece, PlanStatus
from kerfsmith.records import tables
from kerfsmith.records.opening import open_engine
from kerfsmith.records.rows import bar_row
from kerfsmith.records.store import Store
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.rules import ShopRules
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, LedgerNote
from kerfsmith.workflow.refusal import RuleBroken

AT = datetime(2026, 12, 1, 6, 30, tzinfo=UTC)
ROUND = Section("round 4 in", Round(101.6))
BEAM = Section("HEA 200", Beam(190.0, 200.0, 6.5, 10.0, 18.0), standard="EN 10365")


ORDER = Order(
    "o1",
    "Frames",
    (
        OrderLine("o1-1", "A", "4140", ROUND, 314_325, 4, 1_588, 0, date(2026, 12, 1)),
        OrderLine("o1-2", "B", "S355J2", BEAM, 2_450_000, 6, angle_a_deg=45.0, angle_b_deg=-45.0, row=7),
    ),
)
BARS = (
    Bar("b1", "4140", ROUND, 3_657_600, 3, "H1", "A1", Decimal("412.50")),
    Bar("b2", "4140", ROUND, 6_000_000, None, kind=BarKind.TO_BUY),
)


def change(store: Store, do: Callable[[Change], None] = lambda _: None, verb: Verb = Verb.TAKE_ORDER) -> None:
    """One change with its ledger entry, as a verb makes it."""

    def act(open_change: Change) -> None:
        do(open_change)
        open_change.note(LedgerNote(verb, "a person", AT, "x", {"n": 1}), None)

    store.perform(act)


def keep_book(open_change: Change) -> None:
    open_change.add_order(ORDER)
    open_change.add_bars(BARS)


def planned_bar(**changes: object) -> PlannedBar:
    piece = PlannedPiece("o1-1", "A", 1_000_000, 1_800)
    parts: dict[str, object] = {
        "bar_id": "b1",
        "kind": BarKind.BAR,
        "length_um": 3_657_600,
        "times": 2,
        "heat": "H1",
        "place": "A1",
        "facing_um": 5_000,
        "facing_kerf_um": 1_800,
        "pieces": (piece, piece),
        "remnant_um": 3_657_600 - 6_800 - 2 * 1_001_800,
        "keep": True,
    }
    return PlannedBar(**(parts | changes))  # type: ignore[arg-type]


def plan(plan_id: str = "p1") -> Plan:
    group = PlanGroup(
        id="g1",
        grade="4140",
        section=ROUND,
        saw="north",
        saw_name="North saw",
        status=PlanStatus.BEST,
        settings=(),
        bars=(planned_bar(), planned_bar(times=1)),
        cost=825.0,
        lower_bound=825.0,
        cost_unit="EUR",
        bound_source="columns",
        pieces_wanted=6,
        unplanned=(),
        times=GroupTimes(10.0, 8.0, 14.0, 5.0, 60.0, 4.0),
        mass_kg_per_m=63.6,
        first_due=date(2026, 12, 1),
        tried=(),
    )
    return Plan(plan_id, "Week 49", (group,), (), 1)


def test_orders_and_bars_come_back_as_they_were(store: Store) -> None:
    change(store, keep_book)
    assert store.orders() == (ORDER,)
    assert {bar.id: bar for bar in store.rack().bars} == {bar.id: bar for bar in BARS}
    assert store.orders()[0].lines[1].section.standard == "EN 10365"


def test_plan_comes_back_bar_by_bar(store: Store) -> None:
    change(store, lambda one: one.save_plan(plan(), ["o1"]))
    change(store, lambda one: one.save_plan(plan("p2"), ["o1"]))
    assert store.latest_plan() == plan("p2")


def test_bars_at_once_and_good_ends_come_back(store: Store) -> None:
    first, second = planned_bar().pieces
    shared = planned_bar(times=4, at_once=2, pieces=(replace(first, others=(ForLine("o1-2", "B"),)), second))
    made = plan()
    made = replace(made, groups=(replace(made.groups[0], bars=(shared, planned_bar(times=1))),))
    change(store, lambda one: one.save_plan(made, ["o1"]))
    assert store.latest_plan() == made
    change(store, lambda one: one.add_bars([replace(BARS[0], end_is_good=True)]))
    assert store.rack().bars[0].end_is_good


def test_bars_of_a_plan_make_whole_loads_whatever_writes_them(store: Store, engine: Engine) -> None:
    change(store, lambda one: one.save_plan(plan(), ["o1"]))
    with pytest.raises(IntegrityError, match="whole_loads"), engine.begin() as run:
        run.execute(update(tables.plan_bars).values(at_once=3))
    with pytest.raises(IntegrityError, match="end_is_good"), engine.begin() as run:
        run.execute(
            insert(tables.bars).values(**bar_row(BARS[0]) | {"id": "odd", "end_is_good": 2, "heat": None})
        )


def test_a_failed_change_leaves_nothing_not_even_its_entry(store: Store) -> None:
    def interrupted(open_change: Change) -> None:
        open_change.add_order(ORDER)
        open_change.note(LedgerNote(Verb.TAKE_ORDER, "a person", AT, "x", {}), None)
        raise RuntimeError("power cut")

    with pytest.raises(RuntimeError):
        store.perform(interrupted)
    assert store.orders() == ()
    assert store.ledger() == ()


def test_each_change_has_one_entry_newest_first(store: Store) -> None:
    change(store, verb=Verb.TAKE_ORDER)
    change(store, verb=Verb.PLAN_CUTS)
    entries = store.ledger()
    assert [entry.verb for entry in entries] == ["plan cuts", "take order"]
    assert entries[0].at == AT
    assert entries[0].by == "a person"


def test_a_part_that_breaks_a_rule_is_undone_alone(store: Store) -> None:
    def act(open_change: Change) -> str:
        open_change.add_bars(BARS)
        try:
            with open_change.part():
                open_change.add_order(ORDER)
                open_change.floor.give_back("b2")
                open_change.floor.take_from_rack("b1")
                for _ in range(3):
                    open_change.floor.take_from_rack("b1")
        except RuleBroken as broken:
            return broken.rule
        raise AssertionError("more bars were taken than there are")

    assert "count_not_below_zero" in store.perform(act)
    assert store.orders() == ()
    assert store.rack().bars[0].count == 3


@pytest.mark.parametrize("statement", [update(tables.ledger).values(by="other"), delete(tables.ledger)])
def test_the_ledger_cannot_be_edited(store: Store, engine: Engine, statement: Executable) -> None:
    change(store)
    with pytest.raises(DatabaseError, match="append-only"), engine.begin() as connection:
        connection.execute(statement)
    assert store.ledger()[0].by == "a person"


def test_the_schema_refuses_a_bar_that_does_not_add_up(store: Store, engine: Engine) -> None:
    change(store, lambda one: one.save_plan(plan(), ["o1"]))
    with engine.connect() as connection:
        row = dict(connection.execute(tables.plan_bars.select().limit(1)).mappings().one())
    row |= {"position": 9, "remnant_um": row["remnant_um"] + 1}
    with pytest.raises(IntegrityError, match="bar_adds_up"), engine.begin() as connection:
        connection.execute(insert(tables.plan_bars).values(**row))


def test_the_schema_refuses_uncounted_bars_on_the_rack(engine: Engine, store: Store) -> None:
    change(store, lambda one: one.add_bars(BARS[1:]))
    with pytest.raises(IntegrityError, match="rack_is_counted"), engine.begin() as connection:
        connection.execute(update(tables.bars).values(kind="bar"))


def test_rules_and_demo_flag_are_kept(store: Store) -> None:
    assert store.rules() == ShopRules()
    assert not store.is_demo()
    change(store, lambda one: one.set_rules(ShopRules(name="Ours", least_remnant_um=250_000)))
    change(store, lambda one: one.set_demo(True))
    assert store.rules() == ShopRules(name="Ours", least_remnant_um=250_000)
    assert store.is_demo()


def test_clearing_the_shop_keeps_the_ledger(store: Store) -> None:
    change(store, keep_book)
    change(store, lambda one: one.save_plan(plan(), ["o1"]))
    change(store, lambda one: one.clear_shop())
    assert store.orders() == ()
    assert store.rack().bars == ()
    assert store.latest_plan() is None
    assert len(store.ledger()) == 3


def test_a_second_opening_finds_the_same_records(url: str) -> None:
    change(Store(open_engine(url)), lambda one: one.add_order(ORDER))
    assert Store(open_engine(url)).orders() == (ORDER,)


def test_the_schema_is_what_the_tables_say(engine: Engine) -> None:
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"render_as_batch": True})
        assert compare_metadata(context, tables.metadata) == []
