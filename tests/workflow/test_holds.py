"""A piece that measures wrong is held until a person decides, and casts doubt on those cut before it."""

from datetime import timedelta

import pytest
from tests.workflow.shop_floor import AT, LEAD, OPERATOR, PLANNER, later, mount, released

from kerfsmith.records.store import Store
from kerfsmith.shop.band_in_use import RemovalReason
from kerfsmith.shop.cut_log import EntryKind, ScrapReason
from kerfsmith.shop.hold import Decision, DecisionKind
from kerfsmith.shop.inspection import Inspection, InspectionKind
from kerfsmith.shop.person import Person
from kerfsmith.shop.rules import ShopRules
from kerfsmith.shop.trace import TracedPiece
from kerfsmith.workflow.begin_shop import set_rules
from kerfsmith.workflow.change_band import ChangeBand, change_band
from kerfsmith.workflow.decide_piece import (
    AcceptDoubtful,
    AcceptPiece,
    DoubtfulAccepted,
    MeasureAgain,
    accept_doubtful,
    accept_piece,
    measure_again,
)
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.finish_bar import FinishBar, finish_bar
from kerfsmith.workflow.finish_run import FinishRun, RunFinished, finish_run
from kerfsmith.workflow.inspect_piece import InspectPiece, inspect_piece
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import CutLogged, LogCut, log_cut
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.reject_piece import RejectPiece, reject_piece
from kerfsmith.workflow.run_sheet import RunSheet, run_sheet
from kerfsmith.workflow.undo_cut import UndoCut, undo_cut

GOOD_UM, LONG_UM, SHORT_UM = 500_100, 500_900, 499_000
"""Against 500 mm +/- 0.5."""


def begun(store: Store) -> None:
    """A bar in the saw, faced."""
    released(store)
    load_bar(store, LoadBar("b1", "r1", "A-1"), by=OPERATOR, at=AT)
    assert isinstance(log_cut(store, LogCut("c1", "b1", 1, EntryKind.FACING), by=OPERATOR, at=AT), CutLogged)


def cut(store: Store, number: int, event: EventMark | None = None) -> object:
    told = LogCut(f"c{number}", "b1", number, line_id="o1:1")
    return log_cut(store, told, by=OPERATOR, at=later(number), event=event)


def measure(store: Store, number: int, um: int, kind: InspectionKind = InspectionKind.EXTRA) -> None:
    """A while after the piece was cut."""
    told = InspectPiece(f"i{number}-{um}", f"c{number}", kind, um)
    assert isinstance(inspect_piece(store, told, by=OPERATOR, at=later(number + 0.5)), Inspection)


def sheet(store: Store) -> RunSheet:
    with store.look() as look:
        found = run_sheet(look, "r1")
    assert found is not None
    return found


def held(store: Store) -> list[str]:
    return [one.piece.id for one in sheet(store).held]


def doubtful(store: Store) -> list[str]:
    return [one.id for one in sheet(store).doubtful]


def traced(store: Store, cut_id: str) -> TracedPiece:
    with store.look() as look:
        found = look.trace.piece(cut_id)
    assert found is not None
    return found.piece


def code(answer: object) -> str:
    assert isinstance(answer, Refusal), answer
    return answer.code


def failed_first(store: Store, um: int = SHORT_UM) -> None:
    begun(store)
    cut(store, 2)
    measure(store, 2, um, InspectionKind.FIRST_PIECE)


def test_past_a_failed_first_piece_nothing_is_counted_until_somebody_decides(store: Store) -> None:
    failed_first(store)
    assert held(store) == ["c2"]
    assert traced(store, "c2").is_held
    refused = cut(store, 3)
    assert code(refused) == "piece-held"
    assert isinstance(refused, Refusal)
    assert "lead" in refused.remedy
    assert store.ledger(1)[0].refused
    reject = RejectPiece("x1", "c2", ScrapReason.TOO_SHORT)
    assert not isinstance(reject_piece(store, reject, by=OPERATOR, at=later(3)), Refusal)
    assert held(store) == []
    told = LogCut("c3", "b1", 4, line_id="o1:1")
    logged = log_cut(store, told, by=OPERATOR, at=later(4))
    assert isinstance(logged, CutLogged)
    assert logged.inspection_due is InspectionKind.FIRST_PIECE, "the stop was set anew"


def test_a_piece_scrapped_at_once_and_waste_may_be_cut_while_one_is_held(store: Store) -> None:
    failed_first(store)
    told = LogCut("c3", "b1", 3, line_id="o1:1", scrapped=ScrapReason.OTHER)
    assert isinstance(log_cut(store, told, by=OPERATOR, at=later(3)), CutLogged)
    trim = LogCut("c4", "b1", 4, EntryKind.TRIM, trim_um=5_000)
    assert isinstance(log_cut(store, trim, by=OPERATOR, at=later(4)), CutLogged)


def test_a_cut_made_before_the_measure_or_out_of_reach_of_it_is_a_fact(store: Store) -> None:
    failed_first(store)
    before = LogCut("c3", "b1", 3, line_id="o1:1")
    assert isinstance(log_cut(store, before, by=OPERATOR, at=later(2.2)), CutLogged)
    late = EventMark("e1", "panel", 1, later(4) + timedelta(minutes=20))
    assert isinstance(cut(store, 4, late), CutLogged)
    prompt = EventMark("e2", "panel", 2, later(5) + timedelta(seconds=2))
    assert code(cut(store, 5, prompt)) == "piece-held"


@pytest.mark.parametrize("by", [OPERATOR, PLANNER])
def test_only_a_lead_accepts_and_gives_a_reason(store: Store, by: Person) -> None:
    failed_first(store)
    told = AcceptPiece("d1", "c2", "customer's foreman agreed by telephone")
    assert code(accept_piece(store, told, by=by, at=later(3))) == "role"
    assert code(accept_piece(store, AcceptPiece("d1", "c2", " "), by=LEAD, at=later(3))) == "no-reason"
    decision = accept_piece(store, told, by=LEAD, at=later(3))
    assert isinstance(decision, Decision)
    assert held(store) == []
    piece = traced(store, "c2")
    assert piece.decision == decision
    assert (piece.decision.by, piece.decision.kind) == (LEAD.name, DecisionKind.ACCEPTED)
    assert code(accept_piece(store, AcceptPiece("d2", "c2", "x"), by=LEAD, at=later(4))) == "not-held"
    assert isinstance(cut(store, 3), CutLogged)
    assert sheet(store).inspection_due is InspectionKind.FIRST_PIECE


def test_a_long_piece_is_cut_again_and_measured_a_short_one_is_not(store: Store) -> None:
    failed_first(store, LONG_UM)
    still = MeasureAgain("d1", "c2", LONG_UM - 100, recut=True)
    assert isinstance(measure_again(store, still, by=OPERATOR, at=later(3)), Inspection)
    assert held(store) == ["c2"], "it is still out"
    good = MeasureAgain("d2", "c2", GOOD_UM, recut=True)
    assert isinstance(measure_again(store, good, by=OPERATOR, at=later(4)), Inspection)
    assert held(store) == []
    piece = traced(store, "c2")
    assert piece.decision is not None
    assert (piece.decision.kind, piece.measured_um) == (DecisionKind.RECUT, GOOD_UM)
    cut(store, 3)
    measure(store, 3, SHORT_UM)
    short = MeasureAgain("d3", "c3", GOOD_UM, recut=True)
    assert code(measure_again(store, short, by=OPERATOR, at=later(5))) == "too-short-to-recut"
    assert held(store) == ["c3"]


def test_measuring_once_more_in_passing_settles_nothing(store: Store) -> None:
    failed_first(store)
    measure(store, 2, GOOD_UM)
    assert held(store) == ["c2"]


def test_an_undo_does_not_hide_a_piece_that_measured_wrong(store: Store) -> None:
    failed_first(store)
    assert code(undo_cut(store, UndoCut("u3", "b1", 3, "c2"), by=OPERATOR, at=later(3))) == "piece-measured"


def interval(store: Store) -> None:
    """Every third is measured: 2 good, 5 good, 8 too long; 6 and 7 lie between."""
    assert not isinstance(set_rules(store, ShopRules(inspect_every=3), by=LEAD, at=AT), Refusal)
    begun(store)
    for number in (2, 3, 4, 5):
        assert isinstance(cut(store, number), CutLogged)
    measure(store, 2, GOOD_UM)
    measure(store, 5, GOOD_UM)
    load_bar(store, LoadBar("b2", "r1", "A-1"), by=OPERATOR, at=later(5))
    log_cut(store, LogCut("f2", "b2", 1, EntryKind.FACING), by=OPERATOR, at=later(5))
    for number in (6, 7, 8):
        told = LogCut(f"c{number}", "b2", number - 4, line_id="o1:1")
        assert isinstance(log_cut(store, told, by=OPERATOR, at=later(number)), CutLogged)
    measure(store, 8, LONG_UM, InspectionKind.INTERVAL)


def test_pieces_since_the_last_good_measure_are_doubtful(store: Store) -> None:
    interval(store)
    assert held(store) == ["c8"]
    assert doubtful(store) == ["c6", "c7"]
    with store.look() as look:
        marked = {one.cut_id: one.is_doubtful for one in look.trace.pieces(line_id="o1:1")}
    assert marked == {f"c{n}": n in (6, 7) for n in range(2, 9)}


def test_doubt_is_measured_away_from_the_last_backwards(store: Store) -> None:
    interval(store)
    measure(store, 7, GOOD_UM)
    assert doubtful(store) == [], "what was cut before a good one is as good as it was"
    assert held(store) == ["c8"]


def test_doubt_goes_by_rejecting_and_by_a_lead(store: Store) -> None:
    interval(store)
    reject_piece(store, RejectPiece("x6", "c6", ScrapReason.TOO_LONG), by=OPERATOR, at=later(9))
    assert doubtful(store) == ["c7"]
    told = AcceptDoubtful("d1", "r1", "fits the drawing's next class")
    assert code(accept_doubtful(store, told, by=OPERATOR, at=later(9))) == "role"
    answer = accept_doubtful(store, told, by=LEAD, at=later(9))
    assert isinstance(answer, DoubtfulAccepted)
    assert [one.cut_id for one in answer.decisions] == ["c7"]
    assert doubtful(store) == []
    again = AcceptDoubtful("d2", "r1", "x")
    assert code(accept_doubtful(store, again, by=LEAD, at=later(9))) == "none-doubtful"


def test_a_measure_misread_casts_no_doubt(store: Store) -> None:
    interval(store)
    told = MeasureAgain("d1", "c8", GOOD_UM)
    assert isinstance(measure_again(store, told, by=OPERATOR, at=later(9)), Inspection)
    assert (held(store), doubtful(store)) == ([], [])
    assert sheet(store).inspection_due is None


def test_another_bands_pieces_are_not_doubted(store: Store) -> None:
    begun(store)
    for number in (2, 3):
        assert isinstance(cut(store, number), CutLogged)
    mount_next(store)
    told = LogCut("c4", "b1", 4, line_id="o1:1")
    assert isinstance(log_cut(store, told, by=OPERATOR, at=later(5)), CutLogged)
    measure(store, 4, SHORT_UM, InspectionKind.FIRST_PIECE)
    assert doubtful(store) == []


def mount_next(store: Store) -> None:
    off = ChangeBand("north", "m1", None, RemovalReason.OTHER_WORK)
    assert not isinstance(change_band(store, off, by=OPERATOR, at=later(3.5)), Refusal)
    mount(store, "S-1", "m2")


def test_with_a_new_band_nothing_is_due_before_a_piece_is_cut(store: Store) -> None:
    begun(store)
    cut(store, 2)
    assert sheet(store).inspection_due is InspectionKind.FIRST_PIECE
    cut(store, 3)
    assert sheet(store).inspection_due is InspectionKind.FIRST_PIECE, "it stays due until one is measured"
    measure(store, 3, GOOD_UM)
    assert sheet(store).inspection_due is None
    mount_next(store)
    assert sheet(store).inspection_due is None
    log_cut(store, LogCut("c4", "b1", 4, line_id="o1:1"), by=OPERATOR, at=later(6))
    assert sheet(store).inspection_due is InspectionKind.FIRST_PIECE


def test_a_run_does_not_end_with_pieces_undecided(store: Store) -> None:
    interval(store)
    for bar, label in (("b1", "R-1"), ("b2", "R-2")):
        finish_bar(store, FinishBar(bar), by=OPERATOR, at=later(9))
        put_away(store, PutAway(bar, label, "R1"), by=OPERATOR, at=later(9))
    short = FinishRun("r1", "customer cancelled")
    assert code(finish_run(store, short, by=OPERATOR, at=later(9))) == "pieces-held"
    reject_piece(store, RejectPiece("x8", "c8", ScrapReason.TOO_LONG), by=OPERATOR, at=later(9))
    assert code(finish_run(store, short, by=OPERATOR, at=later(9))) == "pieces-doubtful"
    accept_doubtful(store, AcceptDoubtful("d1", "r1", "will do"), by=LEAD, at=later(9))
    assert isinstance(finish_run(store, short, by=OPERATOR, at=later(9)), RunFinished)


def test_no_cut_is_counted_without_a_band_on_record(store: Store) -> None:
    released(store, band=False)
    load_bar(store, LoadBar("b1", "r1", "A-1"), by=OPERATOR, at=AT)
    told = LogCut("c1", "b1", 1, EntryKind.FACING)
    refused = log_cut(store, told, by=OPERATOR, at=later(1))
    assert code(refused) == "no-band"
    assert isinstance(refused, Refusal)
    assert "Say which band" in refused.remedy
    mount(store, "S-0", "m0")
    assert isinstance(log_cut(store, told, by=OPERATOR, at=later(2)), CutLogged)


def test_a_mark_is_traced_over_all_runs_whatever_its_capitals(store: Store) -> None:
    begun(store)
    cut(store, 2)
    with store.look() as look:
        assert [one.cut_id for one in look.trace.pieces(mark=" p1 ")] == ["c2"]
        assert look.trace.pieces(mark="P9") == ()
