"""The demo's week before stands in the records as a real one does."""

from datetime import UTC, datetime

import pytest
from tests.tables import package_tables
from tests.web.shift.everywhere import PlansHereOnly

from kerfsmith.records.store import Store
from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.rules import ShopRules
from kerfsmith.wiring.application import build_application
from kerfsmith.wiring.records import open_store
from kerfsmith.workflow.begin_shop import begin_own_shop


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Store:
    file = str(tmp_path_factory.mktemp("demo") / "shop.sqlite")
    build_application(file, pool=PlansHereOnly(package_tables()))  # type: ignore[arg-type]  # stand-in
    return open_store(file)


def test_every_piece_leads_back_to_bar_heat_and_band(store: Store) -> None:
    with store.look() as look:
        spindles = look.trace.pieces(mark="SP-091")
        bands = {band.id: band for band in look.crib.bands()}
    assert len(spindles) == 9
    assert {piece.heat for piece in spindles} == {"H41650"}
    assert {piece.customer for piece in spindles} == {"Tool room"}
    assert all(bands[piece.band_id].cut_cm2 > 0 for piece in spindles if piece.band_id)


def test_what_was_cut_adds_up_to_the_order(store: Store) -> None:
    """9 + 5 + 11 + 20 + 6 + 8 pieces, seven bars faced."""
    now = datetime.now(UTC)
    with store.look() as look:
        log = look.floor.cut_log()
        runs = look.floor.runs()
        assert sum(line.good for run in runs for line in look.floor.lines(run.id)) == 59
        assert look.floor.pieces_in_runs() == {}, "its order has left the book"
        assert len(look.learning.log().cuts) >= 66
    assert len(log) == 59 + 7
    assert all(cut.entry.at < now for cut in log)
    times = [entry.at for entry in reversed(store.ledger(limit=1000))]
    assert times == sorted(times)


def test_the_book_and_the_plan_are_the_demos(store: Store) -> None:
    assert [order.id for order in store.orders()] == ["demo"]
    plan = store.latest_plan()
    assert plan is not None
    assert (plan.id, plan.pieces_planned, plan.bars_used) == ("demo", 333, 58)


def test_a_shop_of_ones_own_keeps_nothing_of_it(store: Store) -> None:
    begin_own_shop(store, ShopRules(), by=Person("Lea", Role.LEAD), at=datetime.now(UTC))
    with store.look() as look:
        assert look.floor.cut_log() == ()
        assert look.crib.bands() == ()
        assert look.floor.runs() == ()
