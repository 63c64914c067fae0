"""Where saws are compared over a year of work."""

from typing import Literal

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.errors import Finding
from kerfsmith.web.backstage import Paper
from kerfsmith.web.pages.people.view import problem_words
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.pages.which_saw.view import compared_page, which_page, wish_told
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, link
from kerfsmith.web.which_saw_stage import WhichSawStage
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.price_ports import KeptComparison
from kerfsmith.workflow.refusal import Refusal


def routes(sheets: Sheets, stage: WhichSawStage) -> APIRouter:
    """The list with its form, a comparison and its report."""
    router = APIRouter(include_in_schema=False)

    @router.get("/which-saw", response_class=HTMLResponse)
    def which(request: Request) -> HTMLResponse:
        return _list(request, {})

    @router.post("/which-saw")
    async def begin(request: Request) -> Response:
        async with request.form(max_files=1, max_fields=200) as form:
            texts = {name: value[:250] for name, value in form.items() if isinstance(value, str)}
            files = [value for value in form.values() if not isinstance(value, str)]
            file = files[0] if files else None
            name = (file.filename if file else "") or "unnamed file"
            data = await file.read() if file else b""
        return await run_in_threadpool(_begin, request, texts, name, data)

    def _begin(request: Request, texts: dict[str, str], name: str, data: bytes) -> Response:
        wish = wish_told(texts, name, data, stage.saws())
        if isinstance(wish, str):
            return _list(request, texts, wish)
        begun = stage.begin(wish, by=person_of(request))
        if begun.refusal is not None:
            if begun.refusal.code == "role":
                return refuse_role(request, sheets, Verb.KEEP_COMPARISON, person_of(request))
            return _list(request, texts, problem_words(begun.refusal), begun.findings)
        return RedirectResponse(link("reckoning", begun.id), status_code=303)

    @router.get("/which-saw/{comparison_id}", response_class=HTMLResponse)
    def one(request: Request, comparison_id: str) -> HTMLResponse:
        kept = _kept(comparison_id)
        report = stage.page(kept, sheets.reading(request).measure)
        page = compared_page(kept, report, may_drop=may(person_of(request).role, Verb.DROP_COMPARISON))
        block = sheets.block(request, kept.name, say("Which saw does this work best?"), under="/which-saw")
        return sheets.show("which_saw/compared.html", block, page)

    @router.get("/which-saw/{comparison_id}/report.pdf")
    def report(
        request: Request, comparison_id: str, sheet: Literal["a4", "us-letter"] | None = None
    ) -> Response:
        reading = sheets.reading(request)
        paper = Paper(reading.measure, sheet or ("a4" if reading.is_metric else "us-letter"))
        pdf = stage.pdf(comparison_id, paper)
        if pdf is None:
            raise _gone()
        return Response(
            pdf,
            media_type="application/pdf",
            headers={"Content-Disposition": 'inline; filename="which-saw.pdf"'},
        )

    @router.post("/which-saw/{comparison_id}/drop")
    def drop(request: Request, comparison_id: str) -> Response:
        answer = stage.drop(comparison_id, by=person_of(request))
        if isinstance(answer, Refusal) and answer.code == "role":
            return refuse_role(request, sheets, Verb.DROP_COMPARISON, person_of(request))
        if isinstance(answer, Refusal):
            raise _gone()
        return RedirectResponse("/which-saw", status_code=303)

    def _kept(comparison_id: str) -> KeptComparison:
        kept = stage.comparison(comparison_id)
        if kept is None:
            raise _gone()
        return kept

    def _list(
        request: Request, texts: dict[str, str], problem: str = "", findings: tuple[Finding, ...] = ()
    ) -> HTMLResponse:
        page = which_page(
            stage.comparisons(),
            stage.saws(),
            stage.history(),
            sheets.backstage.shop().currency,
            texts,
            may_make=may(person_of(request).role, Verb.KEEP_COMPARISON),
            problem=problem,
            findings=findings,
        )
        question = say("Which saw does this work best?")
        block = sheets.block(request, say("Which saw"), question, under="/which-saw")
        return sheets.show("which_saw/which_saw.html", block, page, status=409 if problem else 200)

    return router


def _gone() -> NotHereError:
    return NotHereError(
        say("There is no such comparison."),
        say("It was taken away."),
        "/which-saw",
        say("To the comparisons"),
    )
