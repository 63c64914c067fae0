"""Where the bibliography is asked for."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.catalog.figure import Source
from kerfsmith.web.reasons import confidence_steps
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say


@dataclass(frozen=True, slots=True)
class SourceRow:
    """One entry of the bibliography; figures link to its key."""

    key: str
    title: str
    year: str
    kind: str
    note: str


@dataclass(frozen=True, slots=True)
class SourcesPage:
    """The bibliography, and the steps of confidence with their meanings."""

    rows: tuple[SourceRow, ...]
    steps: tuple[tuple[str, str], ...]


def routes(sheets: Sheets) -> APIRouter:
    """All sources on one page."""
    router = APIRouter(include_in_schema=False)

    @router.get("/sources", response_class=HTMLResponse)
    def sources(request: Request) -> HTMLResponse:
        rows = tuple(_row(source) for source in sheets.backstage.catalog().sources)
        page = SourcesPage(rows, confidence_steps())
        block = sheets.block(request, say("Sources"), say("Where do the figures come from?"))
        return sheets.show("sources/sources.html", block, page)

    return router


def _row(source: Source) -> SourceRow:
    return SourceRow(
        source.key,
        source.title,
        str(source.year or ""),
        say(source.kind),
        say(source.note),
    )
