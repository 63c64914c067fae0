"""Where people are added, changed and shut out."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.person import Person, Role
from kerfsmith.web.floor_stage import FloorStage
from kerfsmith.web.pages.people.view import FirstPage, people_page, problem_words
from kerfsmith.web.pages.sign_in.gate import NEWCOMER, at_this_machine, person_of, refuse_role
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say, to_say
from kerfsmith.workflow.keep_people import NewSecrets
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.refusal import Refusal

Field = Annotated[str, Form(max_length=250)]
_STRANGER = Refusal(
    "sign-in", "this shop has people now, and a newcomer may not change them", to_say("Sign in as a lead")
)


def routes(sheets: Sheets, floor: FloorStage) -> APIRouter:
    """The page of people and its forms, and the first lead of a shop."""
    router = APIRouter(include_in_schema=False)

    @router.get("/people", response_class=HTMLResponse)
    def people(request: Request) -> HTMLResponse:
        return _page(request, None)

    @router.post("/people")
    def add(
        request: Request,
        name: Field = "",
        role: Annotated[Role, Form()] = Role.OPERATOR,
        password: Field = "",
        pin: Field = "",
        badge: Field = "",
    ) -> Response:
        try:
            person = Person(name.strip(), role)
        except InvalidValue as fault:
            return _page(request, Refusal("name", str(fault)))
        stranger = _stranger(request)
        answer = stranger or floor.add_person(person, _secrets(password, pin, badge), by=person_of(request))
        return _answer(request, answer, Verb.ADD_PERSON, person)

    @router.post("/people/change")
    def change(
        request: Request,
        name: Field,
        role: Annotated[Role | None, Form()] = None,
        active: Field = "",
        password: Field = "",
        pin: Field = "",
        badge: Field = "",
    ) -> Response:
        new = _secrets(password, pin, badge)
        answer = _stranger(request) or floor.change_person(
            name,
            role=role,
            active={"yes": True, "no": False}.get(active),
            new=new,
            by=person_of(request),
        )
        return _answer(request, answer, Verb.CHANGE_PERSON)

    @router.post("/people/revoke")
    def revoke(request: Request, name: Field) -> Response:
        answer = _stranger(request) or floor.revoke_sessions(name, by=person_of(request))
        return _answer(request, answer, Verb.REVOKE_SESSIONS)

    @router.get("/people/first", response_class=HTMLResponse)
    def ask_first(request: Request) -> HTMLResponse:
        _may_be_first(request)
        return _first(request, FirstPage("", ""), 200)

    @router.post("/people/first")
    def first(request: Request, name: Field = "", password: Field = "", again: Field = "") -> Response:
        _may_be_first(request)
        try:
            Person(name.strip(), Role.LEAD)
        except InvalidValue as fault:
            return _first(request, FirstPage(name, problem_words(Refusal("name", str(fault)))), 409)
        if password != again:
            return _first(request, FirstPage(name, say("The two passwords differ. Key them again.")), 409)
        answer = floor.add_first_lead(name.strip(), password)
        if isinstance(answer, Refusal):
            return _first(request, FirstPage(name, problem_words(answer)), 409)
        return RedirectResponse("/sign-in?first=yes", status_code=303)

    def _may_be_first(request: Request) -> None:
        if floor.is_demo():
            raise NotHereError(
                say("This is the demo: nobody has to sign in, and nobody leads it."),
                say("Begin your own shop; it asks for its first lead then."),
                "/begin",
                say("Begin your own shop"),
            )
        if floor.has_people() or not at_this_machine(request):
            raise NotHereError(
                say("The first lead is on record already, or this is another machine."),
                say("A lead adds further people."),
                "/sign-in",
                say("Sign in"),
            )

    def _stranger(request: Request) -> Refusal | None:
        """Why a newcomer in the demo may not keep people: there are some already, and they stay."""
        return _STRANGER if person_of(request) == NEWCOMER and floor.has_people() else None

    def _first(request: Request, page: FirstPage, status: int) -> HTMLResponse:
        block = sheets.block(request, say("First lead"), say("Who leads this shop?"))
        return sheets.show("people/first.html", block, page, status=status)

    def _answer(request: Request, answer: object, verb: Verb, typed: Person | None = None) -> Response:
        if isinstance(answer, Refusal) and answer.code == "role":
            return refuse_role(request, sheets, verb, person_of(request))
        if isinstance(answer, Refusal):
            return _page(request, answer, typed)
        return RedirectResponse("/people", status_code=303)

    def _page(request: Request, refusal: Refusal | None, typed: Person | None = None) -> HTMLResponse:
        page = people_page(floor.people(), person_of(request), refusal, typed)
        block = sheets.block(request, say("People"), say("Who works here, and what may each do?"))
        return sheets.show("people/people.html", block, page, status=409 if refusal else 200)

    return router


def _secrets(password: str, pin: str, badge: str) -> NewSecrets:
    return NewSecrets(password or None, pin or None, badge or None)
