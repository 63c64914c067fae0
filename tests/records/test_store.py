"""The store keeps what it is given, all of a change or none of it, and lets nobody edit the ledger."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import Engine, delete, insert, update
from sqlalchemy.exc import DatabaseError, IntegrityError

from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Beam, Round
from kerfsmith.planning.plan import GroupTimes, Plan, PlanGroup, PlannedBar, PlannedPiece, PlanStatus
from kerfsmith.records import tables
from kerfsmith.records.opening import open_engine
from kerfsmith.records.store import Store
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.rules import ShopRules

AT = datetime(2026, 12, 1, 6, 30, tzinfo=UTC)
ROUND = Section("round 4 in", Round(101.6))
BEAM = Section("HEA 200", Beam(190.0, 200.0, 6.5, 10.0, 18.0), standard="EN 10365")


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    engine = open_engine(f"sqlite:///{tmp_path / 'shop.sqlite'}")
    yield engine
    engine.dispose()


@pytest.fixture
def store(engine: Engine) -> Store:
    return Store(engine)


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


def change(store: Store, verb: str = "test"):  # type: ignore[no-untyped-def]
    return store.change(verb, by="a person", at=AT, subject="x", detail={"n": 1})


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
    with change(store) as open_change:
        open_change.add_order(ORDER)
        open_change.add_bars(BARS)
    assert store.orders() == (ORDER,)
    assert {bar.id: bar for bar in store.rack().bars} == {bar.id: bar for bar in BARS}
    assert store.orders()[0].lines[1].section.standard == "EN 10365"


def test_plan_comes_back_bar_by_bar(store: Store) -> None:
    with change(store) as open_change:
        open_change.save_plan(plan(), ["o1"])
    with change(store) as open_change:
        open_change.save_plan(plan("p2"), ["o1"])
    kept = store.latest_plan()
    assert kept == plan("p2")


def test_a_failed_change_leaves_nothing_not_even_its_entry(store: Store) -> None:
    def interrupted() -> None:
        with change(store) as open_change:
            open_change.add_order(ORDER)
            raise RuntimeError("power cut")

    with pytest.raises(RuntimeError):
        interrupted()
    assert store.orders() == ()
    assert store.ledger() == ()


def test_each_change_has_one_entry_newest_first(store: Store) -> None:
    with change(store, "take order"):
        pass
    with change(store, "plan cuts"):
        pass
    entries = store.ledger()
    assert [entry.verb for entry in entries] == ["plan cuts", "take order"]
    assert entries[0].at == AT
    assert entries[0].by == "a person"


@pytest.mark.parametrize("statement", [update(tables.ledger).values(by="other"), delete(tables.ledger)])
def test_the_ledger_cannot_be_edited(store: Store, engine: Engine, statement) -> None:  # type: ignore[no-untyped-def]
    with change(store):
        pass
    with pytest.raises(DatabaseError, match="append-only"), engine.begin() as connection:
        connection.execute(statement)
    assert store.ledger()[0].by == "a person"


def test_the_schema_refuses_a_bar_that_does_not_add_up(store: Store, engine: Engine) -> None:
    with change(store) as open_change:
        open_change.save_plan(plan(), ["o1"])
    with engine.connect() as connection:
        row = dict(connection.execute(tables.plan_bars.select().limit(1)).mappings().one())
    row |= {"position": 9, "remnant_um": row["remnant_um"] + 1}
    with pytest.raises(IntegrityError, match="bar_adds_up"), engine.begin() as connection:
        connection.execute(insert(tables.plan_bars).values(**row))


def test_the_schema_refuses_uncounted_bars_on_the_rack(engine: Engine, store: Store) -> None:
    with change(store) as open_change:
        open_change.add_bars(BARS[1:])
    with pytest.raises(IntegrityError, match="rack_is_counted"), engine.begin() as connection:
        connection.execute(update(tables.bars).values(kind="bar"))


def test_rules_and_demo_flag_are_kept(store: Store) -> None:
    assert store.rules() == ShopRules()
    assert not store.is_demo()
    with change(store) as open_change:
        open_change.set_rules(ShopRules(name="Ours", least_remnant_um=250_000))
        open_change.set_demo(True)
    assert store.rules() == ShopRules(name="Ours", least_remnant_um=250_000)
    assert store.is_demo()


def test_clearing_the_shop_keeps_the_ledger(store: Store) -> None:
    with change(store) as open_change:
        open_change.add_order(ORDER)
        open_change.add_bars(BARS)
        open_change.save_plan(plan(), ["o1"])
    with change(store) as open_change:
        open_change.clear_shop()
    assert store.orders() == ()
    assert store.rack().bars == ()
    assert store.latest_plan() is None
    assert len(store.ledger()) == 2


def test_a_second_opening_finds_the_same_records(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'again.sqlite'}"
    with change(Store(open_engine(url))) as open_change:
        open_change.add_order(ORDER)
    assert Store(open_engine(url)).orders() == (ORDER,)
