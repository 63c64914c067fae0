"""Where a panel's queue arrives: events made while there was no network, or just now."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from kerfsmith.shop.loaded_bar import LoadedBar
from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.session import Session
from kerfsmith.web.floor_stage import FloorStage
from kerfsmith.web.pages.at_saw.answers import notice_of
from kerfsmith.web.pages.at_saw.routes import part_values
from kerfsmith.web.pages.at_saw.told import SentEvent, SentQueue, UntoldError, event_of, sent_of
from kerfsmith.web.pages.sign_in.gate import Entry, entry_of
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say
from kerfsmith.workflow.cut_load import LoadCut
from kerfsmith.workflow.log_cut import CutLogged
from kerfsmith.workflow.record_events import PanelEvent, is_kept
from kerfsmith.workflow.refusal import Refusal

GRACE = timedelta(hours=12)
"""How long after its session's end a panel is still believed: a shift that went on without a network."""
_SLOW_CLOCK = timedelta(minutes=10)


def queue_routes(sheets: Sheets, floor: FloorStage) -> APIRouter:
    """The one address that panels send to."""
    router = APIRouter(include_in_schema=False)

    @router.post("/at-saw/events")
    def arrive(request: Request, queue: SentQueue) -> Response:
        now = floor.now()
        entry = entry_of(request)
        events: list[PanelEvent] = []
        for place, told in enumerate(queue.events):
            try:
                sent = sent_of(told)
                person = _made_by(sent, entry, floor.session_keyed(sent.key) if sent.key else None, now)
                if person is None:
                    return _not_signed_in()
                events.append(event_of(sent, queue.panel, person, now))
            except UntoldError as fault:
                return JSONResponse({"problem": str(fault), "place": place}, 422)
        events.sort(key=lambda one: one.mark.number)
        answers = floor.record(events)
        return JSONResponse(_told(request, events, answers, queue.show))

    def _told(
        request: Request, events: Sequence[PanelEvent], answers: Sequence[object], show: str
    ) -> dict[str, Any]:
        reading = sheets.reading(request)
        told = []
        for event, answer in zip(events, answers, strict=True):
            notice = notice_of(answer, reading)
            told.append(
                {
                    "id": event.mark.id,
                    "kept": is_kept(answer),
                    "code": answer.code if isinstance(answer, Refusal) else "",
                    "check": _check(answer),
                    "notice": {"kind": notice.kind, "title": notice.title, "lines": notice.lines}
                    if notice
                    else None,
                }
            )
        found = floor.run(show) if show and entry_of(request) is not None else None
        part = sheets.fill("at_saw/part.html", part_values(request, sheets, floor, found)) if found else ""
        return {"answers": told, "part": part}

    return router


def _check(answer: object) -> dict[str, Any] | None:
    """What a panel holds its own reckoning against after a cut; where they differ it asks for its page."""
    if isinstance(answer, LoadCut):
        return {"load": answer.load_id, "bars": [_bar_check(one.bar) for one in answer.bars]}
    return _bar_check(answer.bar.bar) if isinstance(answer, CutLogged) else None


def _bar_check(bar: LoadedBar) -> dict[str, Any]:
    return {"bar": bar.id, "entries": bar.entries, "left_um": bar.left_um}


def _not_signed_in() -> JSONResponse:
    remedy = say("Sign in at this panel; what it keeps is sent then.")
    return JSONResponse({"problem": say("Nobody is signed in."), "remedy": remedy}, 401)


def _made_by(sent: SentEvent, entry: Entry | None, session: Session | None, now: datetime) -> Person | None:
    """Who made an event: the person of the session it was made in, else who is signed in now.

    A session that was ended by a lead makes a guest of its person from then on: what he records is refused,
    and the refusal stands in the ledger.
    """
    if session is None:
        return entry.person if entry else None
    if session.revoked_at is not None and sent.at >= session.revoked_at:
        same = entry is not None and entry.session is not None and entry.person.name == session.person.name
        return entry.person if same and entry else Person(session.person.name, Role.GUEST)
    timely = session.began_at - _SLOW_CLOCK <= sent.at < session.ends_at + GRACE
    if timely and now < session.ends_at + GRACE:
        return session.person
    return entry.person if entry else None
