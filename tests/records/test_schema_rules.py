"""Rules of the data stand in the schema: no program can break them, whatever it does."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from sqlalchemy import Connection, Engine, insert, select, text, update
from sqlalchemy.exc import DBAPIError
from tests.workflow.shop_floor import AT, OPERATOR, released

from kerfsmith.records import floor_tables as t
from kerfsmith.records import tables
from kerfsmith.records.stop_tables import stops
from kerfsmith.records.store import Store
from kerfsmith.records.tables import metadata
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.shop.saw_stop import StopReason
from kerfsmith.workflow.change_band import ChangeBand, add_band, change_band
from kerfsmith.workflow.finish_bar import FinishBar, finish_bar
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import LogCut, log_cut
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.stop_saw import StopSaw, stop_saw


@pytest.fixture
def worked(store: Store) -> Store:
    """A band on the saw, a bar put away, another half cut, and a stop."""
    released(store, band=False)
    add_band(store, ThisBand("S-1", "x"), by=OPERATOR, at=AT)
    add_band(store, ThisBand("S-2", "x"), by=OPERATOR, at=AT)
    change_band(store, ChangeBand("north", "m1", "S-1"), by=OPERATOR, at=AT)
    for bar_id in ("b1", "b2"):
        load_bar(store, LoadBar(bar_id, "r1", "A-1"), by=OPERATOR, at=AT)
        log_cut(store, LogCut(f"{bar_id}-1", bar_id, 1, EntryKind.FACING), by=OPERATOR, at=AT)
        log_cut(store, LogCut(f"{bar_id}-2", bar_id, 2, line_id="o1:1"), by=OPERATOR, at=AT)
    finish_bar(store, FinishBar("b1"), by=OPERATOR, at=AT)
    put_away(store, PutAway("b1", "R-1", "R1"), by=OPERATOR, at=AT)
    stop_saw(store, StopSaw("s1", "north", StopReason.FAULT), by=OPERATOR, at=AT)
    return store


def again(connection: Connection, table: object, key: str, **changes: object) -> None:
    """Insert a copy of a row with some values changed."""
    source = metadata.tables[str(table)]
    row = dict(connection.execute(select(source).where(source.c.id == key)).mappings().one())
    row.pop("number", None)
    connection.execute(insert(source).values(**(row | changes)))


def loaded(connection: Connection, **changes: object) -> None:
    again(connection, "loaded_bars", "b2", **({"id": "b9", "position": 1, "times": 1, "copy": 1} | changes))


def cut(connection: Connection, **changes: object) -> None:
    again(connection, "cuts", "b2-2", **({"id": "c9", "entry": 3} | changes))


def on_another_saw(connection: Connection) -> None:
    connection.execute(insert(t.saws).values(id="south", name="South saw"))
    again(connection, "mountings", "m1", id="m2", saw_id="south")


def lean(connection: Connection) -> None:
    measured = {"id": "i9", "cut_id": "b2-2", "kind": "extra", "nominal_um": 1, "measured_um": 1}
    connection.execute(insert(t.inspections).values(**measured, by=OPERATOR.name, at=AT, out_of_square_um=-1))


BROKEN: dict[str, tuple[Callable[[Connection], object], str]] = {
    "a bar that does not add up": (
        lambda run: run.execute(update(t.loaded_bars).values(pieces_um=t.loaded_bars.c.pieces_um + 1)),
        "bar_adds_up",
    ),
    "a part below zero": (
        lambda run: run.execute(
            update(t.loaded_bars).values(
                kerfs_um=-1, left_um=t.loaded_bars.c.left_um + t.loaded_bars.c.kerfs_um + 1
            )
        ),
        "parts_not_below_zero",
    ),
    "more bars loaded than planned": (lambda run: loaded(run, copy=2), "not_more_than_planned"),
    "the same planned bar loaded twice": (
        lambda run: loaded(run, position=0, times=2, copy=1),
        "uq_loaded_bars_copy|loaded_bars.copy",
    ),
    "a bar of another grade": (lambda run: loaded(run, grade="42CrMo4"), "FOREIGN KEY|kind_of"),
    "a bar of another section": (lambda run: loaded(run, section_key="x"), "FOREIGN KEY|kind_of"),
    "a bar of another heat": (lambda run: loaded(run, heat="H200"), "FOREIGN KEY|heat_of_label"),
    "a bar of another length than its label": (
        lambda run: loaded(run, labelled_um=1),
        "FOREIGN KEY|kind_of_label",
    ),
    "a used label that becomes another bar": (
        lambda run: run.execute(update(tables.bars).where(tables.bars.c.id == "A-1").values(grade="42CrMo4")),
        "FOREIGN KEY|kind_of_label",
    ),
    "more taken from the rack than there was": (
        lambda run: run.execute(update(tables.bars).values(count=-1)),
        "count_not_below_zero",
    ),
    "a cut out of turn": (lambda run: cut(run, entry=5), "cut_is_next"),
    "a cut recorded twice": (lambda run: cut(run, entry=2), "cut_is_next"),
    "a cut of a bar that is done with": (lambda run: cut(run, bar_id="b1"), "bar_is_in_the_saw"),
    "a cut longer than what is left": (lambda run: cut(run, pieces_um=9_000_000), "parts_not_below_zero"),
    "a piece of no line of the run": (lambda run: cut(run, line_id="other"), "FOREIGN KEY|line_id"),
    "a piece that is two": (lambda run: cut(run, good=2), "a_piece_is_one"),
    "a scrapped piece without a reason": (
        lambda run: cut(run, outcome="scrapped", good=0, scrapped=1),
        "scrap_has_reason",
    ),
    "an undo that takes back another amount": (
        lambda run: cut(run, kind="undo", outcome=None, corrects="b2-2", pieces_um=-1, kerfs_um=0, good=-1),
        "undo_takes_back",
    ),
    "an undo of another bar's cut": (
        lambda run: cut(
            run,
            kind="undo",
            outcome=None,
            corrects="b1-2",
            pieces_um=-500_000,
            kerfs_um=-2_000,
            good=-1,
            area_cm2=-1.0,
        ),
        "undo_takes_back",
    ),
    "more good pieces than wanted": (
        lambda run: run.execute(update(t.run_lines).values(wanted=0)),
        "good_not_above_wanted",
    ),
    "a cut that is edited": (lambda run: run.execute(update(t.cuts).values(mark="X")), "kept.for.good"),
    "a cut that is deleted": (lambda run: run.execute(t.cuts.delete()), "kept.for.good"),
    "a remnant longer than what was left": (
        lambda run: run.execute(
            update(t.loaded_bars).where(t.loaded_bars.c.id == "b1").values(left_um=1, length_um=512_001)
        ),
        "FOREIGN KEY|what_was_left|bar_adds_up",
    ),
    "two bands on one saw": (
        lambda run: again(run, "mountings", "m1", id="m2", band_id="S-2"),
        "uq_mountings_on_saw|mountings.saw_id",
    ),
    "a band on two saws": (
        on_another_saw,
        "uq_mountings_of_band|mountings.band_id",
    ),
    "a band off without a reason": (
        lambda run: run.execute(update(t.mountings).values(removed_at=AT)),
        "removed_with_reason",
    ),
    "two stops at once": (lambda run: again(run, "stops", "s1", id="s2"), "uq_stops_lasting|stops.saw_id"),
    "a stop that ends before it began": (
        lambda run: run.execute(update(stops).values(ended_at=AT - timedelta(minutes=1))),
        "ended_after_begun",
    ),
    "a cut that ends before it began": (
        lambda run: cut(run, began_at=AT, ended_at=AT - timedelta(seconds=1)),
        "ended_after_begun",
    ),
    "a motor load below zero": (lambda run: cut(run, motor_load_percent=-1.0), "load_not_below_zero"),
    "a motor power below zero": (lambda run: cut(run, motor_power_kw=-1.0), "load_not_below_zero"),
    "a face less than square": (lean, "squareness_not_below_zero"),
    "a plan taken away under its run": (
        lambda run: run.execute(tables.plans.delete()),
        "FOREIGN KEY|fk_runs",
    ),
}


@pytest.mark.parametrize("what", BROKEN)
def test_the_schema_refuses(worked: Store, engine: Engine, what: str) -> None:
    breaks, rule = BROKEN[what]
    with pytest.raises(DBAPIError, match=rule), engine.begin() as connection:
        breaks(connection)
    assert worked.ledger(1)[0].verb == "stop saw"


def test_only_the_demo_may_be_emptied(worked: Store, engine: Engine) -> None:
    with pytest.raises(DBAPIError, match=r"kept.for.good"):
        worked.perform(lambda change: change.clear_shop())
    worked.perform(lambda change: change.set_demo(True))
    worked.perform(lambda change: change.clear_shop())
    with engine.connect() as connection:
        assert connection.scalar(text("SELECT COUNT(*) FROM cuts")) == 0
        assert (connection.scalar(text("SELECT COUNT(*) FROM ledger")) or 0) > 10
