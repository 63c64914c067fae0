"""Where the shop's rates and currency are looked at and set."""

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.costing.rates import Rates
from kerfsmith.errors import Finding
from kerfsmith.web.pages.people.view import problem_words
from kerfsmith.web.pages.quotes.rates import rates_page, rates_told
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.quote_stage import QuoteStage
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal


def rates_routes(sheets: Sheets, stage: QuoteStage) -> APIRouter:
    """The page of rates and its form."""
    router = APIRouter(include_in_schema=False)

    @router.get("/quotes/rates", response_class=HTMLResponse)
    def rates(request: Request, done: str = "") -> HTMLResponse:
        return _page(request, stage.rates(), done=bool(done))

    @router.post("/quotes/rates")
    async def set_rates(request: Request) -> Response:
        async with request.form(max_files=0, max_fields=4_000) as form:
            texts = {name: value[:60] for name, value in form.items() if isinstance(value, str)}
        return await run_in_threadpool(_set, request, texts)

    def _set(request: Request, texts: dict[str, str]) -> Response:
        reading, by = sheets.reading(request), person_of(request)
        rates, faults = rates_told(texts, stage.rates(), stage.saws(), stage.bands(), reading)
        if faults and may(by.role, Verb.SET_RATES):
            return _page(request, rates, faults)
        answer = stage.set_rates(rates, by=by)
        if isinstance(answer, Refusal) and answer.code == "role":
            return refuse_role(request, sheets, Verb.SET_RATES, by)
        if isinstance(answer, Refusal):
            return _page(request, stage.rates(), problem=problem_words(answer))
        return RedirectResponse("/quotes/rates?done=yes", status_code=303)

    def _page(
        request: Request,
        rates: Rates,
        faults: tuple[Finding, ...] = (),
        problem: str = "",
        *,
        done: bool = False,
    ) -> HTMLResponse:
        page = rates_page(
            rates,
            stage.saws(),
            stage.bands(),
            sheets.reading(request),
            may_set=may(person_of(request).role, Verb.SET_RATES),
            faults=faults,
            problem=problem,
            done=done,
        )
        question = say("What is an hour, a bar, a piece reckoned at?")
        block = sheets.block(request, say("Rates"), question, under="/quotes")
        return sheets.show("quotes/rates.html", block, page, status=409 if faults or problem else 200)

    return router
