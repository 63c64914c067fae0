"""A refusal keeps what it is made of, so that ledger and inbox can be told in another language."""

from datetime import timedelta

from tests.wiring.made_up import MadeUp, left_in_english
from tests.workflow.shop_floor import AT, GUEST, OPERATOR, later, released

from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.units.length import Measure
from kerfsmith.units.told import in_language
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import LogCut, log_cut
from kerfsmith.workflow.refusal import Refusal


def test_a_refusal_is_told_in_the_language_from_answer_ledger_and_inbox(store: Store) -> None:
    released(store)
    event = EventMark("e1", "panel", 1, AT)
    wrong = LoadBar("b1", "r1", "no such bar")
    answers = [load_bar(store, wrong, by=OPERATOR, at=later(minute), event=event) for minute in (0, 1)]
    for refusal in answers:
        assert isinstance(refusal, Refusal)
        assert refusal.reason == "no bar on the rack is labelled 'no such bar'"
        assert left_in_english([refusal.reason, refusal.remedy], ["no such bar"]) == set()
    entry = store.ledger(1)[0]
    assert entry.refused == str(answers[0])
    assert left_in_english([entry.refused], ["no such bar"]) == set()
    assert "'no such bar'" in in_language(entry.refused, Measure.METRIC, MadeUp())


def test_who_may_not_and_what_is_out_of_place(store: Store) -> None:
    released(store)
    told = LoadBar("b1", "r1", "A-1")
    refused = [
        load_bar(store, told, by=GUEST, at=AT),
        log_cut(store, LogCut("c1", "b9", 1, EntryKind.FACING), by=OPERATOR, at=AT + timedelta(minutes=1)),
        load_bar(store, LoadBar("b1", "r9", "A-1"), by=OPERATOR, at=AT),
    ]
    for refusal in refused:
        assert isinstance(refusal, Refusal)
        assert left_in_english([refusal.whole], ["Gus", "b9", "r9"]) == set()
