"""The application: pages, API, files, and what guards them."""

from importlib.metadata import version
from pathlib import Path

from fastapi import FastAPI
from fastapi.middleware.gzip import GZipMiddleware
from fastapi.staticfiles import StaticFiles

from kerfsmith.web.backstage import Backstage
from kerfsmith.web.pages import every_router
from kerfsmith.web.refusal import refuse_in_words
from kerfsmith.web.security import guard
from kerfsmith.web.sheet import Sheets

_STATIC = Path(__file__).parent / "static"


def create_app(backstage: Backstage) -> FastAPI:
    """The web face over ``backstage``."""
    app = FastAPI(
        title="Kerfsmith",
        version=version("kerfsmith"),
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    sheets = Sheets(backstage)
    app.add_middleware(GZipMiddleware, minimum_size=2_000)
    guard(app)
    refuse_in_words(app, sheets)
    for router in every_router(sheets):
        app.include_router(router)
    app.mount("/static", StaticFiles(directory=_STATIC), name="static")
    return app
