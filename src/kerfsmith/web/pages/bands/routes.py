"""Where the bands are asked for."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.web.pages.bands.view import bands_page
from kerfsmith.web.sheet import Sheets, wants_fragment
from kerfsmith.web.words import say


def routes(sheets: Sheets) -> APIRouter:
    """The bands of the catalog."""
    router = APIRouter(include_in_schema=False)

    @router.get("/bands", response_class=HTMLResponse)
    def bands(request: Request, q: str = "") -> HTMLResponse:
        reading = sheets.reading(request)
        page = bands_page(sheets.backstage.catalog(), q[:80], reading)
        if wants_fragment(request):
            return sheets.fragment("bands/found.html", reading, page)
        return sheets.show(
            "bands/bands.html",
            sheets.block(request, say("Bands"), say("Which bands are there, and what kerf do they cut?")),
            page,
        )

    return router
