"""Panels' events in the tables, each with the answer it got."""

from typing import TypeVar

from sqlalchemy import Connection, func, insert, select

from kerfsmith.records.answer_tables import panel_events
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.records.locks import hold
from kerfsmith.units.told import Told, marked
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.ports import LedgerNote
from kerfsmith.workflow.refusal import Refusal

Answer = TypeVar("Answer")


class EventInbox:
    """`workflow.ports.Inbox` over the connection of one open change."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def answer(self, event: EventMark, answer_as: type[Answer]) -> Answer | Refusal | None:
        """The answer this event got before, None when it is new. The panel is held from here on."""
        hold(self._run, "panel", event.panel)
        columns = panel_events.c.accepted, panel_events.c.answer
        row = self._run.execute(select(*columns).where(panel_events.c.id == event.id)).first()
        if row is None:
            return None
        if not row.accepted:
            return _read_refusal(row.answer)
        return from_document(row.answer, answer_as)

    def next_number(self, panel: str) -> int:
        """The number that this panel's next event must have."""
        newest = select(func.max(panel_events.c.number)).where(panel_events.c.panel == panel)
        return (self._run.scalar(newest) or 0) + 1

    def keep(
        self, event: EventMark, note: LedgerNote, answer: Answer | Refusal, answer_as: type[Answer]
    ) -> None:
        """Keep an event with its answer."""
        document = (
            _refusal_document(answer) if isinstance(answer, Refusal) else to_document(answer, answer_as)
        )
        self._run.execute(
            insert(panel_events).values(
                id=event.id,
                panel=event.panel,
                number=event.number,
                verb=note.verb.value,
                subject=note.subject,
                told=to_document(note.told, type(note.told)),
                by=note.by,
                happened_at=note.at,
                received_at=event.received_at,
                accepted=int(not isinstance(answer, Refusal)),
                answer=document,
            )
        )


def _refusal_document(refusal: Refusal) -> dict[str, str]:
    """With the lengths in its sentences marked, so that each reader is told them in his own measure."""
    return {"code": refusal.code, "reason": marked(refusal.reason), "remedy": marked(refusal.remedy)}


def _read_refusal(document: dict[str, str]) -> Refusal:
    return Refusal(document["code"], Told(document["reason"]), Told(document["remedy"]))
