"""Emptying the demo shop, with a page between that asks once more."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse

from kerfsmith.web.pages.orders.routes import BY
from kerfsmith.web.pages.sign_in.gate import asker_of
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say


def routes(sheets: Sheets) -> APIRouter:
    """The question and the deed."""
    router = APIRouter(include_in_schema=False)
    backstage = sheets.backstage

    @router.get("/begin", response_class=HTMLResponse)
    def ask(request: Request) -> HTMLResponse:
        _must_be_demo()
        block = sheets.block(
            request, say("Begin"), say("Empty the demo shop and begin with your own?"), under="/"
        )
        return sheets.show("shop/begin.html", block, None)

    @router.post("/begin")
    def begin(request: Request, with_saws: Annotated[str, Form(max_length=10)] = "") -> RedirectResponse:
        _must_be_demo()
        backstage.begin_own_shop(by=asker_of(request, BY), with_saws=bool(with_saws))
        return RedirectResponse("/orders" if with_saws else "/saws", status_code=303)

    def _must_be_demo() -> None:
        if not backstage.shop().is_demo:
            raise NotHereError(
                say("This is not the demo shop."), say("A shop of one's own is not emptied with a button.")
            )

    return router
