"""Bars cut together: laid in one by one, cut through by one deed, undone, taken out and finished."""

from dataclasses import replace

import pytest
from tests.workflow.load_floor import (
    A,
    B,
    C,
    cut_through,
    lay,
    released_loads,
    sheet,
    to_the_end,
    told_of,
)
from tests.workflow.shop_floor import AT, FACING_UM, KERF_UM, OPERATOR, SAW, SQUARE_CM2, first_fit, later
from tests.workflow.test_learn_loads import setting

from kerfsmith.errors import InvalidValue
from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind, Outcome, ScrapReason
from kerfsmith.shop.inspection import InspectionKind, Verdict
from kerfsmith.shop.loaded_bar import BarState, Parts
from kerfsmith.shop.rack import Bar
from kerfsmith.workflow.change_run import ChangeRun, RunChanged, change_run
from kerfsmith.workflow.cut_load import BarCut, CutLoad, LoadCut, cut_load
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.finish_bar import BarFinished, FinishBar, finish_bar
from kerfsmith.workflow.finish_load import FinishLoad, LeftOfBar, LoadFinished, finish_load
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.inspect_piece import InspectPiece, inspect_piece
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import CutLogged, LogCut, log_cut
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.reject_piece import RejectPiece, reject_piece
from kerfsmith.workflow.replanning import LineChange
from kerfsmith.workflow.return_bar import ReturnBar, return_bar
from kerfsmith.workflow.take_out import TakeOut, take_out
from kerfsmith.workflow.undo_cut import UndoCut, undo_cut
from kerfsmith.workflow.undo_pass import BarUndo, PassUndone, UndoPass, undo_pass
from kerfsmith.workflow.week_now import Room, week_now

ABC = ("b1", "b2", "b3")


def refusal(answer: object) -> str:
    assert isinstance(answer, Refusal), answer
    assert answer.reason
    return answer.code


def counts(store: Store) -> dict[str, tuple[int, int, int]]:
    return {line.line_id: (line.good, line.surplus, line.scrapped) for line in sheet(store).lines}


def full(store: Store, load_id: str = "l1", bars: tuple[str, ...] = ABC) -> None:
    """Three bars, faced."""
    lay(store, load_id, *bars)
    cut_through(store, told_of(store, load_id, f"{load_id}-face", EntryKind.FACING))


def test_bars_are_laid_in_one_by_one_until_the_load_is_full(store: Store) -> None:
    released_loads(store)
    for there, bar_id in enumerate(ABC):
        (at_saw,) = lay(store, "l1", bar_id)
        (load,) = sheet(store).loads
        assert (len(load.bars), load.waiting, load.is_open) == (there + 1, 2 - there, there < 2)
        assert (at_saw.bar.load_id, at_saw.bar.copy) == ("l1", there + 1)
    assert [[piece.mark for piece in one.at_saw.pattern] for one in load.bars] == [
        ["P1", "P1", "P2"],
        ["P1", "P1", "P2"],
        ["P1", "P1", "P3"],
    ]
    another = LoadBar("b4", "r1", "L-1", load_id="l1")
    assert refusal(load_bar(store, another, by=OPERATOR, at=AT)) == "load-full"


@pytest.mark.parametrize(
    ("label", "code"),
    [("L-2", "load-heat"), ("L-3", "load-length"), ("B-1", "wrong-grade"), ("nowhere", "unknown-label")],
)
def test_a_bar_unlike_the_load_is_refused(store: Store, label: str, code: str) -> None:
    released_loads(store)
    lay(store, "l1", "b1")
    told = LoadBar("b2", "r1", label, load_id="l1")
    assert refusal(load_bar(store, told, by=OPERATOR, at=AT)) == code
    assert len(sheet(store).loads[0].bars) == 1


def test_a_bar_planned_alone_begins_no_load_and_a_cut_load_takes_none(store: Store) -> None:
    released_loads(store)
    alone = LoadBar("b9", "r1", "L-3", load_id="l9")
    assert refusal(load_bar(store, alone, by=OPERATOR, at=AT)) == "wrong-length"
    full(store, bars=("b1", "b2", "b3"))
    assert (
        refusal(load_bar(store, LoadBar("b4", "r1", "L-1", load_id="l1"), by=OPERATOR, at=AT)) == "load-cut"
    )
    full(store, "l2", ("b4", "b5", "b6"))
    assert refusal(load_bar(store, alone, by=OPERATOR, at=AT)) == "cut-alone"


def test_one_deed_cuts_every_bar_of_the_load(store: Store) -> None:
    released_loads(store)
    full(store)
    told = told_of(store, "l1", "p1", began_at=later(1), ended_at=later(9), motor_load_percent=80.0)
    cut = cut_through(store, told)
    assert {entry.bar_id for entry in cut.entries} == set(ABC)
    assert {(entry.load_id, entry.pass_id, entry.cut_seconds) for entry in cut.entries} == {
        ("l1", "p1", 480.0)
    }
    assert sum(entry.area_cm2 for entry in cut.entries) == pytest.approx(3 * SQUARE_CM2)
    for one in sheet(store).bars:
        assert one.at_saw.bar.parts == Parts(FACING_UM, 2 * KERF_UM, 500_000)
        assert one.at_saw.bar.entries == 2
    with store.look() as look:
        band = look.crib.band("S-0")
    assert band is not None
    assert band.cut_cm2 == pytest.approx(6 * SQUARE_CM2), "facing and piece through three bars"
    assert counts(store)[A] == (3, 0, 0)
    cut_through(store, told_of(store, "l1", "p2"))
    last = cut_through(store, told_of(store, "l1", "p3"))
    assert counts(store) == {A: (6, 0, 0), B: (2, 0, 0), C: (1, 0, 0)}
    assert last.to_cut.passes == ()
    assert last.to_cut.alone == ()


def test_a_load_with_fewer_bars_says_why_and_the_rest_waits(store: Store) -> None:
    released_loads(store)
    lay(store, "l1", "b1", "b2")
    facing = told_of(store, "l1", "f", EntryKind.FACING)
    assert refusal(cut_load(store, facing, by=OPERATOR, at=AT)) == "load-not-full"
    cut_through(store, replace(facing, fewer_why="one is bent"))
    (load,) = sheet(store).loads
    assert (load.load.fewer_why, load.is_open) == ("one is bent", False)
    assert sheet(store).to_load[0].waiting == 4
    lay(store, "l2", "b3", "b4", "b5")
    lay(store, "l3", "b6")
    cut_through(store, told_of(store, "l3", "g", EntryKind.FACING))
    assert sheet(store).loads[2].load.fewer_why == "", "no more were waiting: nothing to explain"


def test_each_bar_alone_or_together_gives_what_was_planned(store: Store) -> None:
    """Which bar of a load serves which line follows the bars, however they come into the saw."""
    released_loads(store)
    lay(store, "l1", "b1", "b2")
    assert isinstance(load_bar(store, LoadBar("b3", "r1", "L-1"), by=OPERATOR, at=AT), BarAtSaw)
    lay(store, "l2", "b4", "b5", "b6")
    marks = [piece.mark for one in sheet(store).bars for piece in one.at_saw.pattern]
    assert {mark: marks.count(mark) for mark in marks} == {"P1": 12, "P2": 4, "P3": 2}


def test_all_or_nothing(store: Store) -> None:
    """The second bar's number is taken, or its piece too long: the first bar's log stays as it was."""
    released_loads(store)
    full(store)
    good = told_of(store, "l1", "p1")
    for spoilt, code in (
        (replace(good.cuts[1], number=1), "entry-taken"),
        (replace(good.cuts[1], number=9), "entries-missing"),
        (replace(good.cuts[1], line_id="other"), "unknown-line"),
        (replace(good.cuts[1], line_id=B), "unequal-lengths"),
        (replace(good.cuts[1], cut_id=good.cuts[0].cut_id), "rule"),
    ):
        told = replace(good, cuts=(good.cuts[0], spoilt, good.cuts[2]))
        assert refusal(cut_load(store, told, by=OPERATOR, at=AT)) == code
        assert [one.at_saw.bar.entries for one in sheet(store).bars] == [1, 1, 1]
    assert refusal(cut_load(store, replace(good, cuts=good.cuts[:2]), by=OPERATOR, at=AT)) == "load-changed"
    cut_through(store, good)
    assert refusal(cut_load(store, good, by=OPERATOR, at=AT)) == "id-taken"
    assert counts(store)[A] == (3, 0, 0)


def test_a_pass_goes_through_each_bar_once(store: Store) -> None:
    with pytest.raises(InvalidValue):
        CutLoad("p", "l", (BarCut("b1", "c1", 1), BarCut("b1", "c2", 2)))
    with pytest.raises(InvalidValue):
        UndoPass("p", (BarUndo("b1", "u1", 1), BarUndo("b1", "u2", 2)))


def test_the_same_event_twice_counts_once(store: Store) -> None:
    released_loads(store)
    full(store)
    told = told_of(store, "l1", "p1")
    mark = EventMark("e1", "panel", 1, AT)
    first = cut_load(store, told, by=OPERATOR, at=AT, event=mark)
    assert isinstance(first, LoadCut)
    assert cut_load(store, told, by=OPERATOR, at=AT, event=mark) == first
    assert counts(store)[A] == (3, 0, 0)
    undo = UndoPass("p1", tuple(BarUndo(bar_id, f"u-{bar_id}", 3) for bar_id in ABC))
    for _ in range(2):
        answer = undo_pass(store, undo, by=OPERATOR, at=AT, event=EventMark("e2", "panel", 2, AT))
        assert isinstance(answer, PassUndone)
    assert counts(store)[A] == (0, 0, 0)
    assert all(one.at_saw.bar.entries == 3 for one in sheet(store).bars)


def test_an_undo_takes_the_pass_back_in_all_bars_or_in_none(store: Store) -> None:
    released_loads(store)
    full(store)
    cut_through(store, told_of(store, "l1", "p1"))
    one_bar = UndoCut("u", "b1", 3, "p1-b1")
    assert refusal(undo_cut(store, one_bar, by=OPERATOR, at=AT)) == "through-load"
    two = UndoPass("p1", tuple(BarUndo(bar_id, f"u-{bar_id}", 3) for bar_id in ABC[:2]))
    assert refusal(undo_pass(store, two, by=OPERATOR, at=AT)) == "load-changed"
    rejected = RejectPiece("x", "p1-b2", ScrapReason.ROUGH_FACE)
    assert not isinstance(reject_piece(store, rejected, by=OPERATOR, at=AT), Refusal)
    numbers = {"b1": 3, "b2": 4, "b3": 3}
    told = UndoPass("p1", tuple(BarUndo(bar_id, f"u-{bar_id}", numbers[bar_id]) for bar_id in ABC))
    assert refusal(undo_pass(store, told, by=OPERATOR, at=AT)) == "not-last"
    assert sheet(store).loads[0].last is None, "a panel is not to offer it"
    assert not isinstance(undo_cut(store, UndoCut("ux", "b2", 4, "x"), by=OPERATOR, at=AT), Refusal)
    told = replace(
        told, undos=tuple(replace(one, number=5 if one.bar_id == "b2" else 3) for one in told.undos)
    )
    undone = undo_pass(store, told, by=OPERATOR, at=AT)
    assert isinstance(undone, PassUndone)
    assert {entry.pass_id for entry in undone.entries} == {"p1"}
    assert counts(store)[A] == (0, 0, 0)
    assert all(one.at_saw.bar.parts == Parts(FACING_UM, KERF_UM) for one in sheet(store).bars)
    assert refusal(undo_pass(store, told, by=OPERATOR, at=AT)) == "entry-taken"


def test_one_bars_piece_may_be_scrap_and_is_that_bars_to_cut_again(store: Store) -> None:
    released_loads(store)
    full(store)
    told = told_of(store, "l1", "p1")
    spoilt = replace(told.cuts[1], scrapped=ScrapReason.MATERIAL_FAULT)
    cut = cut_through(store, replace(told, cuts=(told.cuts[0], spoilt, told.cuts[2])))
    assert counts(store)[A] == (2, 0, 1)
    assert [one.piece.mark for one in cut.to_cut.passes] == ["P1", "P2"]
    assert [(one.bar_id, one.piece.mark) for one in cut.to_cut.alone] == [("b2", "P1")]
    cut_through(store, told_of(store, "l1", "p2"))
    cut_through(store, told_of(store, "l1", "p3"))
    assert refusal(log_cut(store, LogCut("c", "b2", 5, line_id=A), by=OPERATOR, at=AT)) == "in-load"
    taken = take_out(store, TakeOut("b2", "one piece more"), by=OPERATOR, at=AT)
    assert isinstance(taken, BarAtSaw)
    assert taken.bar.load_id == ""
    assert isinstance(log_cut(store, LogCut("c", "b2", 5, line_id=A), by=OPERATOR, at=AT), CutLogged)
    assert counts(store)[A] == (6, 0, 1)


def test_more_than_wanted_is_surplus_and_told(store: Store) -> None:
    released_loads(store)
    full(store)
    changed = change_run(store, ChangeRun("r1", (LineChange(A, quantity=2),)), first_fit, by=OPERATOR, at=AT)
    assert isinstance(changed, RunChanged), changed
    cut = cut_through(store, told_of(store, "l1", "p1"))
    assert counts(store)[A] == (2, 1, 0)
    assert [entry.outcome for entry in cut.entries] == [Outcome.GOOD, Outcome.GOOD, Outcome.SURPLUS]
    assert any("surplus" in note for note in cut.notes)


def test_a_bad_bar_leaves_the_load_with_what_is_left_of_it(store: Store) -> None:
    released_loads(store)
    full(store)
    cut_through(store, told_of(store, "l1", "p1"))
    assert refusal(finish_bar(store, FinishBar("b2"), by=OPERATOR, at=AT)) == "in-load"
    assert isinstance(take_out(store, TakeOut("b2", "a crack"), by=OPERATOR, at=AT), BarAtSaw)
    assert refusal(take_out(store, TakeOut("b2"), by=OPERATOR, at=AT)) == "not-in-load"
    assert not isinstance(finish_bar(store, FinishBar("b2"), by=OPERATOR, at=AT), Refusal)
    left = next(one.at_saw.bar for one in sheet(store).bars if one.at_saw.bar.id == "b2")
    assert (left.state, left.left_um) == (BarState.FINISHED, 3_000_000 - FACING_UM - 2 * KERF_UM - 500_000)
    cut = cut_through(store, told_of(store, "l1", "p2"))
    assert {entry.bar_id for entry in cut.entries} == {"b1", "b3"}
    assert counts(store)[A] == (5, 0, 0)
    again = UndoPass("p1", tuple(BarUndo(bar_id, f"u-{bar_id}", 3) for bar_id in ABC))
    assert refusal(undo_pass(store, again, by=OPERATOR, at=AT)) in ("entry-taken", "bar-finished")


def test_an_uncut_bar_goes_back_and_makes_room(store: Store) -> None:
    released_loads(store)
    lay(store, "l1", *ABC)
    assert not isinstance(return_bar(store, ReturnBar("b2"), by=OPERATOR, at=AT), Refusal)
    (load,) = sheet(store).loads
    assert (len(load.bars), load.is_open, load.waiting) == (2, True, 1)
    (again,) = lay(store, "l1", "b4")
    assert again.bar.copy == 2, "it takes the place of the one that went back"


def test_a_load_is_finished_in_one_deed_and_remnants_are_booked_by_label(store: Store) -> None:
    released_loads(store)
    full(store)
    for number in range(1, 4):
        cut_through(store, told_of(store, "l1", f"p{number}"))
    strange = FinishLoad("l1", (LeftOfBar("b9", 1),))
    assert refusal(finish_load(store, strange, by=OPERATOR, at=AT)) == "not-in-load"
    told = FinishLoad("l1", (LeftOfBar("b2", 1_500_000),))
    ended = finish_load(store, told, by=OPERATOR, at=AT)
    assert isinstance(ended, LoadFinished)
    assert len({one.free_label for one in ended.bars}) == 3
    rest = 3_000_000 - FACING_UM - 4 * KERF_UM - 1_400_000
    for one, left_um in zip(ended.bars, (rest, 1_500_000, rest), strict=True):
        away = put_away(store, PutAway(one.bar.bar.id, one.free_label, "R1"), by=OPERATOR, at=AT)
        assert isinstance(away, Bar)
        assert (away.length_um, away.heat) == (left_um, "H100")
    assert refusal(finish_load(store, FinishLoad("l1"), by=OPERATOR, at=AT)) == "load-done"
    assert refusal(finish_load(store, FinishLoad("l9"), by=OPERATOR, at=AT)) == "unknown-load"
    assert sheet(store).loads == ()


def test_the_first_piece_of_each_bar_is_due_then_one_at_intervals(store: Store) -> None:
    released_loads(store)
    full(store)
    told = told_of(store, "l1", "p1")
    measured = replace(told.cuts[0], measured_um=500_100)
    cut = cut_through(store, replace(told, cuts=(measured, *told.cuts[1:])))
    assert [(one.cut_id, one.verdict) for one in cut.judged] == [("p1-b1", Verdict.WITHIN)]
    assert [(one.bar_id, one.kind) for one in cut.due] == [
        ("b2", InspectionKind.FIRST_PIECE),
        ("b3", InspectionKind.FIRST_PIECE),
    ]
    assert [entry.id for entry in sheet(store).loads[0].to_measure] == ["p1-b2", "p1-b3"]
    told = told_of(store, "l1", "p2")
    both = tuple(replace(one, measured_um=500_000) for one in told.cuts[1:])
    cut = cut_through(store, replace(told, cuts=(told.cuts[0], *both)))
    assert cut.due == ()
    assert sheet(store).loads[0].to_measure == ()


def test_a_replanned_run_keeps_the_bars_of_a_load_alike(store: Store) -> None:
    released_loads(store)
    full(store)
    told = ChangeRun("r1", (LineChange(B, length_um=350_000), LineChange(C, length_um=350_000)))
    assert isinstance(change_run(store, told, first_fit, by=OPERATOR, at=AT), RunChanged)
    (load,) = sheet(store).loads
    assert [one.piece.length_um for one in load.to_cut.passes] == [500_000, 500_000, 350_000]
    assert load.to_cut.alone == ()
    told = ChangeRun("r1", (LineChange(C, length_um=360_000),))
    assert isinstance(change_run(store, told, first_fit, by=OPERATOR, at=AT), RunChanged)
    (load,) = sheet(store).loads
    assert [one.piece.length_um for one in load.to_cut.passes] == [500_000, 500_000], "no longer one length"
    assert load.to_cut.alone == ()
    late = LoadBar("b7", "r1", "L-1", load_id="l1")
    assert refusal(load_bar(store, late, by=OPERATOR, at=AT)) == "load-pattern"


def test_every_piece_of_a_pass_is_traced_to_its_own_bar(store: Store) -> None:
    released_loads(store)
    full(store)
    for number in range(1, 4):
        cut_through(store, told_of(store, "l1", f"p{number}"))
    with store.look() as look:
        traced = {bar_id: look.trace.piece(f"p3-{bar_id}") for bar_id in ABC}
    found = {bar_id: one.piece for bar_id, one in traced.items() if one is not None}
    assert {bar_id: (one.bar_id, one.label, one.heat) for bar_id, one in found.items()} == {
        bar_id: (bar_id, "L-1", "H100") for bar_id in ABC
    }
    assert [found[bar_id].customer for bar_id in ABC] == ["Weir", "Weir", "Hall"]


def test_a_last_piece_in_the_vise_is_counted_without_a_cut(store: Store) -> None:
    """Its far end is the bar's own: no kerf, no area, the bar is used up, and the band has cut no more."""
    released_loads(store, (to_the_end(1),))
    load_bar(store, LoadBar("b1", "r1", "L-4"), by=OPERATOR, at=AT)
    assert isinstance(log_cut(store, LogCut("f", "b1", 1, EntryKind.FACING), by=OPERATOR, at=AT), CutLogged)
    for number in (2, 3):
        log_cut(store, LogCut(f"c{number}", "b1", number, line_id=A), by=OPERATOR, at=AT)
    last = log_cut(store, LogCut("c4", "b1", 4, line_id=B), by=OPERATOR, at=AT)
    assert isinstance(last, CutLogged)
    assert (last.entry.area_cm2, last.entry.parts) == (0.0, Parts(pieces_um=400_000))
    assert (last.bar.bar.left_um, last.still_to_cut) == (0, ())
    with store.look() as look:
        band = look.crib.band("S-0")
    assert band is not None
    assert band.cut_cm2 == pytest.approx(3 * SQUARE_CM2)
    ended = finish_bar(store, FinishBar("b1"), by=OPERATOR, at=AT)
    assert isinstance(ended, BarFinished)
    assert ended.bar.bar.state is BarState.SCRAPPED, "nothing is left to be put away"
    undone = UndoCut("u", "b1", 5, "c4")
    assert refusal(undo_cut(store, undone, by=OPERATOR, at=AT)) == "bar-closed"


def test_last_pieces_of_a_load_are_counted_together_without_a_cut(store: Store) -> None:
    released_loads(store, (to_the_end(2),))
    lay(store, "l1", "b1", "b2", label="L-4")
    cut_through(store, told_of(store, "l1", "f", EntryKind.FACING))
    for number in (1, 2):
        cut_through(store, told_of(store, "l1", f"p{number}"))
    last = cut_through(store, told_of(store, "l1", "p3"))
    assert [(one.area_cm2, one.parts) for one in last.entries] == [(0.0, Parts(pieces_um=400_000))] * 2
    assert counts(store)[B] == (2, 0, 0)
    with store.look() as look:
        taught = [cut for cut in look.learning.log().cuts if cut.id.startswith("p3")]
    assert [(cut.area_cm2, cut.predicted_s) for cut in taught] == [(0.0, None)] * 2, "it teaches no times"
    ended = finish_load(store, FinishLoad("l1"), by=OPERATOR, at=AT)
    assert isinstance(ended, LoadFinished)
    assert {one.bar.bar.state for one in ended.bars} == {BarState.SCRAPPED}
    undos = tuple(BarUndo(bar_id, f"u-{bar_id}", 5) for bar_id in ("b1", "b2"))
    assert refusal(undo_pass(store, UndoPass("p3", undos), by=OPERATOR, at=AT)) == "bar-closed"


def test_a_piece_that_is_out_casts_doubt_on_the_pass_and_a_good_one_speaks_for_its_own_bar(
    store: Store,
) -> None:
    released_loads(store)
    full(store)
    told = told_of(store, "l1", "p1")
    first = tuple(replace(one, measured_um=500_000) for one in told.cuts[:1])
    cut_through(store, replace(told, cuts=(*first, *told.cuts[1:])))
    told = told_of(store, "l1", "p2")
    out = replace(told.cuts[1], measured_um=501_000)
    cut = cut_through(store, replace(told, cuts=(told.cuts[0], out, told.cuts[2])))
    assert [one.verdict for one in cut.judged] == [Verdict.LONG]
    assert [one.piece.id for one in sheet(store).held] == ["p2-b2"]
    doubtful = {one.id for one in sheet(store).doubtful}
    assert doubtful == {"p1-b2", "p1-b3", "p2-b1", "p2-b3"}, "the first bar's first piece was measured"
    good = InspectPiece("i1", "p2-b3", InspectionKind.EXTRA, 500_000)
    assert not isinstance(inspect_piece(store, good, by=OPERATOR, at=AT), Refusal)
    assert {one.id for one in sheet(store).doubtful} == {"p1-b2", "p2-b1"}, "it speaks for the third bar"
    third = told_of(store, "l1", "p3")
    assert refusal(cut_load(store, third, by=OPERATOR, at=AT)) == "piece-held"
    spoilt = tuple(replace(one, scrapped=ScrapReason.TOO_LONG) for one in third.cuts)
    assert isinstance(cut_load(store, replace(third, cuts=spoilt), by=OPERATOR, at=AT), LoadCut)
    settled = RejectPiece("x1", "p2-b2", ScrapReason.TOO_LONG)
    assert not isinstance(reject_piece(store, settled, by=OPERATOR, at=AT), Refusal)
    again = cut_through(store, told_of(store, "l1", "p4"))
    assert [one.bar_id for one in again.due] == list(ABC), "the stop was set anew, each bar is measured"


def test_a_trace_says_how_many_bars_the_pass_went_through(store: Store) -> None:
    released_loads(store)
    full(store)
    cut_through(store, told_of(store, "l1", "p1"))
    load_bar(store, LoadBar("b9", "r1", "L-3"), by=OPERATOR, at=AT)
    log_cut(store, LogCut("alone-f", "b9", 1, EntryKind.FACING), by=OPERATOR, at=AT)
    log_cut(store, LogCut("alone", "b9", 2, line_id=A), by=OPERATOR, at=AT)
    with store.look() as look:
        traced = {piece.cut_id: piece.bars for piece in look.trace.pieces(line_id=A)}
        rows = {one.entry.id: one.entry for one in look.floor.cut_log()}
    assert traced == {"p1-b1": 3, "p1-b2": 3, "p1-b3": 3, "alone": 1}
    assert (rows["p1-b2"].load_id, rows["p1-b2"].pass_id, rows["alone"].pass_id) == ("l1", "p1", "")


def test_the_week_takes_the_bars_of_a_load_as_one(store: Store) -> None:
    """In the saw, waiting, and what makes no whole load any more: a bar was loaded by itself."""
    released_loads(store, settings=(setting(),), bundle_settings=(setting(3),))
    full(store)
    cut_through(store, told_of(store, "l1", "p1"))
    load_bar(store, LoadBar("b9", "r1", "L-3"), by=OPERATOR, at=AT)
    lay(store, "l2", "b4")
    assert isinstance(take_out(store, TakeOut("b4"), by=OPERATOR, at=AT), BarAtSaw)
    assert [(bar.times, bar.at_once) for bar in sheet(store).to_load[0].to_come] == [(1, 1), (1, 1)]
    plan = store.latest_plan()
    assert plan is not None
    room = Room((SAW,), {}, {}, AT.replace(tzinfo=None))
    with store.look() as look:
        week = week_now(look, plan, room, None, ())
    (run,) = week.problem.runs
    loads = run.options[0].loads
    in_saw = [load.crane == 0 for load in loads]
    assert in_saw == [True, True, True, False, False], "l1, b9, b4, then two that wait"


def test_the_longest_ids_are_kept_on_both_databases(store: Store) -> None:
    released_loads(store)
    full(store)
    told = told_of(store, "l1", "p1")
    longest = tuple(
        replace(one, cut_id=f"{one.bar_id}-".ljust(80, "x"), measured_um=500_000) for one in told.cuts
    )
    cut = cut_through(store, replace(told, pass_id="p".ljust(80, "x"), cuts=longest))
    assert len(cut.judged) == 3
