"""Where the sections are asked for."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.catalog.naming import near_names
from kerfsmith.web.pages.sections.view import section_page, sections_page
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, wants_fragment
from kerfsmith.web.words import say


def routes(sheets: Sheets) -> APIRouter:
    """The standard sections and each one's own page."""
    router = APIRouter(include_in_schema=False)

    @router.get("/sections", response_class=HTMLResponse)
    def sections(request: Request, q: str = "") -> HTMLResponse:
        reading = sheets.reading(request)
        page = sections_page(sheets.backstage.catalog(), q[:80], reading)
        if wants_fragment(request):
            return sheets.fragment("sections/found.html", reading, page)
        block = sheets.block(request, say("Sections"), say("What are a section's true dimensions?"))
        return sheets.show("sections/sections.html", block, page)

    @router.get("/sections/{name:path}", response_class=HTMLResponse)
    def section(request: Request, name: str) -> HTMLResponse:
        catalog = sheets.backstage.catalog()
        found = catalog.section_called(name)
        if found is None:
            near = near_names(name, (row.name for row in catalog.section_rows))
            why = say("Near it: {near}.", near=", ".join(near)) if near else say("Search the list.")
            raise NotHereError(
                say("No standard section is called {name}.", name=f"{name!r}"),
                why,
                "/sections",
                say("To the sections"),
            )
        block = sheets.block(
            request,
            say("Section"),
            say("What are the true dimensions of {name}?", name=found.name),
            under="/sections",
        )
        return sheets.show("sections/section.html", block, section_page(found, sheets.reading(request)))

    return router
