"""A section drawn in by the shop: looked at, kept, read wherever sections are named; and names of grades.

The drawing is IPE 200; its area, 28.48 cm2 (EN 10365), is what the pages must show.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Browser
from tests.exchange.drawings import Draw, beam, drawing, two_squares, with_a_gap
from tests.exchange.nc_files import nc_file
from tests.plans_here import PlansHere
from tests.web.access import faults_of_access
from tests.web.shift.places import BASE, HERE, copied
from tests.web.shift.serving import served_at
from tests.web.shift.shop import PASSWORD, ShiftShop

from kerfsmith.shop.person import HOUSE
from kerfsmith.web.app import create_app
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.export_stage import ShopExportStage
from kerfsmith.wiring.section_stage import ShopSectionStage
from kerfsmith.wiring.shop_tables import ShopTables

IPE_200 = drawing(beam(200, 100, 5.6, 8.5, 12))
LIST = b"mark,grade,section,length mm,quantity\nR1,S235JR,rail-7,300,4\n"


def app_of(shop: ShiftShop) -> FastAPI:
    """The shop's face with the pages of drawn sections."""
    tables = ShopTables(shop.store, shop.catalog)
    backstage = ShopBackstage(shop.store, shop.catalog, PlansHere(shop.catalog))  # type: ignore[arg-type]  # stand-in
    stages = Stages(
        sections=ShopSectionStage(shop.store, tables), exports=ShopExportStage(shop.store, tables)
    )
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


def sent(client: TestClient, data: bytes, file: str = "rail 7.dxf") -> str:
    """Where the drawing is looked at."""
    answer = client.post("/drawings", files={"file": (file, data, "image/vnd.dxf")})
    assert answer.status_code == 303, answer.text
    at: str = answer.headers["location"]
    return at


def test_a_drawing_is_looked_at_kept_and_read_everywhere(shop: ShiftShop) -> None:
    with entered(shop, "Pia") as pia:
        at = sent(pia, IPE_200)
        page = pia.get(f"{at}?grade=S235JR").text
        assert "28.5 cm²" in page
        assert "3.937" in page
        assert "22.4 kg per metre" in page  # EN 10365: 22.4 kg/m
        kept = pia.post(f"{at}/keep", data={"name": "Rail 7"})
        assert kept.headers["location"] == "/sections/Rail%207"
        assert "rail 7.dxf, kept by Pia" in pia.get("/sections/Rail%207").text
        assert "Rail 7" in pia.get("/sections").text
        assert "28.5 cm²" in pia.get("/cut?grade=S235JR&section=rail+7").text
        answer = pia.post("/api/uploads/order", files={"file": ("list.csv", LIST)}).json()
        assert answer["lines"] == 1
        assert [line.section.name for line in shop.store.orders()[-1].lines] == ["Rail 7"]
        table = pia.get("/exports/own-sections.csv").text.splitlines()
        assert table[1].startswith("Rail 7,100")


def test_it_is_planned_as_any_section_and_stays_while_it_is_used(shop: ShiftShop) -> None:
    with entered(shop, "Pia") as pia:
        pia.post(f"{sent(pia, IPE_200)}/keep", data={"name": "Rail 7"})
        rack = b"label,grade,section,length mm,count\nX-1,S235JR,Rail 7,6000,2\n"
        assert pia.post("/api/uploads/rack", files={"file": ("rack.csv", rack)}).json()["lines"] == 1
        order = pia.post("/api/uploads/order", files={"file": ("list.csv", LIST)}).json()["kept"]
        job = pia.post("/api/plan", json={"orders": [order]}).json()["id"]
        while pia.get(f"/api/jobs/{job}").json()["state"] not in ("done", "failed"):
            pass
        plan = pia.get("/api/plan").json()
        assert [(group["section"], group["pieces_planned"]) for group in plan["groups"]] == [("Rail 7", 4)]
        refused = pia.post("/own-sections/drop", data={"name": "Rail 7"})
        assert refused.status_code == 409
        assert "1 × line on the book, 1 × entry of the rack" in refused.text
        assert pia.post("/api/sections/rename", json={"name": "Rail 7", "to": "R7"}).status_code == 409


@pytest.mark.parametrize(
    ("draw", "units", "told"),
    [
        (with_a_gap, 4, "outline that is open at (0.00, 40.00) mm and (3.00, 40.00) mm"),
        (beam(200, 100, 5.6, 8.5, 12), 1, "which is no bar for a saw"),
        (beam(200, 100, 5.6, 8.5, 12), 0, "In which unit is it drawn?"),
        (two_squares, 4, "2 outlines that nothing joins"),
    ],
)
def test_what_is_wrong_with_a_drawing_is_said(shop: ShiftShop, draw: Draw, units: int, told: str) -> None:
    with entered(shop, "Pia") as pia:
        at = sent(pia, drawing(draw, units))
        page = pia.get(at).text
        assert told in page
        assert page.count('class="amiss"') == (2 if draw is with_a_gap else 0)
        refused = pia.post(f"{at}/keep", data={"name": "Rail 7"})
        assert refused.status_code == 409
        assert pia.get("/api/sections").json() == []
        if units == 0:
            pia.post(f"{at}/unit", data={"unit": "mm"})
            assert pia.post(f"{at}/keep", data={"name": "Rail 7"}).status_code == 303


def test_programs_keep_list_get_and_drop(shop: ShiftShop) -> None:
    with entered(shop, "Lea") as lea:
        told = {"name": "Rail 7", "unit": "mm"}
        answer = lea.post("/api/sections", data=told, files={"file": ("a.dxf", IPE_200)}).json()
        assert answer["kept"]["area_mm2"] == pytest.approx(2848, rel=5e-4)
        one = lea.get("/api/section?name=Rail%207&grade=S235JR").json()
        assert one["mass_kg_per_m"] == pytest.approx(22.4, rel=5e-3)
        assert len(one["outline"]) == 1
        assert sum(point["bulge"] != 0 for point in one["outline"][0]) == 4
        assert lea.get("/api/section?name=Rail%208").status_code == 404
        gap = lea.post("/api/sections", data=told, files={"file": ("b.dxf", drawing(with_a_gap))})
        assert (gap.status_code, gap.json()["findings"][0]["code"]) == (422, "dxf-open")
        again = lea.post("/api/sections", data=told, files={"file": ("a.dxf", IPE_200)})
        assert again.status_code == 409
        assert lea.post("/api/sections/rename", json={"name": "Rail 7", "to": "R 7"}).json()["name"] == "R 7"
        assert lea.post("/api/sections/drop", json={"name": "R 7"}).status_code == 200
        assert lea.get("/api/sections").json() == []


def test_whoever_may_not_is_told_so(shop: ShiftShop) -> None:
    with entered(shop, "Omar") as omar:
        assert "Draw in a section of your own" not in omar.get("/sections").text
        answer = omar.post("/drawings", files={"file": ("a.dxf", IPE_200)})
        assert answer.status_code == 403
        told = omar.post("/api/sections", data={"name": "Rail 7"}, files={"file": ("a.dxf", IPE_200)})
        assert told.status_code == 403


def test_names_of_grades_are_asked_for_and_remembered(shop: ShiftShop) -> None:
    nc = nc_file({"grade": "MILD 5"})
    with entered(shop, "Pia") as pia:
        at = pia.post("/uploads", data={"kind": "order"}, files={"file": ("p.nc1", nc)}).headers["location"]
        page = pia.get(at).text
        assert "Which grades are meant?" in page
        assert "above, where it is asked" in page
        assert "--grade" not in page
        answer = pia.post(f"{at}/grades", data={"name": "MILD 5", "grade": "S235JR", "keep": "yes"})
        assert answer.status_code == 303
        assert "Keep 1 line" in pia.get(at).text
        assert "MILD 5" in pia.get("/grades").text
        again = pia.post("/api/uploads/order", files={"file": ("q.nc1", nc)}).json()
        assert (again["lines"], again["unknown_grades"]) == (1, [])
        assert pia.post("/own-grades/drop", data={"word": "Mild 5"}).status_code == 303
        told = pia.post("/api/uploads/order", files={"file": ("q.nc1", nc)}).json()
        assert told["unknown_grades"][0]["name"] == "MILD 5"
        assert 'in the field "grade"' in told["findings"][0]["remedy"]
        form = {"grade": ["MILD 5=S235JR"], "whole": "true"}
        assert pia.post("/api/uploads/order", data=form, files={"file": ("q.nc1", nc)}).json()["lines"] == 1
    with entered(shop, "Omar") as omar:
        at = omar.post("/uploads", data={"kind": "order"}, files={"file": ("p.nc1", nc)}).headers["location"]
        kept = omar.post(f"{at}/grades", data={"name": "MILD 5", "grade": "S235JR", "keep": "yes"})
        assert kept.status_code == 409
        assert omar.post(f"{at}/grades", data={"name": "MILD 5", "grade": "S235JR"}).status_code == 303


@pytest.mark.browser
def test_the_pages_have_no_fault_of_access(browser: Browser, tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    shop = copied(folder, demo=True, people=False)
    stage = ShopSectionStage(shop.store, ShopTables(shop.store, shop.catalog))
    stage.keep(stage.read("a.dxf", IPE_200).id, "Rail 7", by=HOUSE)
    with served_at(app_of(shop)) as base:
        context = browser.new_context(viewport={"width": 1280, "height": 800}, bypass_csp=True)
        page = context.new_page()
        paths = ["/sections", "/sections/Rail%207?grade=S235JR", "/grades"]
        for name, data in (("gap.dxf", drawing(with_a_gap)), ("rail.dxf", IPE_200)):
            page.goto(f"{base}/sections")
            (tmp_path / name).write_bytes(data)
            page.set_input_files("#drawing", str(tmp_path / name))
            page.click("text=Read it")
            paths.append(page.url.removeprefix(base))
        page.goto(f"{base}/orders")
        nc = tmp_path / "p.nc1"
        nc.write_bytes(nc_file({"grade": "MILD 5"}))
        page.set_input_files("#file-order", str(nc))
        page.click("text=Read it")
        paths.append(page.url.removeprefix(base))
        for path in paths:
            page.goto(base + path)
            assert faults_of_access(page) == [], path
            assert page.evaluate("document.documentElement.scrollWidth") <= 1280
        context.close()
