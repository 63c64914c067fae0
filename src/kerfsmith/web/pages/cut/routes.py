"""Where one cut is asked for: a plain form, or its changing part alone."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.web.backstage import CutAnswer
from kerfsmith.web.pages.cut.ask import read_question
from kerfsmith.web.pages.cut.view import answer_view, cut_page
from kerfsmith.web.sheet import Sheets, wants_fragment
from kerfsmith.web.words import say


def routes(sheets: Sheets) -> APIRouter:
    """The page of one cut."""
    router = APIRouter(include_in_schema=False)
    backstage = sheets.backstage

    @router.get("/cut/sections", response_class=HTMLResponse)
    def section_names(request: Request) -> HTMLResponse:
        """The long list of names that the field offers, fetched when it is first touched."""
        names = tuple(row.name for row in backstage.catalog().section_rows)
        answer = sheets.fragment("cut/names.html", sheets.reading(request), names)
        answer.headers["Cache-Control"] = "private, max-age=3600"
        return answer

    @router.get("/cut", response_class=HTMLResponse)
    def cut(request: Request) -> HTMLResponse:
        asked = read_question(request.query_params)
        answer = backstage.cut(asked.question) if not asked.findings else CutAnswer()
        reading, catalog = sheets.reading(request), backstage.catalog()
        currency = backstage.shop().currency
        if wants_fragment(request):
            view = answer_view(asked, answer, catalog, reading, currency)
            return sheets.fragment("cut/answer.html", reading, view)
        page = cut_page(asked, answer, catalog, reading, currency)
        block = sheets.block(
            request, say("One cut"), say("How is this section cut, how long does it take, and why?")
        )
        return sheets.show("cut/cut.html", block, page)

    return router
