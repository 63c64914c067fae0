"""Quotes from a list to an order, rates, own saws and which-saw: by a browser, by programs, by role."""

import time
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, Page, expect
from tests.plans_here import PlansHere
from tests.web.access import faults_of_access
from tests.web.shift.places import client_of, copied
from tests.web.shift.serving import served_at
from tests.web.shift.shop import ShiftShop

from kerfsmith.web.app import create_app
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.quote_stage import ShopQuoteStage
from kerfsmith.wiring.saw_stage import ShopSawStage
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.wiring.which_saw_stage import ShopWhichSawStage
from kerfsmith.wiring.workbench import Workbench

LIST = b"Mark;Grade;Section;Length mm;Qty\nArm;1045;round 100 mm;250;6\nPin;1045;round 80 mm;120,5;4\n"
YEARLY = (
    b"Mark;Grade;Section;Length mm;Pieces a year;Lot\n"
    b"Arm;1045;round 100 mm;250;600;20\nDrum;1045;round 400 mm;300;24;4\n"
)


def priced(shop: ShiftShop) -> FastAPI:
    """The shop's app with everything that prices and compares."""
    pool, bench = PlansHere(shop.catalog), Workbench()
    tables = ShopTables(shop.store, shop.catalog)
    backstage = ShopBackstage(shop.store, shop.catalog, pool)  # type: ignore[arg-type]  # stand-in
    stages = Stages(
        quotes=ShopQuoteStage(shop.store, tables, pool, bench, backstage.held_order),  # type: ignore[arg-type]  # stand-in
        saws=ShopSawStage(shop.store, tables),
        which_saw=ShopWhichSawStage(shop.store, tables, pool, bench),  # type: ignore[arg-type]  # stand-in
        bench=bench,
    )
    return create_app(backstage, shop.floor, stages=stages)


@dataclass
class Desk:
    """A page of the demo's browser, and its address."""

    page: Page
    base: str
    shop: ShiftShop
    scratch: Path

    def go(self, path: str) -> None:
        """Open a page."""
        self.page.goto(self.base + path)

    def check(self) -> None:
        """No fault of access in what is shown, day or night, and nothing wider than the glass."""
        self.page.reload()
        assert faults_of_access(self.page) == []
        wide = self.page.evaluate("document.documentElement.scrollWidth")
        assert wide <= 1024

    def file(self, name: str, data: bytes) -> str:
        """A file to be sent."""
        path = self.scratch / name
        path.write_bytes(data)
        return str(path)


@pytest.fixture
def desk(browser: Browser, tmp_path: Path) -> Iterator[Desk]:
    """The demo at a panel's size, strict policy passed over for the checker of access alone."""
    folder = tmp_path / "shop"
    folder.mkdir()
    shop = copied(folder, demo=True, people=False)
    with served_at(priced(shop)) as base:
        context = browser.new_context(viewport={"width": 1024, "height": 600}, bypass_csp=True)
        yield Desk(context.new_page(), base, shop, tmp_path)
        context.close()


def test_a_list_becomes_a_quote_and_the_quote_an_order(desk: Desk) -> None:
    page = desk.page
    desk.go("/quotes/new")
    desk.check()
    page.set_input_files("#file", desk.file("list.csv", LIST))
    page.click("text=Read it")
    page.fill("#customer", "Weir works")
    page.fill("#quantities", "3, 12")
    page.click("text=Reckon the price")
    page.wait_for_url("**/quotes/Q-*", timeout=90_000)
    desk.check()
    total = page.locator(".figures dd").first.inner_text().split()[0]
    assert page.locator(".offered").count() == 2
    lines = [
        float(one.split("\n")[0]) for one in page.locator(".offered .price:last-child").all_inner_texts()
    ]
    assert f"{sum(lines):.2f}" == total
    page.locator(".offered details summary").first.click()
    expect(page.locator(".reckoning").first).to_be_visible()
    expect(page.locator(".reckoning").first).to_contain_text("margin", use_inner_text=True)
    expect(page.locator(".offered .price").first).to_contain_text("between", use_inner_text=True)
    page.select_option("#line1-count", "12")
    page.click("text=Accepted: make it an order")
    page.wait_for_url("**/orders**")
    assert "Weir works, quote Q-" in page.content()
    order = desk.shop.store.orders()[-1]
    assert [(line.mark, line.quantity) for line in order.lines] == [("Arm", 12), ("Pin", 4)]
    desk.go("/quotes")
    expect(page.locator("tbody tr").first).to_contain_text("accepted", use_inner_text=True)
    desk.check()


def test_rates_are_edited_and_the_placeholders_told(desk: Desk) -> None:
    page = desk.page
    desk.go("/quotes/rates")
    desk.check()
    before = page.locator(".placeholder-mark").count()
    expect(page.locator(".lead").first).to_contain_text(f"{before} rows")
    page.fill("#people_hour", "51.20")
    page.click("text=Keep these rates")
    expect(page.locator("#people_hour")).to_have_value("51.2")
    expect(page.locator(".placeholder-mark")).to_have_count(before - 1)
    page.fill("#margin", "150")
    page.click("text=Keep these rates")
    expect(page.locator("body")).to_contain_text("Not kept")
    desk.go("/quotes/rates")
    page.click("text=What a metre of each band costs")
    page.locator("[name='band.B34-6/10']").fill("11.40")
    page.click("text=Keep these rates")
    page.wait_for_url("**done=yes")
    with desk.shop.store.look() as look:
        rates = look.prices.rates()
    assert str(rates.people_hour) == "51.20"
    assert rates.own == {"people_hour", "band_price_per_m"}
    assert rates.band_price_per_m == {"B34-6/10": Decimal("11.40")}


def test_a_saw_of_ones_own_is_added_and_cut_on(desk: Desk) -> None:
    page = desk.page
    desk.go("/saws/new")
    desk.check()
    fill = {
        "name": "Long saw", "c0.round": "500", "c0.square": "480", "c0.width": "600", "c0.height": "500",
        "band_width": "54", "band_thickness": "1.6", "band_length": "7600", "wheel_diameter": "760",
        "band_speed_min": "14", "band_speed_max": "105", "motor": "9", "feed_min": "1", "feed_max": "190",
        "feed_force_max": "6200", "guide_span_max": "830", "head_travel": "560", "shuttle_stroke": "1500",
        "load_limit": "6000", "max_bar_length": "12000", "least_grip": "140",
    }  # fmt: skip
    for name, value in fill.items():
        page.fill(f"[name='{name}']", value)
    page.click("text=Keep this saw")
    page.wait_for_url("**/saws")
    assert "Long saw" in page.content()
    desk.check()
    desk.go("/cut?grade=1045&section=round+100+mm&saw=long-saw")
    assert "Long saw" in page.content()


def test_saws_are_compared_over_a_year(desk: Desk) -> None:
    page = desk.page
    desk.go("/which-saw")
    desk.check()
    page.set_input_files("#file", desk.file("year.csv", YEARLY))
    page.uncheck("[name='saw.light-metal']")
    page.fill("[name='price.yard']", "90000")
    page.click("text=Compare them")
    page.wait_for_url("**/which-saw/*", timeout=90_000)
    text = page.locator("main").inner_text()
    assert "Drum" in page.content()
    assert "over the saw's" in text
    assert "Pay-back" in text
    assert page.locator("svg.side-by-side").count() == 2
    desk.check()


@pytest.fixture
def own(tmp_path: Path) -> ShiftShop:
    """A shop of one's own with its people."""
    shop = copied(tmp_path)
    shop.app = priced(shop)
    return shop


def waited(client: TestClient, work_id: str) -> dict[str, str]:
    """What came of something underway."""
    for _ in range(600):
        found: dict[str, str] = client.get(f"/api/reckoning/{work_id}").json()
        if found["state"] in ("done", "failed"):
            return found
        time.sleep(0.1)
    raise AssertionError("it never ended")


def test_margin_is_seen_by_who_plans_and_leads_alone(own: ShiftShop) -> None:
    planner, operator = client_of(own, "Pia"), client_of(own, "Omar")
    wish = {"order": "o2", "customer": "Mill Lane", "valid_until": "2099-01-01"}
    assert operator.post("/api/quotes", json=wish).status_code == 403
    begun = planner.post("/api/quotes", json=wish)
    assert begun.status_code == 202
    assert waited(planner, begun.json()["id"])["problem"] == ""
    (head,) = planner.get("/api/quotes").json()
    path = f"/quotes/{head['number']}"
    seen, hidden = (one.get(path) for one in (planner, operator))
    assert "Margin" in seen.text
    assert "reckoning" in seen.text
    assert hidden.status_code == 200
    assert "Margin" not in hidden.text
    assert "reckoning" not in hidden.text
    assert operator.get(f"{path}/quote.pdf?revision=1&inside=yes").status_code == 403
    assert operator.get(f"{path}/quote.pdf?revision=1").content.startswith(b"%PDF")
    assert "reckoning" in planner.get(f"/api{path}").json()["lines"][0]
    assert "reckoning" not in operator.get(f"/api{path}").json()["lines"][0]
    assert operator.post(f"/api{path}/accept", json={"revision": 1}).status_code == 403
    done = planner.post(f"/api{path}/accept", json={"revision": 1})
    assert done.json()["order"] == "o2"
    again = planner.post(f"/api{path}/accept", json={"revision": 1})
    assert (again.status_code, again.json()["code"]) == (409, "quote-accepted")


def test_only_a_lead_sets_rates_and_keeps_saws(own: ShiftShop) -> None:
    planner, lead = client_of(own, "Pia"), client_of(own, "Lea")
    assert planner.post("/quotes/rates", data={"people_hour": "1"}).status_code == 403
    assert lead.post("/api/rates", json={"people_hour": "44.5"}).json() == {"own": ["people_hour"]}
    assert lead.post("/api/rates", json={"people_hour": "much"}).status_code == 422
    assert planner.post("/saws/yard/standing", data={"standing": "retired"}).status_code == 403
    busy = lead.post("/api/saws/north/standing", json={"standing": "retired"})
    assert (busy.status_code, busy.json()["code"]) == (409, "runs-open")
    assert lead.post("/api/saws/yard/standing", json={"standing": "retired"}).status_code == 200
    assert {saw["id"]: saw["standing"] for saw in lead.get("/api/saws").json()}["yard"] == "retired"
    answer = lead.post("/api/saws", files={"file": ("saws.csv", b"figure;A\nname;A saw\n")})
    assert answer.status_code == 422
    assert answer.json()["findings"]


def test_a_comparison_of_one_saw_or_of_nothing_is_refused(own: ShiftShop) -> None:
    planner = client_of(own, "Pia")
    one = {"saws": ["north"], "kind": "yearly"}
    assert planner.post("/api/which-saw", data=one, files={"file": ("y.csv", YEARLY)}).status_code == 409
    two = {"saws": ["north", "yard"], "kind": "yearly"}
    assert planner.post("/api/which-saw", data=two, files={"file": ("y.csv", b"x")}).status_code == 409
    begun = planner.post("/api/which-saw", data=two, files={"file": ("y.csv", YEARLY)})
    result = waited(planner, begun.json()["id"])
    told = planner.get(f"/api{result['result']}").json()
    assert told["saws"] == ["North saw", "Yard saw"]
    assert planner.get(f"{result['result']}/report.pdf").content.startswith(b"%PDF")
