"""Where the shop's rules are looked at and set."""

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.web.pages.people.view import problem_words
from kerfsmith.web.pages.rules.told import rules_told
from kerfsmith.web.pages.rules.view import RulesPage, rules_page
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.rules_stage import RulesStage
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal


def routes(sheets: Sheets, stage: RulesStage) -> APIRouter:
    """The page of the rules and its form."""
    router = APIRouter(include_in_schema=False)

    @router.get("/rules", response_class=HTMLResponse)
    def rules(request: Request, done: str = "") -> HTMLResponse:
        reading, allowed = sheets.reading(request), _may_set(request)
        return _show(request, rules_page(stage.rules(), reading, may_set=allowed, done=bool(done)))

    @router.post("/rules")
    async def set_rules(request: Request) -> Response:
        async with request.form(max_files=0, max_fields=60) as form:
            texts = {name: value[:200] for name, value in form.items() if isinstance(value, str)}
        return await run_in_threadpool(_set, request, texts)

    def _set(request: Request, texts: dict[str, str]) -> Response:
        reading, by, now = sheets.reading(request), person_of(request), stage.rules()
        told, faults = rules_told(texts, now, reading)
        if faults and _may_set(request):
            return _show(request, rules_page(now, reading, may_set=True, texts=texts, faults=faults))
        answer = stage.set_rules(told, by=by)
        if isinstance(answer, Refusal) and answer.code == "role":
            return refuse_role(request, sheets, Verb.SET_RULES, by)
        if isinstance(answer, Refusal):
            words = problem_words(answer)
            return _show(request, rules_page(now, reading, may_set=True, texts=texts, problem=words))
        return RedirectResponse("/rules?done=yes", status_code=303)

    def _show(request: Request, page: RulesPage) -> HTMLResponse:
        question = say("What does the shop decide for itself?")
        block = sheets.block(request, say("Rules"), question, under="/rules")
        return sheets.show(
            "rules/rules.html", block, page, status=409 if page.faulty or page.problem else 200
        )

    return router


def _may_set(request: Request) -> bool:
    return may(person_of(request).role, Verb.SET_RULES)
