"""Where the grades are asked for."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.errors import UnknownName
from kerfsmith.web.pages.grades.view import GradeRow, GradesPage, grade_page, grades_page, own_names
from kerfsmith.web.pages.people.view import problem_words
from kerfsmith.web.pages.sign_in.gate import entry_of, person_of, refuse_role
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.search import Found
from kerfsmith.web.sheet import Sheets, wants_fragment
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal


def routes(sheets: Sheets) -> APIRouter:
    """The list of grades and each grade's own page."""
    router = APIRouter(include_in_schema=False)
    stage = sheets.stages.sections

    @router.get("/grades", response_class=HTMLResponse)
    def grades(request: Request, q: str = "") -> HTMLResponse:
        reading = sheets.reading(request)
        page = grades_page(sheets.backstage.catalog(), q[:80], reading)
        if wants_fragment(request):
            return sheets.fragment("grades/found.html", reading, page)
        return _list(request, page)

    def _list(request: Request, found: Found[GradeRow], problem: str = "") -> HTMLResponse:
        entry = entry_of(request)
        page = GradesPage(
            found,
            own_names(stage.grade_names()) if stage else (),
            stage is not None and entry is not None and may(entry.person.role, Verb.NAME_GRADE),
            problem,
        )
        block = sheets.block(request, say("Grades"), say("What is known about cutting a grade?"))
        return sheets.show("grades/grades.html", block, page, status=409 if problem else 200)

    def _answered(request: Request, answer: object, verb: Verb) -> Response:
        if not isinstance(answer, Refusal):
            return RedirectResponse("/grades", status_code=303)
        if answer.code == "role":
            return refuse_role(request, sheets, verb, person_of(request))
        found = grades_page(sheets.backstage.catalog(), "", sheets.reading(request))
        return _list(request, found, problem_words(answer))

    if stage is not None:

        @router.post("/own-grades")
        def name_grade(
            request: Request, word: Annotated[str, Form()] = "", grade: Annotated[str, Form()] = ""
        ) -> Response:
            answer = stage.name_grade(word[:200], grade[:200], by=person_of(request))
            return _answered(request, answer, Verb.NAME_GRADE)

        @router.post("/own-grades/drop")
        def drop_name(request: Request, word: Annotated[str, Form()]) -> Response:
            answer = stage.drop_grade_name(word[:200], by=person_of(request))
            return _answered(request, answer, Verb.DROP_GRADE_NAME)

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
