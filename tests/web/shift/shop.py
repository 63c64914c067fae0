"""A small shop with real records, catalog and planning: a run released, four people, two bands."""

import time
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

from fastapi import FastAPI
from tests.plans_here import PlansHere as PlansHere
from tests.tables import package_tables

from kerfsmith.catalog.reading import read_section
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import in_turn, tasks_of
from kerfsmith.records.opening import make_engine, open_engine
from kerfsmith.records.store import Store
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.heat import Heat
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.person import HOUSE, Person, Role
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import ShopRules
from kerfsmith.shop.run import Run
from kerfsmith.web.app import create_app
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.fault_stage import ShopFaultStage
from kerfsmith.wiring.floor_stage import ShopFloorStage
from kerfsmith.workflow.begin_shop import open_demo, set_rules
from kerfsmith.workflow.change_band import ChangeBand, add_band, change_band
from kerfsmith.workflow.keep_heat import AttachCertificate, add_heat, attach_certificate
from kerfsmith.workflow.keep_people import NewSecrets, add_person
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import take_order

LEAD, PLANNER = Person("Lea", Role.LEAD), Person("Pia", Role.PLANNER)
OPERATOR, GUEST = Person("Omar", Role.OPERATOR), Person("Gus", Role.GUEST)
PASSWORD, PIN, BADGE = "correct horse staple", "4711", "BADGE-0007"
PDF = b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n%%EOF\n"
EVERY = 8
"""After so many pieces one is measured."""


class PlainHasher:
    """Stands in for the slow hasher; its hashes look like the real ones'."""

    def hash(self, secret: str) -> str:
        return f"$argon2id${secret[::-1]}"

    def fits(self, secret: str, hashed: str | None) -> bool:
        return hashed == self.hash(secret)


class ShiftShop:
    """The shop over the records in ``folder``: its store, its floor and its app."""

    def __init__(self, folder: Path) -> None:
        self.catalog, file = package_tables(), folder / "shop.sqlite"
        # A copied file has the newest schema already.
        opened = make_engine if file.exists() else open_engine
        self.store = Store(opened(f"sqlite:///{file}"))
        self.hasher = PlainHasher()
        pool = PlansHere(self.catalog)
        self.floor = ShopFloorStage(self.store, self.catalog, pool, self.hasher)  # type: ignore[arg-type]  # stand-in
        self.app: FastAPI = create_app(
            ShopBackstage(self.store, self.catalog, pool),  # type: ignore[arg-type]  # stand-in
            self.floor,
            stages=Stages(faults=ShopFaultStage(self.store, lambda: self.catalog)),
        )

    def fill(self, *, demo: bool = False, people: bool = True) -> None:
        """Rack, orders, plan, run and people."""
        at = datetime.now(UTC)
        # The plainest plan, whose bars the tests know: nothing but the least material decides.
        rules = ShopRules(name="Shift shop", inspect_every=EVERY, next_aims=(), keep_due_order=False)
        if demo:
            open_demo(self.store, Order("demo", "Demo", ()), (), rules, by=HOUSE, at=at)
        set_rules(self.store, rules, by=HOUSE, at=at)
        bars, lines = self._bars_and_lines()
        stock_rack(self.store, bars, by=HOUSE, at=at, source="test")
        take_order(self.store, Order("o1", "Gears", lines[:2]), by=HOUSE, at=at, source="test")
        take_order(self.store, Order("o2", "Shafts", lines[2:]), by=HOUSE, at=at, source="test")
        self._plan(at)
        self._certify(at)
        if people:
            self._people(at)

    def _bars_and_lines(self) -> tuple[tuple[Bar, ...], tuple[OrderLine, ...]]:
        section = read_section("round 100 mm", self.catalog, bare=None)
        other = read_section("round 80 mm", self.catalog, bare=None)
        grade = self.catalog.find_grade("C45").name
        bars = (
            Bar("A-1", grade, section, 3_000_000, 3, "H100", "A1"),
            Bar("A-2", grade, section, 3_000_000, 1, "H200", "A1"),
            Bar("A-3", grade, section, 5_000_000, 2, "H100", "A2"),
            Bar("B-1", self.catalog.find_grade("42CrMo4").name, section, 3_000_000, 2, "H300", "B1"),
            Bar("C-1", grade, other, 3_000_000, 2, "H100", "C1"),
        )
        lines = (
            OrderLine("o1:1", "P1", grade, section, 500_000, 9, 500, 500, date(2026, 12, 4), order="Gears"),
            OrderLine(
                "o1:2", "P2", grade, section, 320_000, 10, 500, 0, notes="stamp the heat", order="Gears"
            ),
            OrderLine("o2:1", "Q7", grade, section, 1_190_600, 2, order="Shafts", customer="Mill Lane"),
        )
        gears = tuple(replace(line, customer="Weir Works") for line in lines[:2])
        return bars, (gears[0], replace(gears[1], notes="stamp the heat"), lines[2])

    def _plan(self, at: datetime) -> None:
        effort = Effort(5.0, 1, time.process_time, lambda: False)
        tasks = tasks_of((line for order in self.store.orders() for line in order.lines), self.store.rack())
        alone = replace(self.catalog, saws=(self.catalog.find_saw("north"),))
        runner = in_turn(alone, self.store.rules(), effort)
        plan_cuts(
            self.store,
            tasks,
            runner,
            order_ids=["o1", "o2"],
            plan_id="p1",
            name="Week 49",
            seed=1,
            by=HOUSE,
            at=at,
        )
        plan = self.store.latest_plan()
        assert plan is not None
        assert len(plan.groups) == 1
        group = plan.groups[0]
        run = release_run(
            self.store, ReleaseRun("r1", "p1", group.id), saw=self.catalog.find_saw("north"), by=HOUSE, at=at
        )
        assert isinstance(run, Run), run
        kind = group.settings[0].band.id
        for label in ("S-1", "S-2"):
            add_band(self.store, ThisBand(label, kind, break_in_cm2=500.0), by=HOUSE, at=at)
        change_band(self.store, ChangeBand("north", "m1", "S-1"), by=HOUSE, at=at)

    def _certify(self, at: datetime) -> None:
        add_heat(self.store, Heat("H100", "Upland mill"), by=HOUSE, at=at)
        told = AttachCertificate("cert-1", "H100", "H100 inspection.pdf")
        attach_certificate(self.store, told, PDF, by=HOUSE, at=at)

    def _people(self, at: datetime) -> None:
        for person in (LEAD, PLANNER, OPERATOR, GUEST):
            badge = BADGE if person is OPERATOR else None
            new = NewSecrets(PASSWORD, PIN, badge)
            add_person(self.store, self.hasher, person, new, by=HOUSE, at=at)


Served = tuple[str, ShiftShop]
"""Where it is served, and the shop."""
