"""Pages, one package each: what is shown, its template and its routes side by side."""

from collections.abc import Iterator

from fastapi import APIRouter

from kerfsmith.web.pages.plan.routes import routes as plan_routes
from kerfsmith.web.pages.preferences.routes import routes as preference_routes
from kerfsmith.web.sheet import Sheets


def every_router(sheets: Sheets) -> Iterator[APIRouter]:
    """The routers of all pages, the more particular paths first."""
    yield preference_routes()
    yield plan_routes(sheets)
