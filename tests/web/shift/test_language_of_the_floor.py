"""The pages about the floor in a made-up language: no heading, label or button is left in English."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, expect
from tests.plans_here import PlansHere
from tests.web.shift.forms import press
from tests.web.shift.hands import SECONDS, at_panel, load, lose_network, sign_in
from tests.web.shift.loads import RUN, with_loads
from tests.web.shift.places import BASE, HERE, copied
from tests.web.shift.shop import Served
from tests.web.test_languages import left_in_english, made_up
from tests.web.week.shop import copied as week_copied

from kerfsmith.wiring.application import build_application

__all__ = ["made_up"]

PATHS = (
    "/at-saw", "/at-saw/run/r1", f"/at-saw/run/{RUN}", "/sign-in", "/sign-in?at=panel",
    "/trace", "/trace?q=nothing", "/trace/heat/H100", "/trace/mark/P1",
    "/week", "/week/hours", "/quotes", "/quotes/rates", "/saws", "/saws/north", "/which-saw", "/rules",
    "/learned", "/charts", "/faults", "/faults?saw=north", "/exports", "/manual/first-day",
    "/about-safety", "/people", "/ledger",
)  # fmt: skip


IN_ENGLISH = re.compile(r'<(article|h2|ul)\b[^>]*lang="en"[^>]*>.*?</\1>', re.S)
"""The manual is written in English, and says so to who reads it aloud."""
TITLE = "A first day in the saw room"
"""A page of it, named by itself at the head of the sheet."""


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[TestClient]:
    """A lead in the whole application, in the made-up language; a bar is in the saw, and cut from."""
    shop = with_loads(copied(tmp_path, demo=True, people=False))
    app = build_application(str(tmp_path / "shop.sqlite"), pool=PlansHere(shop.catalog))  # type: ignore[arg-type]  # stand-in
    with TestClient(app, base_url=BASE, client=HERE, follow_redirects=False) as made:
        press(made, "load bar", label="A-1")
        press(made, "log cut")
        press(made, "log cut")
        made.cookies.set("language", "eo")
        yield made


@pytest.mark.usefixtures("made_up")
@pytest.mark.parametrize("measure", ["metric", "inch"])
def test_no_label_of_the_floor_is_left_behind(lead: TestClient, measure: str) -> None:
    lead.cookies.set("measure", measure)
    left = {}
    for path in PATHS:
        answer = lead.get(path)
        assert answer.status_code == (404 if path.endswith("nothing") else 200), path
        assert '<html lang="eo"' in answer.text, path
        left[path] = [one for one in left_in_english(IN_ENGLISH.sub("", answer.text)) if one != TITLE]
    assert {path: texts for path, texts in left.items() if texts} == {}


@pytest.mark.usefixtures("made_up")
def test_no_label_of_the_week_is_left_behind(tmp_path: Path) -> None:
    with week_copied(tmp_path).client() as client:
        client.cookies.set("language", "eo")
        page = client.get("/week").text
        run = page.split('data-run="')[1].split('"')[0]
        for path in ("/week", f"/week?run={run}", "/week/hours"):
            assert left_in_english(client.get(path).text) == [], path


@pytest.mark.browser
@pytest.mark.usefixtures("made_up")
def test_what_the_panel_says_by_itself_is_told_too(browser: Browser, served: Served) -> None:
    """Without a network nothing but its scripts can say it."""
    base, _ = served
    with at_panel(browser, base) as page:
        sign_in(page, base)
        page.context.add_cookies([{"name": "language", "value": "eo", "url": base}])
        page.reload()
        expect(page.locator("#link-state")).to_have_text("⟪All sent⟫", timeout=SECONDS)
        load(page, "A-1")
        expect(page.locator("#link-state")).to_have_text("⟪All sent⟫", timeout=SECONDS)
        lose_network(page.context, page)
        for _ in range(2):
            page.locator("#count").click()
            page.wait_for_timeout(600)
        expect(page.locator("#link-state")).to_have_text("⟪No network, 2 entries not yet sent⟫")
        shown = ("#question", "#begins b", "[data-show=count-word]", "[data-show=count]", "[data-show=last]")
        assert [page.locator(one).first.inner_text()[:1] for one in shown] == ["⟪"] * len(shown)
        assert page.locator("#leaf-measure[open] .pad button").last.get_attribute("aria-label") == (
            "⟪Delete the last character⟫"
        )
        assert left_in_english(IN_ENGLISH.sub("", page.content())) == []
