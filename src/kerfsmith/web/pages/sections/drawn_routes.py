"""Where a section of the shop's own is drawn in, called otherwise, or taken away."""

from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.units.length import Unit
from kerfsmith.web.pages.people.view import problem_words
from kerfsmith.web.pages.sections.drawn import drawn_page
from kerfsmith.web.pages.sections.routes import show_section, show_sections
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.section_stage import MOST_DRAWING_BYTES, DrawingRead, SectionStage
from kerfsmith.web.sheet import Sheets, link
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal


def drawn_routes(sheets: Sheets, stage: SectionStage) -> APIRouter:
    """Upload, look, keep; rename, drop; and the shop's own names for grades."""
    router = APIRouter(include_in_schema=False)

    @router.post("/drawings")
    def upload(request: Request, file: Annotated[UploadFile, File()]) -> Response:
        by = person_of(request)
        if not may(by.role, Verb.KEEP_SECTION):
            return refuse_role(request, sheets, Verb.KEEP_SECTION, by)
        read = stage.read(file.filename or "unnamed file", file.file.read(MOST_DRAWING_BYTES + 1))
        return RedirectResponse(link("drawings", read.id), status_code=303)

    @router.get("/drawings/{drawing_id}", response_class=HTMLResponse)
    def look(request: Request, drawing_id: str, grade: str = "") -> HTMLResponse:
        return _show(request, _held(stage.held(drawing_id)), grade=grade[:120])

    @router.post("/drawings/{drawing_id}/unit")
    def in_unit(drawing_id: str, unit: Annotated[str, Form()] = "") -> RedirectResponse:
        told = Unit(unit) if unit in list(Unit) else None
        read = _held(stage.again(drawing_id, told))
        return RedirectResponse(link("drawings", read.id), status_code=303)

    @router.post("/drawings/{drawing_id}/keep")
    def keep(request: Request, drawing_id: str, name: Annotated[str, Form()] = "") -> Response:
        by = person_of(request)
        if not may(by.role, Verb.KEEP_SECTION):
            return refuse_role(request, sheets, Verb.KEEP_SECTION, by)
        kept = stage.keep(drawing_id, name[:200], by=by)
        if kept is None or isinstance(kept, Refusal):
            return _show(request, _held(stage.held(drawing_id)), name=name[:200], problem=problem_words(kept))
        return RedirectResponse(link("sections", kept.section.name), status_code=303)

    @router.post("/own-sections/rename")
    def rename(request: Request, name: Annotated[str, Form()], to: Annotated[str, Form()] = "") -> Response:
        by = person_of(request)
        answer = stage.rename(name, to[:200], by=by)
        if isinstance(answer, Refusal):
            if answer.code == "role":
                return refuse_role(request, sheets, Verb.RENAME_SECTION, by)
            return show_section(sheets, request, name, problem=problem_words(answer))
        return RedirectResponse(link("sections", answer.section.name), status_code=303)

    @router.post("/own-sections/drop")
    def drop(request: Request, name: Annotated[str, Form()]) -> Response:
        by = person_of(request)
        answer = stage.drop(name, by=by)
        if isinstance(answer, Refusal):
            if answer.code == "role":
                return refuse_role(request, sheets, Verb.DROP_SECTION, by)
            if answer.code == "section-in-use":
                return show_section(sheets, request, name, problem=problem_words(answer))
            return show_sections(sheets, request, "", problem_words(answer))
        return RedirectResponse("/sections", status_code=303)

    def _show(
        request: Request, read: DrawingRead, *, grade: str = "", name: str = "", problem: str = ""
    ) -> HTMLResponse:
        page = drawn_page(
            read,
            sheets.backstage.catalog(),
            sheets.reading(request),
            grade=grade,
            name=name,
            may_keep=may(person_of(request).role, Verb.KEEP_SECTION),
            problem=problem,
        )
        block = sheets.block(request, say("Drawing {file}", file=read.file), page.question, under="/sections")
        return sheets.show("sections/drawn.html", block, page, status=409 if problem else 200)

    return router


def _held(read: DrawingRead | None) -> DrawingRead:
    if read is None:
        raise NotHereError(
            say("That drawing is no longer held."),
            say("Drawings wait only until some more have come; send it again."),
            "/sections",
            say("To the sections"),
        )
    return read
