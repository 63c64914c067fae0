"""The demo's order book planned and lined up on a fixed morning: real records, tables and engines."""

import re
import shutil
import tempfile
import time
from datetime import UTC, date, datetime
from datetime import time as clock_time
from functools import cache
from pathlib import Path

from fastapi import FastAPI
from fastapi.testclient import TestClient
from tests.plans_here import PlansHere
from tests.tables import package_tables
from tests.web.shift.shop import PlainHasher

from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import in_turn, tasks_of
from kerfsmith.records.opening import make_engine, open_engine
from kerfsmith.records.store import Store
from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.shop.person import HOUSE, Person, Role
from kerfsmith.web.app import create_app
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.floor_stage import ShopFloorStage
from kerfsmith.wiring.records import open_demo_at_first_start
from kerfsmith.wiring.week_stage import ShopWeekStage
from kerfsmith.workflow.keep_people import NewSecrets, add_person
from kerfsmith.workflow.plan_cuts import plan_cuts

MORNING = datetime.combine(date(2026, 11, 25), clock_time(6, 30))
"""A Wednesday, half an hour into the early shift."""
PASSWORD = "correct horse staple"


class WeekShop:
    """The shop over the records in ``folder``, its clock stopped in the ``now`` that a test sets."""

    def __init__(self, folder: Path) -> None:
        catalog, file = package_tables(), folder / "shop.sqlite"
        self.now = MORNING
        # A copied file has the newest schema already.
        opened = make_engine if file.exists() else open_engine
        self.store = Store(opened(f"sqlite:///{file}"))
        pool = PlansHere(catalog)
        self.catalog = catalog
        self.week = ShopWeekStage(self.store, catalog, pool, lambda: self.now)
        self.floor = ShopFloorStage(self.store, catalog, pool, PlainHasher())  # type: ignore[arg-type]  # stand-in
        self.app: FastAPI = create_app(
            ShopBackstage(self.store, catalog, pool),  # type: ignore[arg-type]  # stand-in
            self.floor,
            stages=Stages(week=self.week),
        )

    def fill(self) -> None:
        """Orders, rack, plan and week of the demo, and two people."""
        open_demo_at_first_start(self.store, self.catalog)
        self.plan("demo")
        self.week.open_demo()
        for name, role in (("Pia", Role.PLANNER), ("Omar", Role.OPERATOR)):
            secrets = NewSecrets(password=PASSWORD)
            add_person(self.store, PlainHasher(), Person(name, role), secrets, by=HOUSE, at=datetime.now(UTC))

    def plan(self, plan_id: str) -> None:
        """Plan everything on the book."""
        orders = self.store.orders()
        tasks = tasks_of((line for order in orders for line in order.lines), self.store.rack())
        effort = Effort(5.0, 1, time.process_time, lambda: False)
        plan_cuts(
            self.store,
            tasks,
            in_turn(self.catalog, self.store.rules(), effort),
            order_ids=[order.id for order in orders],
            plan_id=plan_id,
            name="Demo",
            seed=1,
            by=HOUSE,
            at=datetime.now(UTC),
        )

    def kept(self) -> KeptWeek:
        """The week in force, sound by the referee."""
        return sound(self.week.week().kept)

    def proposed(self) -> KeptWeek:
        """The week put forward, sound by the referee."""
        return sound(self.week.week().proposed)

    def client(self, name: str = "") -> TestClient:
        """A browser at this machine: the newcomer's, who counts as a lead in the demo, or ``name``'s."""
        made = TestClient(
            self.app, base_url="http://127.0.0.1", client=("127.0.0.1", 50_000), follow_redirects=False
        )
        if name:
            assert made.post("/sign-in", data={"name": name, "password": PASSWORD}).status_code == 303
        return made

    def finish_job(self, href: str) -> None:
        """Wait for a week in the making."""
        job_id = href.rsplit("/", 1)[1]
        until = time.monotonic() + 60
        while time.monotonic() < until:
            job = self.week.job(job_id)
            assert job is not None
            if job.state.is_over:
                assert job.refusal is None, job.refusal
                assert not job.problem, job.problem
                return
            time.sleep(0.05)
        raise AssertionError("the week was never made")


def sound(week: KeptWeek | None) -> KeptWeek:
    """The week, which the referee passes."""
    assert week is not None
    assert faults(week.problem, week.week) == ()
    return week


@cache
def template() -> Path:
    """Folder of records that were filled once in this process."""
    folder = Path(tempfile.mkdtemp(prefix="kerfsmith-week-"))
    shop = WeekShop(folder)
    shop.fill()
    shop.store._engine.dispose()
    return folder


def copied(folder: Path) -> WeekShop:
    """A shop over a copy of the filled records."""
    for file in template().iterdir():
        shutil.copy(file, folder)
    return WeekShop(folder)


def several(week: KeptWeek) -> str:
    """A run that another saw takes too."""
    return next(run.id for run in week.problem.runs if len(run.options) > 1)


def busiest(week: KeptWeek) -> tuple[str, tuple[str, ...]]:
    """The saw with the most runs, and its row."""
    return max(week.week.sequences.items(), key=lambda pair: len(pair[1]))


def words(html: str) -> str:
    """The text of a page, spaces made one."""
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


Served = tuple[str, WeekShop]
"""Where it is served, and the shop."""
