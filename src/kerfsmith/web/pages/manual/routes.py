"""Where the manual is read."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from kerfsmith.web.manual_stage import ManualPage, ManualPart, ManualStage
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, link
from kerfsmith.web.words import say


@dataclass(frozen=True, slots=True)
class ManualView:
    """A page beside the list of all."""

    parts: tuple[ManualPart, ...]
    page: ManualPage
    html: Markup


def routes(sheets: Sheets, stage: ManualStage) -> APIRouter:
    """The manual's pages and pictures."""
    router = APIRouter(include_in_schema=False)

    @router.get("/manual")
    def first() -> RedirectResponse:
        return RedirectResponse(link("manual", stage.parts()[0].entries[0].name), status_code=303)

    @router.get("/manual/pictures/{name}")
    def picture(name: str) -> Response:
        found = stage.picture(name)
        if found is None:
            raise NotHereError(
                say("The manual has no picture {name}.", name=f"{name!r}"),
                say("Read on."),
                "/manual",
                say("To the manual"),
            )
        return Response(found, media_type="image/png", headers={"Cache-Control": "max-age=86400"})

    @router.get("/manual/{name}", response_class=HTMLResponse)
    def page(request: Request, name: str) -> HTMLResponse:
        found = stage.page(name)
        if found is None:
            raise NotHereError(
                say("The manual has no page {name}.", name=f"{name!r}"),
                say("Choose one from its list."),
                "/manual",
                say("To the manual"),
            )
        block = sheets.block(request, say("Manual"), found.title, under="/manual")
        return sheets.show("manual/manual.html", block, ManualView(stage.parts(), found, Markup(found.html)))

    return router
