"""Where the saws are asked for."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.web.pages.saws.view import saw_view
from kerfsmith.web.sheet import Sheets


def routes(sheets: Sheets) -> APIRouter:
    """The saw sheets."""
    router = APIRouter(include_in_schema=False)

    @router.get("/saws", response_class=HTMLResponse)
    def saws(request: Request) -> HTMLResponse:
        reading = sheets.reading(request)
        page = tuple(saw_view(saw, at, reading) for at, saw in enumerate(sheets.backstage.catalog().saws))
        return sheets.show(
            "saws/saws.html", sheets.block(request, "Saws", "What can each saw hold, drive and reach?"), page
        )

    return router
