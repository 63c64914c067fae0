"""The shop's rules set on their page: by a lead, in the reader's measure, faults told by field."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi import FastAPI
from playwright.sync_api import Browser, Page, expect
from tests.plans_here import PlansHere
from tests.web.access import faults_of_access
from tests.web.shift.places import client_of, copied
from tests.web.shift.serving import served_at
from tests.web.shift.shop import ShiftShop

from kerfsmith.shop.rules import NextAim, ShopRules
from kerfsmith.shop.rules_reading import READERS
from kerfsmith.web.app import create_app
from kerfsmith.web.pages.rules.wording import GROUPS
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.rules_stage import ShopRulesStage


def ruled(shop: ShiftShop) -> FastAPI:
    """The shop's app with its rules."""
    backstage = ShopBackstage(shop.store, shop.catalog, PlansHere(shop.catalog))  # type: ignore[arg-type]  # stand-in
    return create_app(backstage, shop.floor, stages=Stages(rules=ShopRulesStage(shop.store)))


@pytest.fixture
def own(tmp_path: Path) -> ShiftShop:
    """A shop of one's own with its people."""
    shop = copied(tmp_path)
    shop.app = ruled(shop)
    return shop


@pytest.fixture
def page(browser: Browser, tmp_path: Path) -> Iterator[tuple[Page, ShiftShop]]:
    """The rules of the demo at a panel's size, strict policy passed over for the checker of access alone."""
    folder = tmp_path / "shop"
    folder.mkdir()
    shop = copied(folder, demo=True, people=False)
    with served_at(ruled(shop)) as base:
        context = browser.new_context(viewport={"width": 1024, "height": 600}, bypass_csp=True, base_url=base)
        made = context.new_page()
        made.goto("/rules")
        yield made, shop
        context.close()


def sound(page: Page) -> None:
    """No fault of access by day or night, nothing wider than the glass, and every field a finger's height."""
    page.reload()
    assert faults_of_access(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 1024
    for field in page.locator("main input, main select, main button").all():
        box = field.bounding_box()
        assert box is not None
        assert box["height"] >= 44


def test_a_lead_sets_rules_in_the_browser(page: tuple[Page, ShiftShop]) -> None:
    seen, shop = page
    sound(seen)
    seen.fill("#least_remnant_um", "250")
    seen.fill("#most_new_remnants", "2")
    seen.select_option("#one_heat_an_order", "yes")
    seen.select_option("[name='next_aims.1']", "few cuts")
    seen.select_option("[name='next_aims.2']", "few remnants")
    seen.click("text=Keep these rules")
    seen.wait_for_url("**/rules?done=yes")
    rules = shop.store.rules()
    assert (rules.least_remnant_um, rules.most_new_remnants, rules.one_heat_an_order) == (250_000, 2, True)
    assert rules.next_aims == (NextAim.FEW_CUTS, NextAim.FEW_REMNANTS)
    assert seen.locator("#least_remnant_um").input_value() == "250"
    assert "Usual: 300 mm" in seen.locator("main").inner_text()
    seen.fill("#inspect_every", "every day")
    seen.click("text=Keep these rules")
    expect(seen.locator("#fault-inspect_every")).to_be_visible()
    assert seen.locator("#inspect_every").input_value() == "every day"
    assert shop.store.rules() == rules


def test_whoever_reads_inches_sets_inches_and_what_is_left_alone_stays_to_the_micrometre(
    own: ShiftShop,
) -> None:
    lead = client_of(own, "Lea")
    lead.cookies.set("measure", "inch")
    shown = lead.get("/rules").text
    assert 'value="11.811"' in shown  # 300 mm / 25.4
    assert 'value="236.22"' in shown  # 6000 mm / 25.4
    assert 'value="77.5"' in shown  # 500 cm2 / 6.4516
    before = own.store.rules()
    told = {"least_remnant_um": "11.811", "stock_length_um": "20 ft", "long_remnant_um": "40"}
    assert lead.post("/rules", data={**told, "break_in_cm2": "77.5"}).status_code == 303
    after = own.store.rules()
    # 12 in to the foot, 25.4 mm to the inch (NIST SP 811, appendix B.6).
    assert after == replace(before, stock_length_um=6_096_000, long_remnant_um=1_016_000)
    assert lead.post("/rules", data={"least_remnant_um": "280 mm"}).status_code == 303
    assert own.store.rules().least_remnant_um == 280_000


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        ("name", "", "a line of 1 to 80 characters"),
        ("currency", "Euro", "three letters"),
        ("least_remnant_um", "0", "not longer than nothing"),
        ("least_remnant_um", "6000", "as long as a bought bar"),
        ("long_remnant_um", "a yard", "write it as"),
        ("long_remnant_percent", "101", "between 0 and 100"),
        ("most_new_remnants", "-1", "between 0 and"),
        ("most_new_remnants", "1.5", "not a whole number"),
        ("stock_length_um", "2 km", "write it as"),
        ("buying_weight", "0", "between 1 and"),
        ("next_aims.1", "few different bars", "named twice"),
        ("next_aims.1", "luck", "no aim is called"),
        ("keep_due_order", "perhaps", "yes or no"),
        ("inspect_every", "0", "between 1 and"),
        ("break_in_cm2", "-3", "nothing or more"),
    ],
)
def test_a_rule_that_cannot_be_used_is_told_beside_its_field(
    own: ShiftShop, field: str, text: str, says: str
) -> None:
    lead = client_of(own, "Lea")
    before = own.store.rules()
    told = {"next_aims.2": "few different bars"} if field.startswith("next_aims") else {}
    answer = lead.post("/rules", data={"inspect_every": "7", **told, field: text})
    assert answer.status_code == 409
    key = field.split(".")[0]
    fault = answer.text.split(f'id="fault-{key}">')[1].split("</p>")[0]
    assert says.lower() in fault.lower()
    assert answer.text.count('class="field-fault"') == 1
    assert own.store.rules() == before


def test_only_a_lead_sets_rules_and_all_may_read_them(own: ShiftShop) -> None:
    for name in ("Pia", "Omar"):
        one = client_of(own, name)
        shown = one.get("/rules")
        assert shown.status_code == 200
        assert "A lead sets the rules." in shown.text
        assert "Keep these rules" not in shown.text
        assert one.post("/rules", data={"inspect_every": "7"}).status_code == 403
        assert one.put("/api/rules", json={"inspect_every": 7}).status_code == 403
        assert one.get("/api/rules").json()["rules"]["name"] == "Shift shop"
    assert client_of(own).get("/rules").status_code == 303
    assert client_of(own).get("/api/rules").status_code == 401
    assert own.store.rules().inspect_every != 7


def test_programs_read_rules_and_set_all_or_none(own: ShiftShop) -> None:
    lead = client_of(own, "Lea")
    usual = lead.get("/api/rules").json()["usual"]
    assert usual["least_remnant_um"] == ShopRules().least_remnant_um
    told = {**usual, "name": "Ours", "most_new_remnants": 0, "next_aims": ["few cuts"]}
    assert lead.put("/api/rules", json=told).json()["rules"] == told
    assert own.store.rules() == ShopRules(name="Ours", most_new_remnants=0, next_aims=(NextAim.FEW_CUTS,))
    wrong = {"inspect_every": 5, "factors": {}, "least_remnant_um": 2.5, "keep_due_order": "yes"}
    answer = lead.put("/api/rules", json=wrong)
    assert answer.status_code == 422
    found = {one["field"] for one in answer.json()["findings"]}
    assert found == {"factors", "least_remnant_um", "keep_due_order"}
    assert own.store.rules().inspect_every == ShopRules().inspect_every
    assert lead.put("/api/rules", json=[1]).status_code == 422


def test_every_rule_a_person_sets_has_its_words() -> None:
    worded = [one.field for _, rows in GROUPS for one in rows]
    assert sorted(worded) == sorted(READERS)
    assert set(READERS) == set(ShopRules.__dataclass_fields__) - {"factors"}
