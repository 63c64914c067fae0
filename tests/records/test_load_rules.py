"""What the schema itself demands of bars that are cut together, whatever a program does."""

from collections.abc import Callable

import pytest
from benchmarks.records.referee import faults
from sqlalchemy import Connection, Engine, insert, select, text, update
from sqlalchemy.exc import DBAPIError
from tests.workflow.load_floor import cut_through, lay, released_loads, told_of
from tests.workflow.shop_floor import AT, OPERATOR

from kerfsmith.records import floor_tables as t
from kerfsmith.records import tables
from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.take_out import TakeOut, take_out


@pytest.fixture
def worked(store: Store) -> Store:
    """Load l1 of two bars, faced and cut through once; l2 of one bar, uncut; b9 alone."""
    released_loads(store)
    lay(store, "l1", "b1", "b2")
    cut_through(store, told_of(store, "l1", "f", EntryKind.FACING, fewer_why="one is bent"))
    cut_through(store, told_of(store, "l1", "p"))
    lay(store, "l2", "b4")
    load_bar(store, LoadBar("b9", "r1", "L-3"), by=OPERATOR, at=AT)
    return store


def loaded(connection: Connection, **changes: object) -> None:
    """A copy of bar b4, the only one of load l2, with some values changed."""
    bars = t.loaded_bars
    row = dict(connection.execute(select(bars).where(bars.c.id == "b4")).mappings().one())
    row.pop("number")
    connection.execute(insert(bars).values(**(row | {"id": "b8", "copy": 6} | changes)))


def cut(connection: Connection, **changes: object) -> None:
    """A copy of the pass's entry in b1 as its next, with some values changed."""
    row = dict(connection.execute(select(t.cuts).where(t.cuts.c.id == "p-b1")).mappings().one())
    row.pop("number")
    fields = {"id": "c9", "entry": 3, "pass_id": "q"}
    connection.execute(insert(t.cuts).values(**(row | fields | changes)))


def undo(connection: Connection, **changes: object) -> None:
    row = dict(connection.execute(select(t.cuts).where(t.cuts.c.id == "p-b1")).mappings().one())
    back = ("kerfs_um", "pieces_um", "trims_um", "scrap_um", "good", "surplus", "scrapped", "area_cm2")
    fields = {"kind": "undo", "corrects": "p-b1", "outcome": None, **{name: -row[name] for name in back}}
    cut(connection, **(fields | {"pass_id": "p"} | changes))


def over_full(connection: Connection) -> None:
    loaded(connection)
    loaded(connection, id="b7", copy=5)
    loaded(connection, id="b6", copy=2)


def of_another_heat(connection: Connection) -> None:
    connection.execute(insert(tables.heats).values(number="H9", mill="", note=""))
    loaded(connection, heat="H9")


BROKEN: dict[str, tuple[Callable[[Connection], object], str]] = {
    "a load of one": (
        lambda run: run.execute(update(t.loads).values(at_once=1)),
        "more_than_one|FOREIGN KEY|fk_loads",
    ),
    "a load of more than were planned at once": (
        lambda run: run.execute(update(t.loads).values(at_once=4)),
        "FOREIGN KEY|fk_loads_planned",
    ),
    "bars that make no whole loads": (
        lambda run: run.execute(update(t.run_bars).values(at_once=4)),
        "whole_loads|FOREIGN KEY|fk_loads",
    ),
    "more bars in a load than at once": (over_full, "load_is_not_full"),
    "a bar of another heat": (of_another_heat, "load_is_alike"),
    "a bar of another length": (lambda run: loaded(run, labelled_um=1), "load_is_alike"),
    "a bar of another planned bar": (
        lambda run: loaded(run, position=1, times=1, copy=1),
        "bar_is_of_its_load|loaded_bars_copy|loaded_bars.copy",
    ),
    "a bar of no load": (lambda run: loaded(run, load_id="l9"), "bar_is_of_its_load"),
    "a bar laid into a load that was cut": (lambda run: loaded(run, load_id="l1"), "load_is_not_cut"),
    "a bar that comes into a load later": (
        lambda run: run.execute(update(t.loaded_bars).where(t.loaded_bars.c.id == "b9").values(load_id="l2")),
        "load_is_left_for_good",
    ),
    "a cut through one bar of a load alone": (
        lambda run: cut(run, load_id=None, pass_id=None),
        "cut_goes_through_its_load",
    ),
    "a cut through another load": (lambda run: cut(run, load_id="l2"), "cut_goes_through_its_load"),
    "a pass through no load": (lambda run: cut(run, load_id=None), "cut_goes_through|passes_go_through"),
    "a bar cut twice by a pass": (lambda run: cut(run, pass_id="p"), "uq_cuts_pass|cuts.pass_id"),
    "an undo of another pass": (lambda run: undo(run, pass_id="f"), "undo_is_of_the_same_pass"),
    "a reject through a load": (
        lambda run: undo(
            run,
            kind="reject",
            outcome="scrapped",
            reason="other",
            kerfs_um=0,
            pieces_um=-500_000,
            scrap_um=500_000,
            good=-1,
            scrapped=1,
            area_cm2=0.0,
        ),
        "a_reject_is_of_one_piece",
    ),
}


@pytest.mark.parametrize("what", BROKEN)
def test_the_schema_refuses(worked: Store, engine: Engine, what: str) -> None:
    breaks, rule = BROKEN[what]
    with pytest.raises(DBAPIError, match=rule), engine.begin() as connection:
        breaks(connection)
    assert worked.ledger(1)[0].verb == "load bar"


def test_what_belongs_is_let_in(worked: Store, engine: Engine) -> None:
    """The copies that the rules above spoil are good as they are."""
    with engine.begin() as connection:
        loaded(connection)
        undo(connection)
        cut(connection, id="c10", entry=4)


def test_a_referee_sees_a_pass_that_is_only_half_there(worked: Store, engine: Engine) -> None:
    with engine.begin() as connection:
        cut(connection)
    with engine.connect() as connection:
        assert any("some bars of its load only: l1" in fault for fault in faults(connection))


def test_the_demo_is_emptied_of_its_loads(worked: Store, engine: Engine) -> None:
    assert not isinstance(take_out(worked, TakeOut("b2"), by=OPERATOR, at=AT), Exception)
    worked.perform(lambda change: change.set_demo(True))
    worked.perform(lambda change: change.clear_shop())
    with engine.connect() as connection:
        assert connection.scalar(text("SELECT COUNT(*) FROM loads")) == 0
