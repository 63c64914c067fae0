"""The application put together: records, catalog, planning pool, pages."""

from collections.abc import AsyncIterator, Collection
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import UTC, datetime

from fastapi import FastAPI

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.library.load import load_catalog
from kerfsmith.planning.make_plan import tasks_of
from kerfsmith.records.store import Store
from kerfsmith.shop.person import HOUSE
from kerfsmith.web.app import create_app
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import SECONDS_A_GROUP, SEED, ShopBackstage
from kerfsmith.wiring.demo_week import cut_last_week
from kerfsmith.wiring.export_stage import ShopExportStage
from kerfsmith.wiring.fault_stage import ShopFaultStage
from kerfsmith.wiring.floor_stage import ShopFloorStage
from kerfsmith.wiring.learning_stage import ShopLearningStage, open_demo_history
from kerfsmith.wiring.manual_stage import PackagedManual
from kerfsmith.wiring.pool import PlanningPool
from kerfsmith.wiring.program_stage import ShopProgramStage
from kerfsmith.wiring.quote_stage import ShopQuoteStage
from kerfsmith.wiring.records import open_demo_at_first_start, open_store
from kerfsmith.wiring.rules_stage import ShopRulesStage
from kerfsmith.wiring.saw_stage import ShopSawStage
from kerfsmith.wiring.section_stage import ShopSectionStage
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.wiring.table_stage import ShopTableStage
from kerfsmith.wiring.week_stage import ShopWeekStage
from kerfsmith.wiring.which_saw_stage import ShopWhichSawStage
from kerfsmith.wiring.workbench import Workbench
from kerfsmith.workflow.plan_cuts import plan_cuts


def build_application(
    records: str, names: Collection[str] | None = None, pool: PlanningPool | None = None
) -> FastAPI:
    """The web application over the records in a SQLite file or at a database URL, called by ``names``.

    Records that have never been used get the demo shop and its plan first. Without ``pool`` plans are made in
    processes of its own.
    """
    catalog = load_catalog()
    store = open_store(records)
    pool = pool or PlanningPool()
    week = ShopWeekStage(store, catalog, pool)
    if open_demo_at_first_start(store, catalog):
        cut_demo_week(store, catalog, pool)
        plan_demo(store, pool)
        week.open_demo()
        open_demo_history(store)
    week.warm_up()
    tables, bench, backstage = ShopTables(store, catalog), Workbench(), ShopBackstage(store, catalog, pool)
    learning = ShopLearningStage(store, tables.ever)
    stages = Stages(
        learning=learning,
        faults=ShopFaultStage(store, tables.now, learning.moved),
        quotes=ShopQuoteStage(store, tables, pool, bench, backstage.held_order),
        bench=bench,
        rules=ShopRulesStage(store),
        saws=ShopSawStage(store, tables),
        sections=ShopSectionStage(store, tables),
        own_tables=ShopTableStage(store, tables),
        which_saw=ShopWhichSawStage(store, tables, pool, bench),
        week=week,
        exports=ShopExportStage(store, tables),
        manual=PackagedManual(),
        programs=ShopProgramStage(store),
    )
    app = create_app(backstage, ShopFloorStage(store, catalog, pool), names, stages)
    app.router.lifespan_context = _closing(pool, bench)
    return app


def cut_demo_week(store: Store, catalog: Catalog, pool: PlanningPool) -> None:
    """What the demo shop cut the week before, bar by bar."""
    rules = replace(store.rules(), most_at_once=1)
    runner = pool.runner(rules, seconds=SECONDS_A_GROUP, seed=SEED)
    cut_last_week(store, catalog, runner, datetime.now(UTC))


def plan_demo(store: Store, pool: PlanningPool) -> None:
    """The demo's finished plan, so that the first page shows the end before the beginning."""
    orders = store.orders()
    tasks = tasks_of((line for order in orders for line in order.lines), store.rack())
    plan_cuts(
        store,
        tasks,
        pool.runner(store.rules(), seconds=SECONDS_A_GROUP, seed=SEED),
        order_ids=[order.id for order in orders],
        plan_id="demo",
        name="Demo order book",
        seed=SEED,
        by=HOUSE,
        at=datetime.now(UTC),
    )


def _closing(pool: PlanningPool, bench: Workbench):  # type: ignore[no-untyped-def]
    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        yield
        bench.close()
        pool.stop()
        pool.close()

    return lifespan
