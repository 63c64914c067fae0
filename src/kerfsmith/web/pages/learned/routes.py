"""Where what was learned is shown, accepted, frozen and forgotten."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.factors import Decision, Measure, scope_of
from kerfsmith.web.learning_stage import LearningStage
from kerfsmith.web.pages.learned.view import learned_page
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal


def routes(sheets: Sheets, stage: LearningStage) -> APIRouter:
    """The page, and the decisions on it."""
    router = APIRouter(include_in_schema=False)

    @router.get("/learned", response_class=HTMLResponse)
    def learned(request: Request) -> HTMLResponse:
        return _shown(request)

    @router.post("/learned", response_class=HTMLResponse)
    def decide(
        request: Request,
        measure: Annotated[str, Form(max_length=40)],
        scope: Annotated[str, Form(max_length=400)],
        decision: Annotated[str, Form(max_length=20)],
    ) -> Response:
        person = person_of(request)
        if not may(person.role, Verb.DECIDE_FACTOR):
            return refuse_role(request, sheets, Verb.DECIDE_FACTOR, person)
        try:
            asked = Measure(measure), scope_of(scope), Decision(decision)
        except (ValueError, InvalidValue):
            return _shown(request, say("That is no factor of this page."), status=422)
        if asked[2] is Decision.FOLLOW:
            return _shown(request, say("An accepted factor follows the log by itself."), status=422)
        answer = stage.decide(*asked, by=person)
        if isinstance(answer, Refusal):
            return _shown(request, str(answer), status=409)
        return RedirectResponse("/learned#" + measure.replace(" ", "-") + "-name", status_code=303)

    def _shown(request: Request, problem: str = "", status: int = 200) -> HTMLResponse:
        page = learned_page(
            stage.lessons(),
            stage.log(),
            stage.decisions(),
            stage.names(),
            sheets.reading(request),
            may_decide=may(person_of(request).role, Verb.DECIDE_FACTOR),
            problem=problem,
        )
        block = sheets.block(
            request, say("Learned"), say("What do our own saws and bands really do?"), under="/learned"
        )
        return sheets.show("learned/learned.html", block, page, status=status)

    return router
