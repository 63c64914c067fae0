"""The shop's own tables on their page: kept, read in planning processes, not taken away while in use."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Browser
from tests.plans_here import PlansHere
from tests.web.access import faults_of_access
from tests.web.shift.places import BASE, HERE, copied
from tests.web.shift.serving import served_at
from tests.web.shift.shop import PASSWORD, ShiftShop

from kerfsmith.web.app import create_app
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.own_files import over
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.wiring.table_stage import ShopTableStage, example_tables
from kerfsmith.workflow.ports import Change

EXAMPLE = example_tables().encode()
LIST = b"mark,grade,section,length mm,quantity\nK1,WX42,key 16x10,120,6\n"


def app_of(shop: ShiftShop) -> FastAPI:
    tables = ShopTables(shop.store, shop.catalog)
    backstage = ShopBackstage(shop.store, shop.catalog, PlansHere(shop.catalog))  # type: ignore[arg-type]  # stand-in
    return create_app(backstage, shop.floor, stages=Stages(own_tables=ShopTableStage(shop.store, tables)))


@pytest.fixture
def shop(tmp_path: Path) -> ShiftShop:
    return copied(tmp_path)


@contextmanager
def entered(shop: ShiftShop, name: str) -> Iterator[TestClient]:
    made = TestClient(app_of(shop), base_url=BASE, client=HERE, follow_redirects=False)
    with made:
        assert made.post("/sign-in", data={"name": name, "password": PASSWORD}).status_code == 303
        yield made


def send(client: TestClient, data: bytes, name: str = "ours.toml") -> int:
    answered: int = client.post("/own-tables", files={"file": (name, data)}).status_code
    return answered


def test_a_lead_keeps_a_file_and_its_grade_can_be_ordered(shop: ShiftShop) -> None:
    with entered(shop, "Lea") as lea:
        assert send(lea, EXAMPLE) == 303
        page = lea.get("/own-tables").text
        assert "1 grade" in page
        assert "OWN34-4/6" in page
        assert lea.get("/own-tables/file?name=ours.toml").content == EXAMPLE
        assert "WX42" in lea.get("/grades?q=WX42").text
        assert lea.post("/api/uploads/order", files={"file": ("list.csv", LIST)}).json()["lines"] == 1
        refused = lea.post("/own-tables/drop", data={"name": "ours.toml"})
        assert refused.status_code == 409
        assert "till in use, and nothing else knows it: WX42" in refused.text
        # Nor does it go by a file of the same name that has lost the grade.
        assert send(lea, EXAMPLE.replace(b'"WX42"', b'"WX43"')) == 409


def test_only_a_lead_changes_the_tables(shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        assert "A file of tables, TOML" not in omar.get("/own-tables").text
        assert send(omar, EXAMPLE) == 403
        assert omar.post("/own-tables/drop", data={"name": "ours.toml"}).status_code == 403
        assert omar.get("/api/own-tables").json() == []


def test_programs_keep_list_and_drop_them(shop: ShiftShop) -> None:
    with entered(shop, "Lea") as lea:
        kept = lea.post("/api/own-tables", files={"file": ("ours.toml", EXAMPLE)})
        assert kept.json()["kept"]["holds"]["band"] == ["OWN34-4/6"]
        assert [one["name"] for one in lea.get("/api/own-tables").json()] == ["ours.toml"]
        wrong = lea.post("/api/own-tables", files={"file": ("wrong.toml", b'[[band]]\nid = "X"\n')})
        assert wrong.status_code == 422
        assert wrong.json()["findings"][0]["field"] == "edge"
        assert lea.post("/api/own-tables/drop", json={"name": "ours.toml"}).status_code == 200
        assert lea.post("/api/own-tables/drop", json={"name": "ours.toml"}).status_code == 409


def test_a_file_that_can_no_longer_be_read_leaves_the_others_in_force(shop: ShiftShop) -> None:
    other = EXAMPLE.replace(b"WX42", b"WX44").replace(b"42X", b"44X").replace(b"OWN34", b"OWN35")
    with entered(shop, "Lea") as lea:
        assert send(lea, EXAMPLE) == 303
        assert send(lea, EXAMPLE, "twice.toml") == 303
        assert send(lea, other, "other.toml") == 303

    # As a later release might find it: the records hold what was sound when it was kept.
    def worn(change: Change) -> None:
        own = next(one for one in change.own.table_files() if one.name == "ours.toml")
        change.own.keep_table_file(replace(own, text="[[grade]"))

    shop.store.perform(worn)
    laid = ShopTables(shop.store, shop.catalog).laid()
    assert [fault.file for fault in laid.faults] == ["ours.toml"]
    assert laid.tables.find_grade("WX44").name == "WX44"
    with entered(shop, "Lea") as lea:
        assert (
            "can&#39;t read it" in lea.get("/own-tables").text
            or "can't read it" in lea.get("/own-tables").text
        )


def test_a_planning_process_reads_the_same_tables(shop: ShiftShop) -> None:
    tables = over(shop.catalog, (("ours.toml", EXAMPLE),))
    assert tables.saws == shop.catalog.saws
    assert tables.find_grade("42X hardened").name == "WX42"
    assert tables.find_band("OWN34-4/6").kerf.value == 1.72


@pytest.mark.browser
def test_axe_finds_nothing(browser: Browser, shop: ShiftShop) -> None:
    with entered(shop, "Lea") as lea:
        assert send(lea, EXAMPLE) == 303
        secret = lea.cookies["session"]
    with served_at(app_of(shop)) as base:
        context = browser.new_context(viewport={"width": 1024, "height": 768}, bypass_csp=True)
        context.add_cookies([{"name": "session", "value": secret, "url": base}])
        page = context.new_page()
        page.goto(f"{base}/own-tables")
        assert faults_of_access(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 1024
        context.close()
