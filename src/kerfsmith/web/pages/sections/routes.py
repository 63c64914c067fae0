"""Where the sections are asked for."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.catalog.naming import near_names
from kerfsmith.web.pages.sections.view import (
    OwnSheet,
    found_sections,
    own_of,
    own_sheet,
    section_page,
    sections_page,
)
from kerfsmith.web.pages.sign_in.gate import entry_of
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, wants_fragment
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import Verb, may


def routes(sheets: Sheets) -> APIRouter:
    """The sections and each one's own page."""
    router = APIRouter(include_in_schema=False)

    @router.get("/sections", response_class=HTMLResponse)
    def sections(request: Request, q: str = "") -> HTMLResponse:
        if wants_fragment(request):
            reading = sheets.reading(request)
            found = found_sections(sheets.backstage.catalog(), q[:80], reading)
            return sheets.fragment("sections/found.html", reading, found)
        return show_sections(sheets, request, q[:80])

    @router.get("/sections/{name:path}", response_class=HTMLResponse)
    def section(request: Request, name: str, grade: str = "") -> HTMLResponse:
        return show_section(sheets, request, name, grade=grade[:120])

    return router


def show_sections(sheets: Sheets, request: Request, wanted: str, problem: str = "") -> HTMLResponse:
    """The list of sections, with what was not done where something wasn't."""
    stage = sheets.stages.sections
    page = sections_page(
        sheets.backstage.catalog(),
        wanted,
        sheets.reading(request),
        own=stage.sections() if stage else (),
        draws=_may(sheets, request, Verb.KEEP_SECTION),
        problem=problem,
    )
    block = sheets.block(request, say("Sections"), say("What are a section's true dimensions?"))
    return sheets.show("sections/sections.html", block, page, status=409 if problem else 200)


def show_section(
    sheets: Sheets, request: Request, name: str, *, grade: str = "", problem: str = ""
) -> HTMLResponse:
    """One section. Raises NotHereError where no section is called so."""
    catalog = sheets.backstage.catalog()
    found = catalog.section_called(name)
    if found is None:
        near = near_names(name, (row.name for row in catalog.section_rows))
        why = say("Near it: {near}.", near=", ".join(near)) if near else say("Search the list.")
        raise NotHereError(
            say("No section is called {name}.", name=f"{name!r}"), why, "/sections", say("To the sections")
        )
    page = section_page(
        found,
        catalog,
        sheets.reading(request),
        grade=grade,
        own=_own_sheet(sheets, request, found.name),
        problem=problem,
    )
    question = say("What are the true dimensions of {name}?", name=found.name)
    block = sheets.block(request, say("Section"), question, under="/sections")
    return sheets.show("sections/section.html", block, page, status=409 if problem else 200)


def _own_sheet(sheets: Sheets, request: Request, name: str) -> OwnSheet | None:
    stage = sheets.stages.sections
    own = own_of(stage.sections(), name) if stage else None
    if stage is None or own is None:
        return None
    return own_sheet(own, stage.use(own.section.key), may_change=_may(sheets, request, Verb.DROP_SECTION))


def _may(sheets: Sheets, request: Request, verb: Verb) -> bool:
    entry = entry_of(request)
    return sheets.stages.sections is not None and entry is not None and may(entry.person.role, verb)
