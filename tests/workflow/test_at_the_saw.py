"""A shift at the saw, verb by verb: what is loaded, cut, corrected and put away."""

import math

import pytest
from sqlalchemy import Engine, update
from tests.workflow.shop_floor import (
    AT,
    FACING_UM,
    KERF_UM,
    OPERATOR,
    SQUARE_CM2,
    later,
    released,
)

from kerfsmith.errors import InvalidValue
from kerfsmith.records import tables
from kerfsmith.records.store import Store
from kerfsmith.shop.band_in_use import RemovalReason, ThisBand
from kerfsmith.shop.cut_log import EntryKind, Outcome, ScrapReason
from kerfsmith.shop.inspection import InspectionKind, Verdict
from kerfsmith.shop.loaded_bar import BarState, Parts
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.run import RunState
from kerfsmith.shop.saw_stop import StopReason
from kerfsmith.workflow.change_band import ChangeBand, add_band, change_band
from kerfsmith.workflow.decide_piece import MeasureAgain, measure_again
from kerfsmith.workflow.finish_bar import BarFinished, FinishBar, finish_bar
from kerfsmith.workflow.finish_run import FinishRun, RunFinished, finish_run
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.inspect_piece import InspectPiece, inspect_piece
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import CutLogged, LogCut, log_cut
from kerfsmith.workflow.measure_bar import MeasureBar, measure_bar
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.reject_piece import RejectPiece, reject_piece
from kerfsmith.workflow.return_bar import ReturnBar, return_bar
from kerfsmith.workflow.run_sheet import RunSheet, run_sheet
from kerfsmith.workflow.scrap_remnant import ScrapRemnant, scrap_remnant
from kerfsmith.workflow.stop_saw import ResumeSaw, StopSaw, resume_saw, stop_saw
from kerfsmith.workflow.undo_cut import UndoCut, undo_cut


def load(store: Store, bar_id: str, label: str = "A-1") -> BarAtSaw:
    answer = load_bar(store, LoadBar(bar_id, "r1", label), by=OPERATOR, at=AT)
    assert isinstance(answer, BarAtSaw), answer
    return answer


def cut(store: Store, bar_id: str, number: int, line_id: str | None = None, **more: object) -> CutLogged:
    kind = EntryKind.PIECE if line_id else EntryKind.FACING
    told = LogCut(f"{bar_id}-{number}", bar_id, number, kind, line_id, **more)  # type: ignore[arg-type]
    answer = log_cut(store, told, by=OPERATOR, at=later(number))
    assert isinstance(answer, CutLogged), answer
    return answer


def sheet(store: Store) -> RunSheet:
    with store.look() as look:
        found = run_sheet(look, "r1")
    assert found is not None
    return found


def refusal(answer: object) -> str:
    assert isinstance(answer, Refusal), answer
    assert answer.reason
    return answer.code


def test_a_bar_is_cut_and_its_remnant_put_away(store: Store) -> None:
    released(store)
    load(store, "b1")
    cut(store, "b1", 1)
    for number in range(2, 6):
        cut(store, "b1", number, "o1:1")
    last = cut(store, "b1", 6, "o1:2")
    assert last.still_to_cut == ()
    assert last.bar.bar.parts == Parts(FACING_UM, 6 * KERF_UM, 4 * 500_000 + 400_000, 0)
    assert last.bar.bar.left_um == 3_000_000 - 10_000 - 12_000 - 2_400_000
    finished = finish_bar(store, FinishBar("b1"), by=OPERATOR, at=AT)
    assert isinstance(finished, BarFinished)
    assert finished.worth_keeping
    assert finished.not_cut == ()
    remnant = put_away(store, PutAway("b1", finished.free_label, "R2"), by=OPERATOR, at=AT)
    assert isinstance(remnant, Bar)
    assert (remnant.length_um, remnant.heat, remnant.kind) == (578_000, "H100", BarKind.REMNANT)
    on_rack = {bar.id: bar for bar in store.rack().bars}
    assert on_rack[remnant.id].place == "R2"
    assert on_rack["A-1"].count == 2
    assert [bar.bar.state for bar in sheet(store).closed] == [BarState.PUT_AWAY]


def test_a_remnant_keeps_what_its_far_end_was(store: Store, engine: Engine) -> None:
    released(store)
    with engine.begin() as run:
        run.execute(update(tables.bars).where(tables.bars.c.id == "A-1").values(end_is_good=1))
    load(store, "b1")
    cut(store, "b1", 1)
    finished = finish_bar(store, FinishBar("b1"), by=OPERATOR, at=AT)
    assert isinstance(finished, BarFinished)
    remnant = put_away(store, PutAway("b1", finished.free_label, "R2"), by=OPERATOR, at=AT)
    assert isinstance(remnant, Bar)
    assert remnant.end_is_good
    assert {bar.id: bar.end_is_good for bar in store.rack().bars if bar.id in ("A-2", remnant.id)} == {
        "A-2": False,
        remnant.id: True,
    }


@pytest.mark.parametrize(
    ("label", "code"),
    [
        ("B-1", "wrong-grade"),
        ("C-1", "wrong-section"),
        ("A-2", "wrong-heat"),
        ("nowhere", "unknown-label"),
    ],
)
def test_a_bar_that_does_not_belong_is_refused(store: Store, label: str, code: str) -> None:
    released(store)
    before = store.rack()
    assert refusal(load_bar(store, LoadBar("b1", "r1", label), by=OPERATOR, at=AT)) == code
    assert store.rack() == before
    assert store.ledger(1)[0].refused


def test_a_used_label_and_another_length_are_refused(store: Store) -> None:
    released(store)
    load(store, "b1")
    load(store, "b2")
    assert refusal(load_bar(store, LoadBar("b3", "r1", "A-1"), by=OPERATOR, at=AT)) == "wrong-length"
    load(store, "b3", "A-3")
    assert refusal(load_bar(store, LoadBar("b4", "r1", "A-3"), by=OPERATOR, at=AT)) == "used-label"
    assert refusal(load_bar(store, LoadBar("b4", "r1", "A-1"), by=OPERATOR, at=AT)) == "all-loaded"
    assert refusal(load_bar(store, LoadBar("b1", "r1", "A-1"), by=OPERATOR, at=AT)) == "id-taken"


def test_a_bar_measured_too_short_for_its_pieces_is_refused(store: Store) -> None:
    released(store)
    told = LoadBar("b1", "r1", "A-1", measured_um=2_400_000)
    assert refusal(load_bar(store, told, by=OPERATOR, at=AT)) == "bar-too-short"


def test_an_undo_takes_back_the_last_cut_and_only_that(store: Store) -> None:
    released(store)
    fresh = load(store, "b1")
    cut(store, "b1", 1)
    cut(store, "b1", 2, "o1:1")
    not_last = UndoCut("u1", "b1", 3, "b1-1")
    assert refusal(undo_cut(store, not_last, by=OPERATOR, at=AT)) == "not-last"
    for number, cut_id in ((3, "b1-2"), (4, "b1-1")):
        undone = undo_cut(store, UndoCut(f"u{number}", "b1", number, cut_id), by=OPERATOR, at=AT)
        assert not isinstance(undone, Refusal)
    bar = sheet(store).bars[0]
    assert bar.at_saw.bar.parts == Parts()
    assert bar.at_saw.bar.left_um == fresh.bar.left_um
    assert len(bar.entries) == 4, "corrections are further entries, nothing is taken out of the log"
    assert bar.facing_due
    assert sheet(store).lines[0].good == 0


def test_scrapped_and_rejected_pieces_are_wanted_again(store: Store) -> None:
    released(store)
    load(store, "b1")
    cut(store, "b1", 1)
    spoilt = cut(store, "b1", 2, "o1:1", scrapped=ScrapReason.OUT_OF_SQUARE)
    assert spoilt.entry.outcome is Outcome.SCRAPPED
    assert spoilt.bar.bar.parts.scrap_um == 500_000
    assert [piece.mark for piece in spoilt.still_to_cut] == ["P1"] * 4 + ["P2"]
    good = cut(store, "b1", 3, "o1:1")
    assert good.line is not None
    assert (good.line.good, good.line.scrapped) == (1, 1)
    told = RejectPiece("x1", good.entry.id, ScrapReason.ROUGH_FACE)
    assert not isinstance(reject_piece(store, told, by=OPERATOR, at=AT), Refusal)
    line = sheet(store).lines[0]
    assert (line.good, line.scrapped, line.missing) == (0, 2, 9)
    bar = sheet(store).bars[0].at_saw.bar
    assert (bar.parts.pieces_um, bar.parts.scrap_um) == (0, 1_000_000)
    again = RejectPiece("x2", good.entry.id, ScrapReason.ROUGH_FACE)
    assert refusal(reject_piece(store, again, by=OPERATOR, at=AT)) == "not-good"


def test_a_cut_recorded_twice_by_number_counts_once(store: Store) -> None:
    released(store)
    load(store, "b1")
    cut(store, "b1", 1)
    again = LogCut("other", "b1", 1, EntryKind.FACING)
    assert refusal(log_cut(store, again, by=OPERATOR, at=AT)) == "entry-taken"
    ahead = LogCut("other", "b1", 3, EntryKind.FACING)
    assert refusal(log_cut(store, ahead, by=OPERATOR, at=AT)) == "entries-missing"


def test_a_piece_longer_than_what_is_left_needs_the_bar_measured(store: Store) -> None:
    released(store)
    load(store, "b1", "A-3")
    cut(store, "b1", 1)
    for number in (2, 3, 4):
        cut(store, "b1", number, "o1:1")
    told = LogCut("c5", "b1", 5, EntryKind.PIECE, "o1:1")
    assert refusal(log_cut(store, told, by=OPERATOR, at=AT)) == "bar-too-short"
    measured = measure_bar(store, MeasureBar("b1", 500_000), by=OPERATOR, at=AT)
    assert isinstance(measured, BarAtSaw)
    assert measured.bar.length_um == 2_018_000
    last = log_cut(store, told, by=OPERATOR, at=AT)
    assert isinstance(last, CutLogged)
    assert (last.bar.bar.left_um, last.entry.parts.kerfs_um) == (0, 0)
    assert isinstance(finish_bar(store, FinishBar("b1"), by=OPERATOR, at=AT), BarFinished)
    assert sheet(store).closed[0].bar.state is BarState.SCRAPPED


def test_inspections_fall_due_and_are_judged(store: Store) -> None:
    released(store)
    load(store, "b1")
    cut(store, "b1", 1)
    first = cut(store, "b1", 2, "o1:1")
    assert first.inspection_due is InspectionKind.FIRST_PIECE
    told = InspectPiece("i1", first.entry.id, InspectionKind.FIRST_PIECE, 500_600)
    answer = inspect_piece(store, told, by=OPERATOR, at=AT)
    assert not isinstance(answer, Refusal)
    assert answer.verdict is Verdict.LONG
    again = MeasureAgain("d1", first.entry.id, 500_300, recut=True)
    assert not isinstance(measure_again(store, again, by=OPERATOR, at=AT), Refusal)
    second = cut(store, "b1", 3, "o1:1", measured_um=500_200)
    assert second.verdict is Verdict.WITHIN
    assert [one.kind for one in sheet(store).inspections] == [
        InspectionKind.FIRST_PIECE,
        InspectionKind.EXTRA,
        InspectionKind.FIRST_PIECE,
    ], "after one that was out the next is a first piece again"


@pytest.mark.parametrize(
    ("noted", "code"),
    [
        ({"began_at": later(3), "ended_at": later(2)}, "cut-times"),
        ({"began_at": later(0), "ended_at": later(3 * 24 * 60)}, "cut-times"),
        ({"motor_load_percent": -1.0}, "motor-load"),
        ({"motor_power_kw": 1e9}, "motor-load"),
        ({"measured_um": 500_000, "out_of_square_um": -1}, "no-squareness"),
    ],
)
def test_what_no_cut_can_have_been_is_refused(store: Store, noted: dict[str, object], code: str) -> None:
    released(store)
    load(store, "b1")
    cut(store, "b1", 1)
    told = LogCut("c2", "b1", 2, EntryKind.PIECE, "o1:1", **noted)  # type: ignore[arg-type]
    assert refusal(log_cut(store, told, by=OPERATOR, at=later(2))) == code
    assert len(sheet(store).bars[0].entries) == 1


@pytest.mark.parametrize(
    "noted",
    [{"motor_load_percent": math.nan}, {"motor_power_kw": math.inf}, {"began_at": AT.replace(tzinfo=None)}],
)
def test_a_cut_is_told_in_figures_and_in_time_with_its_zone(noted: dict[str, object]) -> None:
    with pytest.raises(InvalidValue):
        LogCut("c2", "b1", 2, EntryKind.PIECE, "o1:1", **noted)  # type: ignore[arg-type]


def test_a_cut_keeps_its_times_and_the_motor_load(store: Store) -> None:
    released(store)
    load(store, "b1")
    cut(store, "b1", 1)
    made = cut(store, "b1", 2, "o1:1", began_at=later(1), ended_at=later(2), motor_power_kw=2.5)
    kept = sheet(store).bars[0].entries[1]
    assert kept == made.entry
    assert (kept.cut_seconds, kept.motor_power_kw, kept.motor_load_percent) == (60.0, 2.5, None)
    assert sheet(store).bars[0].entries[0].cut_seconds is None


def test_bands_are_changed_and_know_what_they_cut(store: Store) -> None:
    released(store, band=False)
    for label in ("S-1", "S-2"):
        band = ThisBand(label, "bimetal 34 x 1.1", break_in_cm2=200.0)
        assert not isinstance(add_band(store, band, by=OPERATOR, at=AT), Refusal)
    on = ChangeBand("north", "m1", "S-1")
    assert not isinstance(change_band(store, on, by=OPERATOR, at=AT), Refusal)
    load(store, "b1")
    cut(store, "b1", 1)
    cut(store, "b1", 2, "o1:1")
    with store.look() as look:
        band_now = look.crib.band("S-1")
    assert band_now is not None
    assert band_now.cut_cm2 == pytest.approx(2 * SQUARE_CM2)
    assert band_now.break_in_left_cm2 == pytest.approx(200.0 - 2 * SQUARE_CM2)
    assert refusal(change_band(store, ChangeBand("north", "m2", "S-2"), by=OPERATOR, at=AT)) == "why-missing"
    worn = ChangeBand("north", "m2", "S-2", RemovalReason.WORN)
    changed = change_band(store, worn, by=OPERATOR, at=later(10))
    assert not isinstance(changed, Refusal)
    assert changed.off is not None
    assert changed.off.retired is RemovalReason.WORN
    back = ChangeBand("north", "m3", "S-1", RemovalReason.OTHER_WORK)
    assert refusal(change_band(store, back, by=OPERATOR, at=later(11))) == "band-retired"
    late = log_cut(store, LogCut("c3", "b1", 3, EntryKind.PIECE, "o1:1"), by=OPERATOR, at=later(5))
    assert isinstance(late, CutLogged)
    assert late.entry.mounting == "m1", "a cut told of late was made with the band of its time"


def test_stops_and_resuming(store: Store) -> None:
    released(store)
    told = StopSaw("s1", "north", StopReason.CHIPS_OR_COOLANT, "r1")
    assert not isinstance(stop_saw(store, told, by=OPERATOR, at=AT), Refusal)
    twice = StopSaw("s2", "north", StopReason.FAULT)
    assert refusal(stop_saw(store, twice, by=OPERATOR, at=AT)) == "stopped"
    assert sheet(store).stop is not None
    ended = resume_saw(store, ResumeSaw("north"), by=OPERATOR, at=later(7))
    assert not isinstance(ended, Refusal)
    assert ended.lasted(later(9)).total_seconds() == 7 * 60
    assert refusal(resume_saw(store, ResumeSaw("north"), by=OPERATOR, at=later(8))) == "not-stopped"


def test_an_uncut_bar_goes_back_and_may_be_loaded_again(store: Store) -> None:
    released(store)
    load(store, "b1")
    assert not isinstance(return_bar(store, ReturnBar("b1"), by=OPERATOR, at=AT), Refusal)
    assert {bar.id: bar.count for bar in store.rack().bars}["A-1"] == 3
    load(store, "b2")
    cut(store, "b2", 1)
    assert refusal(return_bar(store, ReturnBar("b2"), by=OPERATOR, at=AT)) == "bar-cut"


def test_a_run_ends_when_its_bars_are_closed_and_what_is_missing_is_explained(store: Store) -> None:
    released(store)
    load(store, "b1")
    cut(store, "b1", 1)
    assert refusal(finish_run(store, FinishRun("r1"), by=OPERATOR, at=AT)) == "bars-open"
    assert not isinstance(finish_bar(store, FinishBar("b1", 2_900_000), by=OPERATOR, at=AT), Refusal)
    assert not isinstance(scrap_remnant(store, ScrapRemnant("b1"), by=OPERATOR, at=AT), Refusal)
    assert refusal(finish_run(store, FinishRun("r1"), by=OPERATOR, at=AT)) == "pieces-missing"
    ended = finish_run(store, FinishRun("r1", "customer cancelled"), by=OPERATOR, at=AT)
    assert isinstance(ended, RunFinished)
    assert ended.run.state is RunState.FINISHED
    assert refusal(load_bar(store, LoadBar("b9", "r1", "A-1"), by=OPERATOR, at=AT)) == "run-finished"


def test_a_remnant_needs_a_label_that_no_bar_had(store: Store) -> None:
    released(store)
    load(store, "b1")
    assert refusal(put_away(store, PutAway("b1", "X", "R1"), by=OPERATOR, at=AT)) == "bar-not-finished"
    finish_bar(store, FinishBar("b1"), by=OPERATOR, at=AT)
    assert refusal(put_away(store, PutAway("b1", "A-3", "R1"), by=OPERATOR, at=AT)) == "label-taken"
    assert refusal(put_away(store, PutAway("b1", " ", "R1"), by=OPERATOR, at=AT)) == "no-label"
