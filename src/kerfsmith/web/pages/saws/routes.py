"""Where the saws are looked at, added, changed and retired."""

from collections.abc import Callable
from datetime import UTC, datetime, time
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.errors import Finding
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.shop.person import HOUSE
from kerfsmith.web.pages.people.view import problem_words
from kerfsmith.web.pages.saws.form import form_page, told_form
from kerfsmith.web.pages.saws.view import saws_page
from kerfsmith.web.pages.sign_in.gate import entry_of, person_of, refuse_role
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.saw_stage import SawsKept, SawStage
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal

_MOST_FIELDS = 200


def routes(sheets: Sheets) -> APIRouter:
    """The saw sheets; where the shop keeps its own, also the forms that change them."""
    router = APIRouter(include_in_schema=False)
    stage = sheets.stages.saws

    @router.get("/saws", response_class=HTMLResponse)
    def saws(request: Request) -> HTMLResponse:
        return _list(request)

    def _list(request: Request, problem: str = "", findings: tuple[Finding, ...] = ()) -> HTMLResponse:
        entry = entry_of(request)
        may_keep = stage is not None and entry is not None and may(entry.person.role, Verb.KEEP_SAW)
        page = saws_page(
            _kept(sheets, stage),
            sheets.reading(request),
            currency=sheets.backstage.shop().currency,
            may_keep=may_keep,
            problem=problem,
            findings=findings,
        )
        block = sheets.block(
            request, say("Saws"), say("What can each saw hold, drive and reach?"), under="/saws"
        )
        return sheets.show("saws/saws.html", block, page, status=409 if problem else 200)

    if stage is not None:
        _add_forms(router, sheets, stage, _list)
    return router


def _kept(sheets: Sheets, stage: SawStage | None) -> tuple[KeptSaw, ...]:
    if stage is not None:
        return stage.saws()
    moment = datetime.combine(sheets.backstage.today(), time(), UTC)
    return tuple(
        KeptSaw(sheet, SawStanding.OWN, moment, HOUSE.name) for sheet in sheets.backstage.catalog().saws
    )


def _add_forms(
    router: APIRouter, sheets: Sheets, stage: SawStage, show_list: Callable[..., HTMLResponse]
) -> None:
    """The forms of a shop that keeps its own saws."""

    @router.get("/saws/new", response_class=HTMLResponse)
    def new(request: Request) -> HTMLResponse:
        return _form(request, None)

    @router.post("/saws/file")
    def from_file(
        request: Request,
        file: Annotated[UploadFile, File()],
        standing: Annotated[SawStanding, Form()] = SawStanding.OWN,
    ) -> Response:
        by = person_of(request)
        if not may(by.role, Verb.KEEP_SAW):
            return refuse_role(request, sheets, Verb.KEEP_SAW, by)
        made = stage.keep_file(file.filename or "unnamed file", file.file.read(), standing, by=by)
        problem = " ".join(problem_words(one) for one in made.refusals)
        if problem or any(finding.is_error for finding in made.findings) or not made.kept:
            return show_list(
                request, problem or say("Not every saw of the file could be kept."), made.findings
            )
        return RedirectResponse("/saws", status_code=303)

    @router.get("/saws/{saw_id}", response_class=HTMLResponse)
    def edit(request: Request, saw_id: str) -> HTMLResponse:
        return _form(request, _saw(saw_id))

    @router.post("/saws")
    async def keep(request: Request) -> Response:
        async with request.form(max_files=0, max_fields=_MOST_FIELDS) as form:
            texts = {name: value[:400] for name, value in form.items() if isinstance(value, str)}
        return await run_in_threadpool(_keep, request, texts)

    @router.post("/saws/{saw_id}/standing")
    def place(request: Request, saw_id: str, standing: Annotated[SawStanding, Form()]) -> Response:
        by = person_of(request)
        answer = stage.place(saw_id, standing, by=by)
        if isinstance(answer, Refusal) and answer.code == "role":
            verb = Verb.RETIRE_SAW if standing is SawStanding.RETIRED else Verb.KEEP_SAW
            return refuse_role(request, sheets, verb, by)
        if isinstance(answer, Refusal):
            return show_list(request, problem_words(answer))
        return RedirectResponse("/saws", status_code=303)

    def _keep(request: Request, texts: dict[str, str]) -> Response:
        saw = _saw(texts["id"]) if texts.get("id") else None
        told = told_form(texts, saw.sheet if saw else None, sheets.reading(request))
        made = stage.keep_form(told, by=person_of(request))
        if any(refusal.code == "role" for refusal in made.refusals):
            return refuse_role(request, sheets, Verb.KEEP_SAW, person_of(request))
        if not made.kept:
            return _form(request, saw, texts, made)
        return RedirectResponse("/saws", status_code=303)

    def _form(
        request: Request,
        saw: KeptSaw | None,
        texts: dict[str, str] | None = None,
        made: SawsKept | None = None,
    ) -> HTMLResponse:
        reading = sheets.reading(request)
        page = form_page(
            saw,
            texts,
            reading,
            findings=made.findings if made else (),
            problem=" ".join(problem_words(one) for one in made.refusals) if made else "",
        )
        name = saw.sheet.name if saw else say("A new saw")
        question = say("What does its sheet say?")
        block = sheets.block(request, name, question, under="/saws")
        return sheets.show("saws/form.html", block, page, status=409 if made else 200)

    def _saw(saw_id: str) -> KeptSaw:
        found = next((saw for saw in stage.saws() if saw.sheet.id == saw_id), None)
        if found is None:
            raise NotHereError(
                say("There is no saw {saw}.", saw=saw_id),
                say("Its id may be mistyped."),
                "/saws",
                say("To the saws"),
            )
        return found
