"""The application: pages, API, files, and what guards them."""

from collections.abc import Collection
from importlib.metadata import version
from pathlib import Path

from fastapi import FastAPI
from fastapi.middleware.gzip import GZipMiddleware
from fastapi.staticfiles import StaticFiles

from kerfsmith.web.api.floor import routes as floor_api
from kerfsmith.web.backstage import Backstage
from kerfsmith.web.floor_stage import FloorStage
from kerfsmith.web.once import do_once
from kerfsmith.web.pages import every_router, floor_routers, stage_routers
from kerfsmith.web.pages.sign_in.gate import keep_gate
from kerfsmith.web.refusal import refuse_in_words
from kerfsmith.web.security import guard
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.stages import NO_STAGES, Stages
from kerfsmith.web.telling import InReadersMeasure
from kerfsmith.web.words import InReadersLanguage

_STATIC = Path(__file__).parent / "static"


def create_app(
    backstage: Backstage,
    floor: FloorStage | None = None,
    names: Collection[str] | None = None,
    stages: Stages = NO_STAGES,
) -> FastAPI:
    """The web face over ``backstage``; over ``floor`` too, with its gate, where people and saws are kept.

    ``stages`` are what further pages of such a shop stand on. ``names`` are those it may be called by,
    beside its addresses; None lets any in.
    """
    app = FastAPI(
        title="Kerfsmith",
        version=version("kerfsmith"),
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    sheets = Sheets(backstage, with_floor=floor is not None, stages=stages)
    app.add_middleware(InReadersMeasure)
    app.add_middleware(InReadersLanguage)
    app.add_middleware(GZipMiddleware, minimum_size=2_000)
    if stages.programs is not None:
        do_once(app, stages.programs)
    if floor is not None:
        keep_gate(app, sheets, floor)
    guard(app, names)
    refuse_in_words(app, sheets)
    for router in every_router(sheets):
        app.include_router(router)
    if floor is not None:
        for router in (*floor_routers(sheets, floor), *stage_routers(sheets, stages)):
            app.include_router(router)
        if stages.programs is not None:
            app.include_router(floor_api(floor, stages.programs))
    app.mount("/static", StaticFiles(directory=_STATIC), name="static")
    return app
