"""Traces: from a piece to all that led to it, from a heat to all it became, remnants too, by indexes."""

from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import Connection, Engine, text
from tests.workflow.shop_floor import AT, LEAD, OPERATOR, PLANNER, first_fit, later, released

from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.records import floor_tables as t
from kerfsmith.records.store import Store
from kerfsmith.records.tracing import piece_rows
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.cut_log import EntryKind, Outcome, ScrapReason
from kerfsmith.shop.inspection import InspectionKind
from kerfsmith.shop.rack import BarKind
from kerfsmith.workflow.change_band import ChangeBand, add_band, change_band
from kerfsmith.workflow.change_run import ChangeRun, change_run
from kerfsmith.workflow.finish_bar import FinishBar, finish_bar
from kerfsmith.workflow.inspect_piece import InspectPiece, inspect_piece
from kerfsmith.workflow.keep_heat import AttachCertificate, attach_certificate
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import LogCut, log_cut
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.reject_piece import RejectPiece, reject_piece
from kerfsmith.workflow.replanning import LineChange
from kerfsmith.workflow.undo_cut import UndoCut, undo_cut


def remnants_first(task: GroupTask) -> PlanGroup:
    """The plain replanner, told to use remnants up."""
    order = sorted(task.bars, key=lambda bar: bar.kind is not BarKind.REMNANT)
    return first_fit(replace(task, bars=tuple(order)))


def noted_cut() -> LogCut:
    """A cut whose times and load were read off."""
    return LogCut(
        "c2",
        "b1",
        2,
        line_id="o1:1",
        began_at=later(1) + timedelta(seconds=5),
        ended_at=later(1) + timedelta(seconds=47),
        motor_load_percent=63.0,
        motor_power_kw=2.5,
    )


def a_shift(store: Store) -> None:
    """One bar of heat H100 and then its remnant, with a rejected, an undone and a measured piece."""
    released(store, band=False)
    done: list[object] = [
        add_band(store, ThisBand("S-1", "bimetal 34 x 1.1"), by=OPERATOR, at=AT),
        change_band(store, ChangeBand("north", "m1", "S-1"), by=OPERATOR, at=AT),
        attach_certificate(
            store, AttachCertificate("k1", "H100", "mill.pdf"), b"%PDF-1.7\n%%EOF", by=LEAD, at=AT
        ),
        load_bar(store, LoadBar("b1", "r1", "A-1"), by=OPERATOR, at=AT),
        log_cut(store, LogCut("c1", "b1", 1, EntryKind.FACING), by=OPERATOR, at=later(1)),
        log_cut(store, noted_cut(), by=OPERATOR, at=later(2)),
        log_cut(store, LogCut("c3", "b1", 3, line_id="o1:1"), by=OPERATOR, at=later(3)),
        undo_cut(store, UndoCut("u4", "b1", 4, "c3"), by=OPERATOR, at=later(3)),
        log_cut(store, LogCut("c5", "b1", 5, line_id="o1:2"), by=OPERATOR, at=later(5)),
        inspect_piece(
            store, InspectPiece("i1", "c2", InspectionKind.EXTRA, 500_100, 120), by=OPERATOR, at=later(6)
        ),
        reject_piece(store, RejectPiece("x6", "c5", ScrapReason.ROUGH_FACE), by=OPERATOR, at=later(7)),
        finish_bar(store, FinishBar("b1"), by=OPERATOR, at=later(8)),
        put_away(store, PutAway("b1", "R-00001", "R1"), by=OPERATOR, at=later(8)),
        change_run(
            store, ChangeRun("r1", (LineChange("o1:2", quantity=1),)), remnants_first, by=PLANNER, at=later(9)
        ),
        load_bar(store, LoadBar("b2", "r1", "R-00001"), by=OPERATOR, at=later(10)),
        log_cut(store, LogCut("c7", "b2", 1, EntryKind.FACING), by=OPERATOR, at=later(11)),
        log_cut(store, LogCut("c8", "b2", 2, line_id="o1:1"), by=OPERATOR, at=later(12)),
    ]
    assert not [answer for answer in done if isinstance(answer, Refusal)]


def test_from_a_piece_to_all_that_led_to_it(store: Store) -> None:
    a_shift(store)
    with store.look() as look:
        first, second = look.trace.piece("c2"), look.trace.piece("c8")
    assert first is not None
    assert second is not None
    piece = first.piece
    assert (piece.mark, piece.label, piece.heat, piece.parent_label) == ("P1", "A-1", "H100", "")
    assert (piece.saw, piece.band_id, piece.band_kind) == ("North saw", "S-1", "bimetal 34 x 1.1")
    assert (piece.by, piece.at, piece.number) == (OPERATOR.name, later(2), 2)
    assert (piece.customer, piece.order, piece.order_id) == ("Weir", "Gears", "o1")
    assert (piece.measured_um, piece.out_of_square_um) == (500_100, 120)
    assert (piece.began_at, piece.ended_at) == (noted_cut().began_at, noted_cut().ended_at)
    assert (piece.motor_load_percent, piece.motor_power_kw) == (63.0, 2.5)
    assert (second.piece.began_at, second.piece.motor_load_percent, second.piece.motor_power_kw) == (
        None,
    ) * 3
    assert [one.name for one in first.certificates] == ["mill.pdf"]
    assert (second.piece.label, second.piece.parent_label, second.piece.heat) == ("R-00001", "A-1", "H100")
    assert second.certificates == first.certificates


def test_from_a_heat_to_every_piece_and_customer(store: Store) -> None:
    a_shift(store)
    with store.look() as look:
        trace = look.trace.heat("H100")
        assert look.trace.heat("H999") is None
    assert trace is not None
    assert [(one.cut_id, one.outcome) for one in trace.pieces] == [
        ("c2", Outcome.GOOD),
        ("c5", Outcome.SCRAPPED),
        ("c8", Outcome.GOOD),
    ]
    assert trace.pieces[1].reason is ScrapReason.ROUGH_FACE
    assert trace.customers == ("Weir",)


def test_pieces_of_a_line_and_of_a_label(store: Store) -> None:
    a_shift(store)
    with store.look() as look:
        assert [one.cut_id for one in look.trace.pieces(line_id="o1:1")] == ["c2", "c8"]
        assert [one.cut_id for one in look.trace.pieces(label="R-00001")] == ["c8"]


QUERIES = {
    "piece": (t.cuts.c.id == "c2", "cuts"),
    "heat": (t.loaded_bars.c.heat == "H100", "loaded_bars"),
}


@pytest.mark.parametrize("name", QUERIES)
def test_traces_go_by_indexes(store: Store, engine: Engine, name: str) -> None:
    """No table that grows with the work is read from end to end."""
    a_shift(store)
    where, _ = QUERIES[name]
    query = piece_rows().where(where).compile(engine, compile_kwargs={"literal_binds": True})
    with engine.connect() as connection:
        steps = explained(connection, str(query))
    growing = {
        "cuts",
        "undo",
        "reject",
        "undo_of_reject",
        "loaded_bars",
        "parent",
        "inspections",
        "measure",
        "measured",
    }
    read_through = {table for step in steps for table in growing if reads_through(step, table)}
    assert read_through == set(), "\n".join(steps)


def explained(connection: Connection, query: str) -> list[str]:
    if connection.dialect.name == "sqlite":
        return [row.detail for row in connection.execute(text(f"EXPLAIN QUERY PLAN {query}"))]
    # So few rows are read faster without an index: what counts is that there is one to go by.
    connection.execute(text("SET LOCAL enable_seqscan = off"))
    return [row[0] for row in connection.execute(text(f"EXPLAIN {query}"))]


def reads_through(step: str, table: str) -> bool:
    words = step.replace("(", " ").split()
    if "SCAN" in words:
        return words[words.index("SCAN") + 1] == table
    return "Seq Scan on" in step and table in words
