"""Where the grades are asked for."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.errors import UnknownName
from kerfsmith.web.pages.grades.view import grade_page, grades_page
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, wants_fragment
from kerfsmith.web.words import say


def routes(sheets: Sheets) -> APIRouter:
    """The list of grades and each grade's own page."""
    router = APIRouter(include_in_schema=False)

    @router.get("/grades", response_class=HTMLResponse)
    def grades(request: Request, q: str = "") -> HTMLResponse:
        reading = sheets.reading(request)
        page = grades_page(sheets.backstage.catalog(), q[:80], reading)
        if wants_fragment(request):
            return sheets.fragment("grades/found.html", reading, page)
        return sheets.show(
            "grades/grades.html",
            sheets.block(request, say("Grades"), say("What is known about cutting a grade?")),
            page,
        )

    @router.get("/grades/{name:path}", response_class=HTMLResponse)
    def grade(request: Request, name: str) -> HTMLResponse:
        catalog = sheets.backstage.catalog()
        try:
            found = catalog.find_grade(name)
        except UnknownName as unknown:
            near = (
                say("Near it: {near}.", near=", ".join(unknown.near))
                if unknown.near
                else say("Search the list.")
            )
            raise NotHereError(
                say("No grade is called {name}.", name=f"{name!r}"), near, "/grades", say("To the grades")
            ) from None
        block = sheets.block(
            request,
            say("Grade"),
            say("What is known about cutting {name}?", name=found.name),
            under="/grades",
        )
        return sheets.show("grades/grade.html", block, grade_page(catalog, found, sheets.reading(request)))

    return router
