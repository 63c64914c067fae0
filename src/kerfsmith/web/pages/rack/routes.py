"""Where the rack is asked for."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.web.pages.rack.view import rack_page
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say


def routes(sheets: Sheets) -> APIRouter:
    """The rack's page; its uploads go with those of orders."""
    router = APIRouter(include_in_schema=False)

    @router.get("/rack", response_class=HTMLResponse)
    def rack(request: Request) -> HTMLResponse:
        backstage = sheets.backstage
        page = rack_page(
            backstage.rack(),
            backstage.promised_bars(),
            backstage.shop().currency,
            sheets.reading(request),
        )
        return sheets.show(
            "rack/rack.html",
            sheets.block(request, say("Rack"), say("Which bars and remnants lie ready?")),
            page,
        )

    return router
