"""What only a browser can tell: contrast, names and roles, keys, scripts under the strict policy, sizes."""

import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.web.access import faults_of_access
from tests.web.memory import MemoryBackstage
from tests.web.page_paths import page_paths

from kerfsmith.shop.person import Person, Role
from kerfsmith.web.sheet import link

pytestmark = pytest.mark.browser

DESK = (1440, 900)
PANEL = (1280, 800)
"""A 10-inch panel at the saw."""
TELEPHONE = (390, 844)
WIDE = "document.documentElement.scrollWidth"
FINGER_PX = 44
"""Least side of what is pressed. WCAG 2.2 AA (2.5.8) asks for 24; gloves ask for more."""

Served = tuple[str, MemoryBackstage]


def shown_paths(shop: MemoryBackstage) -> list[str]:
    """Every kind of page, of the plan's groups only those that differ: plain, mitred, many patterns, none."""
    paths = page_paths(shop)
    groups = [path for path in paths if path.startswith("/plan/")]
    return [path for path in paths if path not in groups or groups.index(path) in (0, 4, 6, 9)]


@contextmanager
def opened(
    browser: Browser, served: Served, path: str, *, size: tuple[int, int] = DESK, light: str = "day",
    measure: str = "metric", script: bool = True, bypass: bool = False,
) -> Iterator[Page]:  # fmt: skip
    """A page, its faults gathered in ``page.faults``; it must have none when done."""
    base, _ = served
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, java_script_enabled=script, bypass_csp=bypass
    )
    context.add_cookies(
        [{"name": "light", "value": light, "url": base}, {"name": "measure", "value": measure, "url": base}]
    )
    page = context.new_page()
    faults: list[str] = []
    page.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(base + path)
    yield page
    context.close()
    assert faults == [], (path, faults)


def test_axe_finds_nothing(browser: Browser, served: Served) -> None:
    faults = {}
    for path in shown_paths(served[1]):
        with opened(browser, served, path, bypass=True) as page:
            for unfold in page.locator("details").all()[:6]:
                unfold.evaluate("one => { one.open = true; }")
            found = faults_of_access(page)
            if found:
                faults[path] = found
    assert faults == {}


def test_no_page_is_wider_than_a_telephone(browser: Browser, served: Served) -> None:
    for path in shown_paths(served[1]):
        with opened(browser, served, path, size=TELEPHONE, measure="inch") as page:
            assert page.evaluate(WIDE) <= TELEPHONE[0], path


def test_the_panel_holds_each_page_and_what_is_pressed_suits_a_glove(
    browser: Browser, served: Served
) -> None:
    measure = """least => [...document.querySelectorAll(
        'nav a, .button, .switch button, select, summary, .tail a,'
        + 'input:not([type=hidden]):not([type=checkbox])')]
        .filter(one => one.checkVisibility())
        .map(one => [one.outerHTML.slice(0, 90), one.getBoundingClientRect()])
        .filter(([, box]) => box.height < least || box.width < 40).map(([html]) => html)"""
    for path in shown_paths(served[1]):
        with opened(browser, served, path, size=PANEL) as page:
            assert page.evaluate(measure, FINGER_PX) == [], path
            assert page.evaluate(WIDE) <= PANEL[0], path


def test_a_keyboard_reaches_the_content_and_the_reasons(browser: Browser, served: Served) -> None:
    with opened(browser, served, "/") as page:
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.className") == "skip"
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "content"
        seen = set()
        for _ in range(80):
            page.keyboard.press("Tab")
            seen.add(page.evaluate("document.activeElement.tagName"))
            outlined = page.evaluate(
                "getComputedStyle(document.activeElement).outlineStyle !== 'none'"
                " && parseFloat(getComputedStyle(document.activeElement).outlineWidth) >= 2"
            )
            assert outlined, page.evaluate("document.activeElement.outerHTML.slice(0, 120)")
            if page.evaluate("document.activeElement.tagName") == "SUMMARY":
                break
        assert "SUMMARY" in seen
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.parentElement.open")


def test_the_band_moves_through_the_section_with_the_arrow_keys(browser: Browser, served: Served) -> None:
    with opened(browser, served, "/cut") as page:
        depth = page.locator("[data-reading='1']")
        first = depth.inner_text()
        line = page.locator(".band [data-part=line]").get_attribute("d")
        page.locator("#cut-depth").focus()
        for _ in range(3):
            page.keyboard.press("PageDown")
        assert depth.inner_text() != first
        assert page.locator(".band [data-part=line]").get_attribute("d") != line


def test_a_cut_redraws_when_an_answer_changes(browser: Browser, served: Served) -> None:
    with opened(browser, served, "/cut") as page:
        heading = page.locator("#answer h2").first
        before = heading.inner_text()
        page.locator("#section").fill("round 60")
        page.wait_for_function("was => document.querySelector('#answer h2').innerText !== was", arg=before)
        assert "round 60" in heading.inner_text()
        assert "section=round" in page.url
        page.locator("#cut-depth").focus()
        page.keyboard.press("PageDown")
        assert page.locator("[data-reading='1']").inner_text() != ""
        assert page.locator("#section").input_value() == "round 60"


def test_the_front_is_walked_with_the_arrow_keys(browser: Browser, served: Served) -> None:
    with opened(browser, served, "/cut") as page:
        page.locator("#walk").focus()
        for key, place in (("Home", 1), ("ArrowRight", 2), ("End", 4)):
            page.keyboard.press(key)
            page.wait_for_function(
                "told => document.querySelector('.walk-told').innerText.startsWith(told)",
                arg=f"place {place} of 4",
            )
            # The page was redrawn under the slider, which keeps the focus and its place.
            assert page.evaluate("document.activeElement.id") == "walk"
            assert page.locator("#walk").input_value() == str(place)
            assert f"choose={place}" in page.url
        page.locator("#cut-depth").focus()
        first = page.locator("[data-reading='1']").inner_text()
        page.keyboard.press("PageUp")
        assert page.locator("[data-reading='1']").inner_text() not in ("", first)


def test_rules_are_weighed_in_place(browser: Browser, served: Served) -> None:
    base, shop = served
    path = link("plan", shop.plan().groups[0].id)  # type: ignore[union-attr]  # the sample has one
    with opened(browser, served, path) as page:
        page.locator("text=Weigh the rules").click()
        page.wait_for_selector("#rules table")
        expect(page.locator("#rules")).to_contain_text("1 bar less, 32.00 EUR saved", use_inner_text=True)
        assert page.url == f"{base}{path}"


def test_a_search_narrows_while_typing(browser: Browser, served: Served) -> None:
    with opened(browser, served, "/grades") as page:
        page.locator("#wanted").press_sequentially("titanium")
        page.wait_for_function("() => document.querySelectorAll('#found tbody tr').length < 30")
        expect(page.locator("#found")).to_contain_text("Ti-6Al-4V", use_inner_text=True)


def test_planning_is_followed_without_a_reload(browser: Browser, served: Served) -> None:
    _, shop = served
    shop.start_planning((), by=Person("test", Role.PLANNER))
    with opened(browser, served, "/planning/J-1") as page:
        expect(page.locator("#progress-words")).to_contain_text("1 of 10", use_inner_text=True)
        page.evaluate("() => { window.region = document.querySelector('#progress-words'); }")
        shop.finish()
        page.wait_for_function("() => document.querySelector('#progress-words').innerText.startsWith('Done')")
        # The same live region is kept, so that a screen reader speaks the change.
        assert page.evaluate("window.region === document.querySelector('#progress-words')")
        assert page.locator("text=To the plan").count() == 1
        page.wait_for_url("**/")
        page.go_back()
        assert page.locator("text=To the plan").count() == 1
    shop.start_planning((), by=Person("test", Role.PLANNER))


def test_who_does_something_meanwhile_is_left_where_he_is(browser: Browser, served: Served) -> None:
    _, shop = served
    shop.start_planning((), by=Person("test", Role.PLANNER))
    with opened(browser, served, "/planning/J-1") as page:
        page.keyboard.press("Tab")
        shop.finish()
        page.wait_for_selector("[data-goes-on]")
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        time.sleep(2.5)
        assert asked == []
    shop.start_planning((), by=Person("test", Role.PLANNER))


def test_pages_work_without_script(browser: Browser, served: Served) -> None:
    with opened(browser, served, "/cut", script=False) as page:
        page.locator("#section").fill("round 60")
        page.locator("text=Work it out").click()
        expect(page.locator("#answer h2").first).to_contain_text("round 60")
        expect(page.locator(".scrub")).to_be_hidden()
        page.locator("button[value=inch]").click()
        expect(page.locator("#answer")).to_contain_text("2.36")
        assert "section=round" in page.url
    with opened(browser, served, "/", script=False) as page:
        page.locator("main summary").first.click()
        expect(page.locator("details[open] .reasons").first).to_be_visible()


def test_paper_is_black_on_white(browser: Browser, served: Served) -> None:
    with opened(browser, served, "/", light="night") as page:
        page.emulate_media(media="print")
        assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
        assert (
            page.evaluate("getComputedStyle(document.querySelector('main')).backgroundColor")
            == "rgb(255, 255, 255)"
        )
        expect(page.locator(".head")).to_be_hidden()
