"""How every verb is done: once, by a person who may, in one transaction, with one ledger entry."""

from collections.abc import Callable
from datetime import datetime
from typing import TypeVar

from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.ports import Change, LedgerNote, Records
from kerfsmith.workflow.refusal import Refusal, Refused, RuleBroken

Answer = TypeVar("Answer")


def act(
    records: Records,
    verb: Verb,
    body: Callable[[Change], Answer],
    *,
    answer_as: type[Answer],
    told: object,
    subject: str,
    by: Person,
    at: datetime,
    event: EventMark | None = None,
) -> Answer | Refusal:
    """Do ``body`` in one transaction and note it in the ledger, refusals too.

    ``told`` is what was asked, kept in the entry. An ``event`` that was recorded before isn't done again: it
    gets the answer it got then. One whose predecessors from the same panel are missing is refused and not
    kept, so that the panel sends it again after them.
    """

    def attempt(change: Change) -> Answer | Refusal:
        if event is not None:
            former = change.inbox.answer(event, answer_as)
            if former is not None:
                return former
            untimely = _out_of_turn(change, event)
            if untimely is not None:
                return untimely
        answer = _answer(change, verb, body, by)
        note = LedgerNote(verb, by.name, at, subject, told, answer if isinstance(answer, Refusal) else None)
        change.note(note, event)
        if event is not None:
            change.inbox.keep(event, note, answer, answer_as)
        return answer

    return records.perform(attempt)


def _answer(change: Change, verb: Verb, body: Callable[[Change], Answer], by: Person) -> Answer | Refusal:
    if not may(by.role, verb):
        return Refusal(
            "role",
            sentence("{by} is signed in as {role} and may not {verb}", by=by.name, role=by.role, verb=verb),
            "Ask somebody who may",
        )
    try:
        with change.part():
            return body(change)
    except Refused as refused:
        return refused.refusal
    except RuleBroken as broken:
        return Refusal(
            "rule",
            sentence("the records refused it by their rule {rule}", rule=broken.rule),
            "Look at the records and try again",
        )


def _out_of_turn(change: Change, event: EventMark) -> Refusal | None:
    due = change.inbox.next_number(event.panel)
    if event.number > due:
        return Refusal(
            "events-missing",
            sentence("event {due} of this panel has not arrived", due=due),
            sentence("Send from {due} on, in order", due=due),
        )
    if event.number < due:
        return Refusal(
            "number-taken",
            sentence("this panel has already sent another event {number}", number=event.number),
            sentence("Number it {due} or higher", due=due),
        )
    return None
