"""A fault told at the saw: its questions, its causes in order, what it was, and who may say so."""

from collections.abc import Iterator
from contextlib import contextmanager
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
from kerfsmith.wiring.fault_stage import ShopFaultStage

CROOKED = {
    "symptom": "crooked",
    "saw": "north",
    "feed_mm_per_min": "400",
    "chips": "thick and blue",
    "square_in_vise": "yes",
}


def app_of(shop: ShiftShop) -> FastAPI:
    """The shop's face with the pages of faults."""
    backstage = ShopBackstage(shop.store, shop.catalog, PlansHere(shop.catalog))  # type: ignore[arg-type]  # stand-in
    stages = Stages(faults=ShopFaultStage(shop.store, lambda: shop.catalog))
    return create_app(backstage, shop.floor, stages=stages)


@contextmanager
def entered(shop: ShiftShop, name: str) -> Iterator[TestClient]:
    """Somebody at this machine, signed in."""
    made = TestClient(app_of(shop), base_url=BASE, client=HERE, follow_redirects=False)
    with made:
        assert made.post("/sign-in", data={"name": name, "password": PASSWORD}).status_code == 303
        yield made


@pytest.fixture
def shop(tmp_path: Path) -> ShiftShop:
    return copied(tmp_path)


def test_a_fault_is_judged_kept_and_settled(shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        assert "round 100" in omar.get("/faults/ask?symptom=crooked&saw=north").text
        told = omar.post("/faults", data=CROOKED)
        assert told.status_code == 303
        page = omar.get(told.headers["location"]).text
        assert page.index("feed too heavy") < page.index("worn guides")
        assert "the chips are thick and blue" in page
        kept = omar.post(
            told.headers["location"] + "/found", data={"cause": "worn guides", "note": "renewed"}
        )
        assert kept.status_code == 303
        assert "worn guides; Omar" in omar.get(told.headers["location"]).text
        assert "worn guides" in omar.get("/faults").text
    newest = shop.store.ledger(2)
    assert [entry.verb for entry in newest] == ["settle fault", "report fault"]
    with shop.store.look() as look:
        assert dict(look.faults.found(look.faults.faults()[0].fault.symptom)) == {"worn guides": 1}


def test_a_later_word_corrects_and_alone_counts(shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        where = omar.post("/faults", data=CROOKED).headers["location"]
        for cause in ("worn guides", "band too loose"):
            omar.post(where + "/found", data={"cause": cause})
    with shop.store.look() as look:
        one = look.faults.faults()[0]
        assert [found.cause for found in one.found] == ["worn guides", "band too loose"]
        assert dict(look.faults.found(one.fault.symptom)) == {"band too loose": 1}


def test_an_inch_reader_tells_and_reads_inches(shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        omar.cookies.set("measure", "inch")
        assert "in/min" in omar.get("/faults/ask?symptom=crooked").text
        where = omar.post("/faults", data={**CROOKED, "feed_mm_per_min": "15.75"}).headers["location"]
        assert "15.75 in/min" in omar.get(where).text.replace("15.8 in/min", "15.75 in/min")
    with shop.store.look() as look:
        assert look.faults.faults()[0].fault.seen.feed_mm_per_min == pytest.approx(400.05)


def test_what_cannot_be_read_is_told_and_the_rest_kept_in_the_form(shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        answer = omar.post("/faults", data={**CROOKED, "tension_mpa": "tight"})
        assert answer.status_code == 422
        assert "tight" in answer.text
        assert 'value="400"' in answer.text
        other = omar.post("/faults", data={**CROOKED, "grade": "unobtainium", "section": "round"})
        assert other.status_code == 422
        assert "is no grade in the tables" in other.text
        assert omar.get("/faults/ask?symptom=gremlins").status_code == 404
        assert omar.get("/faults/none").status_code == 404
    with shop.store.look() as look:
        assert look.faults.faults() == ()


def test_a_guest_reads_and_a_planner_does_not_settle(shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        where = omar.post("/faults", data=CROOKED).headers["location"]
    with entered(shop, "Gus") as gus:
        assert gus.get(where).status_code == 200
        assert "Keep it" not in gus.get(where).text
        assert gus.post("/faults", data=CROOKED).status_code == 403
    with entered(shop, "Pia") as pia:
        assert pia.post(where + "/found", data={"cause": "worn guides"}).status_code == 403
    assert "may not settle fault" in str(shop.store.ledger(1)[0].refused)


def test_other_programs_tell_and_read_the_same(shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        told = {"saw": "north", "symptom": "stripped teeth", "grade": "4140", "section": "round 4 in"}
        kept = omar.post("/api/faults", json={**told, "seen": {"work_firm": False}})
        assert kept.status_code == 200
        assert kept.json()["named"][0]["cause"] == "work loose"
        fault = kept.json()["id"]
        assert omar.post(f"/api/faults/{fault}/found", json={"cause": "work loose"}).status_code == 200
        assert omar.get(f"/api/faults/{fault}").json()["found"][0]["by"] == "Omar"
        assert omar.get("/api/faults").json()["items"][0]["fault"]["id"] == fault
        assert omar.get("/api/faults/causes").json()["usual"]["crooked"][0]["cause"] == "worn band"
        wrong = omar.post("/api/faults", json={**told, "grade": "unobtainium"})
        assert wrong.json()["findings"][0]["field"] == "grade"
        assert omar.post(f"/api/faults/{fault}/found", json={"cause": "gremlins"}).status_code == 409
        assert omar.get("/api/faults/none").status_code == 404


@pytest.mark.browser
def test_the_pages_are_clean_and_hold_a_panel(browser: Browser, shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        where = omar.post("/faults", data=CROOKED).headers["location"]
        secret = omar.cookies["session"]
    with served_at(app_of(shop)) as base:
        context = browser.new_context(viewport={"width": 1024, "height": 600}, bypass_csp=True)
        context.add_cookies([{"name": "session", "value": secret, "url": base}])
        page = context.new_page()
        for path in ("/faults", "/faults/ask?symptom=out+of+length&saw=north", where):
            page.goto(base + path)
            assert faults_of_access(page) == [], path
            assert page.evaluate("document.documentElement.scrollWidth") <= 1024
        context.close()
