"""Where the ledger is read."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.web.floor_stage import FloorStage
from kerfsmith.web.pages.ledger.view import SHOWN, ledger_page
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say


def routes(sheets: Sheets, floor: FloorStage) -> APIRouter:
    """The ledger's page."""
    router = APIRouter(include_in_schema=False)

    @router.get("/ledger", response_class=HTMLResponse)
    def ledger(request: Request, by: str = "", verb: str = "", refused: bool = False) -> HTMLResponse:
        page = ledger_page(floor.ledger(SHOWN), by, verb, refused)
        return sheets.show(
            "ledger/ledger.html", sheets.block(request, say("Ledger"), say("Who did what, and when?")), page
        )

    return router
