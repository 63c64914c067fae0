"""Where people sign in and out."""

import math
import re
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.shop.session import SessionKind
from kerfsmith.web.floor_stage import Entered, FloorStage
from kerfsmith.web.pages.at_saw.cookies import SAW_COOKIE
from kerfsmith.web.pages.at_saw.script_words import entry_words
from kerfsmith.web.pages.preferences.routes import own_path
from kerfsmith.web.pages.sign_in.gate import SESSION_COOKIE, at_this_machine, entry_of
from kerfsmith.web.pages.sign_in.view import sign_in_page
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say
from kerfsmith.workflow.refusal import Refusal

_SECONDS = re.compile(r"wait (\d+) seconds")
Field = Annotated[str, Form(max_length=200)]


def routes(sheets: Sheets, floor: FloorStage) -> APIRouter:
    """The sign-in page with its two forms, and the way out."""
    router = APIRouter(include_in_schema=False)

    @router.get("/sign-in", response_class=HTMLResponse)
    def page(request: Request, back: str = "/", at: str = "", first: str = "") -> HTMLResponse:
        at_panel = at == "panel" or _is_panel(request)
        return _page(request, back, None, at_panel=at_panel, first_lead=_first_lead(request) if first else "")

    @router.post("/sign-in")
    def desk(request: Request, name: Field = "", password: Field = "", back: Field = "/") -> Response:
        return _enter(request, floor.sign_in(name, password, address=_address(request)), back, False)

    @router.post("/sign-in/panel")
    def panel(
        request: Request,
        badge: Field = "",
        name: Field = "",
        pin: Field = "",
        back: Field = "/at-saw",
    ) -> Response:
        place = request.cookies.get(SAW_COOKIE, "") or "panel"
        answer = floor.open_panel(place, badge=badge, name=name, pin=pin, address=_address(request))
        return _enter(request, answer, back, True)

    @router.post("/sign-out")
    def out(request: Request) -> RedirectResponse:
        entry = entry_of(request)
        floor.sign_out(request.cookies.get(SESSION_COOKIE, ""))
        at_panel = entry is not None and entry.session is not None and entry.session.kind is SessionKind.PANEL
        answer = RedirectResponse("/sign-in?at=panel&back=/at-saw" if at_panel else "/sign-in", 303)
        answer.delete_cookie(SESSION_COOKIE)
        answer.headers["Clear-Site-Data"] = '"cache"'
        return answer

    def _enter(request: Request, answer: Entered | Refusal, back: str, at_panel: bool) -> Response:
        if isinstance(answer, Refusal):
            return _page(request, back, answer, at_panel=at_panel)
        session = answer.session
        entered = RedirectResponse(own_path(back), status_code=303)
        entered.set_cookie(
            SESSION_COOKIE,
            answer.secret,
            max_age=round((session.ends_at - session.began_at).total_seconds()),
            httponly=True,
            samesite="strict",
            secure=request.url.scheme == "https",
        )
        return entered

    def _first_lead(request: Request) -> str:
        """The only person on record, told to nobody but at this machine."""
        people = floor.people()
        return people[0].known.person.name if len(people) == 1 and at_this_machine(request) else ""

    def _page(
        request: Request, back: str, refusal: Refusal | None, *, at_panel: bool, first_lead: str = ""
    ) -> HTMLResponse:
        names = [one.known.person.name for one in floor.people() if one.known.active and one.known.has_pin]
        shown = sign_in_page(
            back=own_path(back),
            at_panel=at_panel,
            names=names if at_panel else [],
            refusal=refusal,
            is_demo=floor.is_demo(),
            first_lead=first_lead,
        )
        status = 200 if refusal is None else 429 if refusal.code == "wait" else 401
        block = sheets.block(request, say("Sign in"), say("Who are you?"))
        values = {"block": block, "page": shown, "words": entry_words()}
        answer = HTMLResponse(sheets.fill("sign_in/sign_in.html", values), status_code=status)
        waiting = _SECONDS.search(refusal.reason) if refusal is not None else None
        if waiting:
            answer.headers["Retry-After"] = str(math.ceil(float(waiting[1])))
        return answer

    return router


def _is_panel(request: Request) -> bool:
    return bool(request.cookies.get(SAW_COOKIE))


def _address(request: Request) -> str:
    return request.client.host if request.client else "unknown"
