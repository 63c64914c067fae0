"""The switches in every page's head: measure, light, language."""

from typing import Annotated
from urllib.parse import urlsplit

from fastapi import APIRouter, Form
from fastapi.responses import RedirectResponse

from kerfsmith.units.length import Measure
from kerfsmith.web.reading import LIGHT_COOKIE, MEASURE_COOKIE, Light
from kerfsmith.web.words import LANGUAGE_COOKIE, languages

_YEAR_S = 365 * 24 * 3600


def routes() -> APIRouter:
    """Keeps a choice in a cookie and returns to the page it was made on."""
    router = APIRouter(include_in_schema=False)

    @router.post("/reading")
    def choose(
        back: Annotated[str, Form()] = "/",
        measure: Annotated[str | None, Form()] = None,
        light: Annotated[str | None, Form()] = None,
        language: Annotated[str | None, Form()] = None,
    ) -> RedirectResponse:
        answer = RedirectResponse(own_path(back), status_code=303)
        if measure in list(Measure):
            answer.set_cookie(MEASURE_COOKIE, str(measure), max_age=_YEAR_S, httponly=True, samesite="lax")
        if light in list(Light):
            answer.set_cookie(LIGHT_COOKIE, str(light), max_age=_YEAR_S, httponly=True, samesite="lax")
        if language in languages():
            answer.set_cookie(LANGUAGE_COOKIE, language, max_age=_YEAR_S, httponly=True, samesite="lax")
        return answer

    return router


def own_path(back: str) -> str:
    """``back`` where it is a path of this site, else the first page: nobody is sent elsewhere."""
    parts = urlsplit(back)
    own = (
        back.startswith("/")
        and not parts.scheme
        and not parts.netloc
        and "\\" not in back
        and back.isprintable()
    )
    return back if own and not back.startswith("//") else "/"
