"""Pages, one package each: what is shown, its template and its routes side by side."""

from collections.abc import Iterator

from fastapi import APIRouter

from kerfsmith.web.api.faults import routes as faults_api
from kerfsmith.web.api.learning import routes as learning_api
from kerfsmith.web.api.own_tables import routes as own_tables_api
from kerfsmith.web.api.quotes import routes as quotes_api
from kerfsmith.web.api.routes import routes as api
from kerfsmith.web.api.rules import routes as rules_api
from kerfsmith.web.api.saws import routes as saws_api
from kerfsmith.web.api.sections import routes as sections_api
from kerfsmith.web.api.week import routes as week_api
from kerfsmith.web.api.which_saw import routes as which_saw_api
from kerfsmith.web.api.which_saw import underway_routes as underway_api
from kerfsmith.web.floor_stage import FloorStage
from kerfsmith.web.pages.at_saw.queue import queue_routes
from kerfsmith.web.pages.at_saw.routes import routes as at_saw
from kerfsmith.web.pages.bands.routes import routes as bands
from kerfsmith.web.pages.charts.routes import routes as charts
from kerfsmith.web.pages.cut.routes import routes as cut
from kerfsmith.web.pages.exports.routes import routes as exports
from kerfsmith.web.pages.faults.routes import routes as faults
from kerfsmith.web.pages.grades.routes import routes as grades
from kerfsmith.web.pages.job.routes import routes as job
from kerfsmith.web.pages.learned.routes import routes as learned
from kerfsmith.web.pages.ledger.routes import routes as ledger
from kerfsmith.web.pages.manual.routes import routes as manual
from kerfsmith.web.pages.orders.routes import routes as orders
from kerfsmith.web.pages.own_tables.routes import routes as own_tables
from kerfsmith.web.pages.people.routes import routes as people
from kerfsmith.web.pages.plan.routes import routes as plan
from kerfsmith.web.pages.preferences.routes import routes as preferences
from kerfsmith.web.pages.quotes.rates_routes import rates_routes
from kerfsmith.web.pages.quotes.routes import routes as quotes
from kerfsmith.web.pages.rack.routes import routes as rack
from kerfsmith.web.pages.rules.routes import routes as rules
from kerfsmith.web.pages.safety.routes import routes as safety
from kerfsmith.web.pages.saws.routes import routes as saws
from kerfsmith.web.pages.sections.drawn_routes import drawn_routes
from kerfsmith.web.pages.sections.routes import routes as sections
from kerfsmith.web.pages.shop.routes import routes as shop
from kerfsmith.web.pages.sign_in.routes import routes as sign_in
from kerfsmith.web.pages.sources.routes import routes as sources
from kerfsmith.web.pages.trace.routes import routes as trace
from kerfsmith.web.pages.underway.routes import routes as underway
from kerfsmith.web.pages.week.routes import routes as week
from kerfsmith.web.pages.which_saw.routes import routes as which_saw
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.stages import Stages

_PAGES = (plan, orders, rack, cut, saws, bands, grades, sections, sources, safety, job, shop)


def every_router(sheets: Sheets) -> Iterator[APIRouter]:
    """The routers of all pages, of the two switches and of the API."""
    yield preferences()
    yield api(sheets.backstage)
    for page in _PAGES:
        yield page(sheets)


def floor_routers(sheets: Sheets, floor: FloorStage) -> Iterator[APIRouter]:
    """The routers of saw, trace, people, ledger and sign-in."""
    yield queue_routes(sheets, floor)
    for page in (at_saw, trace, sign_in, people, ledger):
        yield page(sheets, floor)


def stage_routers(sheets: Sheets, stages: Stages) -> Iterator[APIRouter]:
    """The routers of the pages whose stage is there."""
    if stages.faults is not None:
        yield faults(sheets, stages.faults)
        yield faults_api(stages.faults)
    if stages.quotes is not None:
        yield rates_routes(sheets, stages.quotes)
        yield quotes(sheets, stages.quotes)
        yield quotes_api(stages.quotes)
    if stages.rules is not None:
        yield rules(sheets, stages.rules)
        yield rules_api(stages.rules)
    if stages.saws is not None:
        yield saws_api(stages.saws)
    if stages.sections is not None:
        yield drawn_routes(sheets, stages.sections)
        yield sections_api(stages.sections, sheets.backstage.catalog)
    if stages.own_tables is not None:
        yield own_tables(sheets, stages.own_tables)
        yield own_tables_api(stages.own_tables)
    if stages.which_saw is not None:
        yield which_saw(sheets, stages.which_saw)
        yield which_saw_api(stages.which_saw)
    if stages.bench is not None:
        yield underway(sheets, stages.bench)
        yield underway_api(stages.bench)
    if stages.week is not None:
        yield week(sheets, stages.week)
        yield week_api(stages.week)
    if stages.exports is not None:
        yield exports(sheets, stages.exports)
    if stages.learning is not None:
        yield learned(sheets, stages.learning)
        yield charts(sheets, stages.learning)
        yield learning_api(stages.learning)
    if stages.manual is not None:
        yield manual(sheets, stages.manual)
