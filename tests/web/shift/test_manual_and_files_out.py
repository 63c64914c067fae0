"""The manual and the tables to take along, as a reader sees them."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser
from tests.plans_here import PlansHere
from tests.web.access import faults_of_access
from tests.web.shift.places import copied
from tests.web.shift.serving import served_at

from kerfsmith.manual.book import open_book
from kerfsmith.web.app import create_app
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.export_stage import ShopExportStage
from kerfsmith.wiring.manual_stage import PackagedManual
from kerfsmith.wiring.shop_tables import ShopTables


@pytest.mark.browser
def test_axe_finds_nothing_in_the_manual_and_the_tables_to_take_along(
    browser: Browser, tmp_path: Path
) -> None:
    shop = copied(tmp_path)
    backstage = ShopBackstage(shop.store, shop.catalog, PlansHere(shop.catalog))  # type: ignore[arg-type]  # stand-in
    exports = ShopExportStage(shop.store, ShopTables(shop.store, shop.catalog))
    app = create_app(backstage, shop.floor, stages=Stages(manual=PackagedManual(), exports=exports))
    faults = {}
    with served_at(app) as base:
        context = browser.new_context(viewport={"width": 1024, "height": 768}, bypass_csp=True)
        page = context.new_page()
        for path in ["/exports", *(f"/manual/{leaf.name}" for leaf in open_book().leaves)]:
            answer = page.goto(base + path)
            assert answer is not None
            assert answer.status == 200, path
            found = faults_of_access(page)
            broken = page.evaluate("[...document.images].filter(one => !one.naturalWidth).length")
            wide = page.evaluate("document.documentElement.scrollWidth") > 1024
            if found or broken or wide:
                faults[path] = (found, broken, wide)
        context.close()
    assert faults == {}
