"""Panels' events: each counts once, in its order, however often and late it arrives."""

import random
import threading
from datetime import timedelta

import pytest
from tests.workflow.shop_floor import AT, GUEST, OPERATOR, PLANNER, first_fit, later, never, released

from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind, Outcome, ScrapReason
from kerfsmith.units.length import Measure
from kerfsmith.units.told import in_measure
from kerfsmith.workflow.change_run import ChangeRun, RunChanged, change_run
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.finish_bar import FinishBar
from kerfsmith.workflow.load_bar import LoadBar
from kerfsmith.workflow.log_cut import CutLogged, LogCut
from kerfsmith.workflow.put_away import PutAway
from kerfsmith.workflow.record_events import PanelEvent, PanelVerb, is_kept, record_event, record_events
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.replanning import LineChange
from kerfsmith.workflow.undo_cut import UndoCut


def event(number: int, told: PanelVerb, panel: str = "panel-1", **changes: object) -> PanelEvent:
    """What was told as the panel's ``number``-th event, an hour late."""
    at = later(number)
    mark = EventMark(f"{panel}:{number}", panel, number, at + timedelta(hours=1))
    fields: dict[str, object] = {"told": told, "by": OPERATOR, "at": at, "mark": mark}
    return PanelEvent(**(fields | changes))  # type: ignore[arg-type]


def a_bar() -> list[PanelEvent]:
    """One whole bar with a mistake that was undone."""
    told: list[PanelVerb] = [
        LoadBar("b1", "r1", "A-1"),
        LogCut("c1", "b1", 1, EntryKind.FACING),
        LogCut("c2", "b1", 2, line_id="o1:1"),
        LogCut("c3", "b1", 3, line_id="o1:1"),
        UndoCut("u4", "b1", 4, "c3"),
        LogCut("c5", "b1", 5, line_id="o1:1", scrapped=ScrapReason.TOO_SHORT),
        LogCut("c6", "b1", 6, line_id="o1:2"),
        FinishBar("b1"),
        PutAway("b1", "R-00001", "R1"),
    ]
    return [event(number, one) for number, one in enumerate(told, start=1)]


def good(store: Store) -> dict[str, int]:
    with store.look() as look:
        return {line.mark: line.good for line in look.floor.lines("r1")}


def test_a_queue_sent_again_counts_once_and_gets_the_same_answers(store: Store) -> None:
    released(store)
    first = record_events(store, a_bar(), never)
    entries = len(store.ledger(1000))
    assert not any(isinstance(answer, Refusal) for answer in first)
    assert record_events(store, a_bar(), never) == first
    assert len(store.ledger(1000)) == entries
    assert good(store) == {"P1": 1, "P2": 1}


@pytest.mark.parametrize("seed", range(5))
def test_whatever_the_order_of_arrival_nothing_is_lost_or_doubled(store: Store, seed: int) -> None:
    """Batches arrive torn, shuffled and repeated; the panel resends what isn't kept."""
    released(store)
    chance = random.Random(seed)
    queue = a_bar()
    waiting = list(queue)
    for _ in range(200):
        if not waiting:
            break
        batch = chance.sample(waiting, chance.randint(1, len(waiting)))
        answers = record_events(store, batch, never)
        kept = {
            one.mark.id
            for one, answer in zip(sorted(batch, key=lambda one: one.mark.number), answers, strict=True)
            if is_kept(answer) and chance.random() < 0.7
        }
        # Of those kept some answers get lost on their way back: the panel sends these again too.
        waiting = [one for one in waiting if one.mark.id not in kept]
    assert waiting == []
    assert good(store) == {"P1": 1, "P2": 1}
    with store.look() as look:
        bar = look.floor.bar("b1")
        assert bar is not None
        assert bar.bar.entries == 6
        assert [entry.at for entry in look.floor.entries("b1")] == [later(n) for n in range(2, 8)]


def test_the_same_event_sent_by_many_at_once_counts_once(store: Store) -> None:
    released(store)
    record_events(store, a_bar()[:2], never)
    answers: list[object] = []
    cut = a_bar()[2]
    threads = [
        threading.Thread(target=lambda: answers.append(record_event(store, cut, never))) for _ in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(answers) == 8
    assert all(answer == answers[0] for answer in answers)
    assert isinstance(answers[0], CutLogged)
    assert good(store)["P1"] == 1


def test_an_event_whose_predecessor_is_missing_waits(store: Store) -> None:
    released(store)
    answer = record_event(store, a_bar()[1], never)
    assert isinstance(answer, Refusal)
    assert answer.code == "events-missing"
    assert not is_kept(answer)
    assert not isinstance(record_event(store, a_bar()[0], never), Refusal)
    assert isinstance(record_event(store, a_bar()[1], never), CutLogged)


def test_a_number_used_for_another_event_is_refused(store: Store) -> None:
    released(store)
    record_event(store, a_bar()[0], never)
    other = event(1, LoadBar("b9", "r1", "A-1"), mark=EventMark("other", "panel-1", 1, AT))
    answer = record_event(store, other, never)
    assert isinstance(answer, Refusal)
    assert answer.code == "number-taken"


def test_a_refused_event_is_kept_with_its_reason_and_answered_so_again(store: Store) -> None:
    released(store)
    wrong = event(1, LoadBar("b1", "r1", "B-1"))
    first = record_event(store, wrong, never)
    assert isinstance(first, Refusal)
    assert first.code == "wrong-grade"
    assert is_kept(first)
    assert record_event(store, wrong, never) == first
    right = record_event(store, event(2, LoadBar("b1", "r1", "A-1")), never)
    assert not isinstance(right, Refusal)


def test_a_refusal_tells_lengths_in_the_readers_measure_however_often_it_is_told(store: Store) -> None:
    released(store)
    record_events(store, [event(1, LoadBar("b1", "r1", "A-1")), event(2, LoadBar("b2", "r1", "A-1"))], never)
    wrong = event(3, LoadBar("b3", "r1", "A-1"))
    for _ in range(2):
        answer = record_event(store, wrong, never)
        assert isinstance(answer, Refusal)
        assert "3000 mm" in answer.reason
        assert in_measure(answer.reason, Measure.INCH) != answer.reason


def test_a_guest_at_a_panel_is_refused_and_the_queue_goes_on(store: Store) -> None:
    released(store)
    answers = record_events(
        store,
        [event(1, LoadBar("b1", "r1", "A-1"), by=GUEST), event(2, LoadBar("b2", "r1", "A-1"))],
        never,
    )
    assert isinstance(answers[0], Refusal)
    assert answers[0].code == "role"
    assert not isinstance(answers[1], Refusal)


def test_two_panels_at_one_bar_the_second_is_told_who_was_first(store: Store) -> None:
    released(store)
    record_events(store, a_bar()[:3], never)
    other = event(1, LogCut("d1", "b1", 2, line_id="o1:1"), panel="panel-2")
    answer = record_event(store, other, never)
    assert isinstance(answer, Refusal)
    assert answer.code == "entry-taken"
    assert OPERATOR.name in answer.reason
    assert good(store)["P1"] == 1


def test_pieces_cut_while_away_after_the_quantity_was_lowered_are_kept_as_surplus(store: Store) -> None:
    released(store)
    record_events(store, a_bar()[:3], never)
    told = ChangeRun("r1", (LineChange("o1:1", quantity=1),))
    assert isinstance(change_run(store, told, first_fit, by=PLANNER, at=later(30)), RunChanged)
    late = record_event(store, event(4, LogCut("c3", "b1", 3, line_id="o1:1")), never)
    assert isinstance(late, CutLogged)
    assert late.entry.outcome is Outcome.SURPLUS
    assert "surplus" in late.notes[0]
    with store.look() as look:
        line = look.floor.line("r1", "o1:1")
    assert line is not None
    assert (line.wanted, line.good, line.surplus) == (1, 1, 1)
