"""The gate: who asks, and whether he may. Every request passes it before its page.

The demo shop lets a newcomer at this machine in as a lead, without a password, so that he sees all there is
to see; nothing in it is anybody's. A shop of one's own asks for its first lead, then for a sign-in.
"""

import ipaddress
import re
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from urllib.parse import quote

from fastapi import FastAPI, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import JSONResponse, RedirectResponse

from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.session import Session
from kerfsmith.web.backstage import UploadKind
from kerfsmith.web.floor_stage import FloorStage
from kerfsmith.web.refusal import RefusalPage
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import MAY, Verb, may

SESSION_COOKIE = "session"
NEWCOMER = Person("newcomer", Role.LEAD)
"""Who looks at the demo shop without having signed in."""

_OPEN = re.compile(r"/(static/.*|sign-in(/panel)?|sign-out|reading|people/first|at-saw/(events|worker\.js))")
"""What may be asked for by anybody; a panel's events name the session they were made in."""
_KEPT = re.compile(r"/uploads/([^/]+)/keep")
_DEEDS = (
    (re.compile(r"/api/uploads/order"), Verb.TAKE_ORDER),
    (re.compile(r"/api/uploads/rack"), Verb.STOCK_RACK),
    (re.compile(r"/orders/plan|/planning/.*|/api/plan|/api/jobs/.*"), Verb.PLAN_CUTS),
    (re.compile(r"/orders/[^/]+/drop"), Verb.DROP_ORDER),
    (re.compile(r"(/api)?/reckoning/[^/]+/stop"), Verb.KEEP_QUOTE),
    (re.compile(r"(/api/week/jobs|/week/job)/[^/]+/stop"), Verb.LINE_UP),
    (re.compile(r"/begin"), Verb.BEGIN_OWN_SHOP),
)
"""Changing requests of the desk's pages and the verb each is; the pages of the saw ask their verbs."""


@dataclass(frozen=True, slots=True)
class Entry:
    """Who asks; without a session it is the newcomer in the demo."""

    person: Person
    session: Session | None


def entry_of(request: Request) -> Entry | None:
    """Who stands behind a request, as the gate found."""
    entry: Entry | None = getattr(request.state, "entry", None)
    return entry


def person_of(request: Request) -> Person:
    """The person behind a request that the gate let in."""
    entry = entry_of(request)
    assert entry is not None, "the gate lets nobody unknown to a page that asks who it is"
    return entry.person


def name_of(request: Request, otherwise: str) -> str:
    """The name of who asks; ``otherwise`` where the face keeps no people."""
    entry = entry_of(request)
    return entry.person.name if entry is not None else otherwise


def asker_of(request: Request, otherwise: str) -> Person:
    """Who asks, in the role that he asks in: a session's or token's role may be less than its person's own.

    Where the face keeps no people nobody is told apart: a lead called ``otherwise``.
    """
    entry = entry_of(request)
    return entry.person if entry is not None else Person(otherwise, Role.LEAD)


def keep_gate(app: FastAPI, sheets: Sheets, floor: FloorStage) -> None:
    """Put the gate before every page."""

    @app.middleware("http")
    async def gate(request: Request, call_next: Callable[[Request], Awaitable[Response]]) -> Response:
        if request.url.path.startswith("/static/"):
            return await call_next(request)
        turned_away = await run_in_threadpool(_judge, request, sheets, floor)
        return turned_away if turned_away is not None else await call_next(request)


def _judge(request: Request, sheets: Sheets, floor: FloorStage) -> Response | None:
    """Note who asks; an answer where he is turned away."""
    entry = _entry(request, floor)
    request.state.entry = entry
    path = request.url.path
    if entry is None:
        return None if _OPEN.fullmatch(path) else _ask_who(request, sheets, floor)
    verb = _verb_of(path, sheets)
    if request.method == "GET" or verb is None or may(entry.person.role, verb):
        return None
    floor.note_refused(verb, path, by=entry.person)
    return refuse_role(request, sheets, verb, entry.person)


def _verb_of(path: str, sheets: Sheets) -> Verb | None:
    """The verb that a changing request of the desk's pages is."""
    kept = _KEPT.fullmatch(path)
    if kept:
        read = sheets.backstage.upload(kept[1])
        is_rack = read is not None and read.kind is UploadKind.RACK
        return Verb.STOCK_RACK if is_rack else Verb.TAKE_ORDER
    return next((verb for pattern, verb in _DEEDS if pattern.fullmatch(path)), None)


def refuse_role(request: Request, sheets: Sheets, verb: Verb, person: Person) -> Response:
    """The page that says what a role may not do, and who may."""
    who = say(" or a ").join(sorted(role.value for role in MAY[verb]))
    what = say(
        "{name} is signed in as {role} and may not {verb}.", name=person.name, role=person.role, verb=verb
    )
    if request.url.path.startswith("/api/"):
        return JSONResponse({"problem": what, "remedy": say("A {who} may.", who=who)}, 403)
    block = sheets.block(request, say("Not done"), what)
    page = RefusalPage(
        what, say("A {who} may. That it was tried stands in the ledger.", who=who), "/", say("To the plan")
    )
    return sheets.show("refusal.html", block, page, status=403)


def _entry(request: Request, floor: FloorStage) -> Entry | None:
    secret = request.cookies.get(SESSION_COOKIE) or _token(request)
    session = floor.session(secret) if secret else None
    if session is not None and session.holds(floor.now()):
        return Entry(session.person, session)
    return Entry(NEWCOMER, None) if at_this_machine(request) and floor.is_demo() else None


def _token(request: Request) -> str:
    kind, _, token = request.headers.get("authorization", "").partition(" ")
    return token.strip() if kind.lower() == "bearer" else ""


def _ask_who(request: Request, sheets: Sheets, floor: FloorStage) -> Response:
    path = request.url.path
    if not floor.has_people():
        return _ask_first_lead(request, sheets)
    if path.startswith("/api/"):
        return JSONResponse({"problem": say("Nobody is signed in."), "remedy": say("Send a token.")}, 401)
    if request.method == "GET" and request.headers.get("x-panel") is None:
        back = path + (f"?{request.url.query}" if request.url.query else "")
        return RedirectResponse(f"/sign-in?back={quote(back, safe='/')}", status_code=303)
    what = say("Nobody is signed in any more.")
    block = sheets.block(request, say("Not done"), what)
    page = RefusalPage(what, say("Nothing was changed. Sign in and do it again."), "/sign-in", say("Sign in"))
    return sheets.show("refusal.html", block, page, status=401)


def _ask_first_lead(request: Request, sheets: Sheets) -> Response:
    if request.url.path.startswith("/api/"):
        return JSONResponse(
            {"problem": say("This shop has no people yet."), "remedy": say("Add its first lead.")}, 401
        )
    if at_this_machine(request):
        return RedirectResponse("/people/first", status_code=303)
    what = say("This shop is not open yet.")
    why = say("Its demo and its first lead can be seen to only at the machine that Kerfsmith runs on.")
    block = sheets.block(request, say("Not done"), what)
    return sheets.show("refusal.html", block, RefusalPage(what, why, "/sign-in", say("Sign in")), status=403)


def at_this_machine(request: Request) -> bool:
    """Whether the browser runs on this machine and knows it by a name of its own.

    The name is asked too: a page from elsewhere may have its own name led to this machine, and would then
    pass for a page of ours.
    """
    host = request.client.host if request.client else ""
    return _is_loopback(host) and (
        request.url.hostname == "localhost" or _is_loopback(request.url.hostname or "")
    )


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False
