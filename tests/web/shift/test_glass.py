"""What only a browser can tell of the panel: contrast, names, sizes, answers that get lost on their way."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, Route, expect
from tests.web.access import EVERY, faults_of_access
from tests.web.shift.hands import SECONDS, all_sent, at_panel, count, counted, load, scan, sign_in, until
from tests.web.shift.shop import PASSWORD, Served

from kerfsmith.shop.run import RunState

pytestmark = pytest.mark.browser

GLOVE_PX = 64
"""Least height of what is pressed at the saw; WCAG 2.2 AA (2.5.8) asks for 24, and gloves for more."""
RULES = EVERY
SMALL = """least => [...document.querySelectorAll(
        'main button, main a.button, main summary, main input:not([type=hidden], [type=radio]), '
        + 'main select, main .name-choice')]
    .filter(one => one.checkVisibility())
    .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
    .filter(([, box]) => box.height < least - .5 || box.width < 40).map(([html]) => html)"""


def look_at_scenes(page: Page, base: str, seen: Callable[[str], None]) -> None:
    """Go through the panel's scenes and leaves, telling each by name."""
    page.goto(f"{base}/sign-in?at=panel")
    seen("sign in")
    sign_in(page, base)
    seen("load")
    scan(page, "B-1")
    expect(page.locator(".told.is-refused")).to_be_visible(timeout=SECONDS)
    seen("refused")
    page.locator("[data-seen]").first.click()
    load(page, "A-1")
    seen("facing")
    count(page)
    page.locator("#count").click()
    expect(page.locator("#leaf-measure[open]")).to_be_visible(timeout=SECONDS)
    seen("measure")
    page.locator("#leaf-measure > summary").click()
    seen("cut")
    for leaf in ("load", "scrap", "counts", "band", "stop", "more"):
        page.locator(f"#leaf-{leaf} > summary").click()
        seen(leaf)
        if leaf != "more":
            page.locator(f"#leaf-{leaf} > summary").click()
    page.locator("text=Finish this bar now").click()
    expect(page.locator("#rest-label")).to_be_visible(timeout=SECONDS)
    all_sent(page)
    seen("rest")


def look_at_what_went_wrong(page: Page, base: str, seen: Callable[[str], None]) -> None:
    """A piece held, doubtful ones, and a saw without a band, each told by name."""
    sign_in(page, base)
    load(page, "A-1")
    count(page)
    count(page, "500")
    count(page)
    count(page)
    all_sent(page)
    page.locator("#leaf-measure > summary").click()
    page.locator("#measured").fill("501.5")
    page.locator("#measured").press("Enter")
    expect(page.locator("[data-of=held] .box").first).to_be_visible(timeout=SECONDS)
    all_sent(page)
    for told in page.locator("[data-seen]").all():
        told.click()
    seen("held")
    page.locator("[data-of=held] .reason-grid button").first.click()
    expect(page.locator("#count")).to_be_visible(timeout=SECONDS)
    all_sent(page)
    page.reload()
    page.locator("#leaf-doubtful > summary").click()
    seen("doubtful")
    page.locator("#leaf-doubtful > summary").click()
    page.locator("#leaf-band > summary").click()
    page.locator("#leaf-band [name=why]").first.click()
    expect(page.locator("#band-first")).to_be_visible(timeout=SECONDS)
    all_sent(page)
    page.reload()
    seen("band")
    page.goto(f"{base}/faults?saw=north")
    expect(page.locator(".symptoms a").first).to_have_attribute("href", re.compile("saw=north"))


def test_axe_finds_nothing_where_something_went_wrong(browser: Browser, served: Served) -> None:
    base, _ = served
    faults = {}
    scenes = []
    with at_panel(browser, base) as page:

        def check(name: str) -> None:
            scenes.append(name)
            found = faults_of_access(page)
            if found:
                faults[name] = found
            if name != "doubtful":
                small = page.evaluate(SMALL, GLOVE_PX)
                assert small == [], name

        look_at_what_went_wrong(page, base, check)
    assert faults == {}
    assert scenes == ["held", "doubtful", "band"]


def test_axe_finds_nothing_at_the_saw_and_around_it(browser: Browser, served: Served) -> None:
    base, _ = served
    faults = {}
    with at_panel(browser, base) as page:

        def check(name: str) -> None:
            found = faults_of_access(page)
            if found:
                faults[name] = found

        look_at_scenes(page, base, check)
        for path in ("/at-saw", "/trace", "/trace?q=nothing", "/trace/heat/H100", "/ledger", "/people"):
            page.goto(base + path)
            check(path)
        page.goto(f"{base}/trace/mark/P1")
        page.locator("tbody th a").first.click()
        check("chain")
        page.goto(f"{base}/sign-in")
        page.locator("text=At a desk instead").click()
        page.locator("#desk-person").fill("Lea")
        page.locator("#password").fill(PASSWORD)
        page.locator("#password").press("Enter")
        page.goto(f"{base}/people")
        page.locator("main summary").first.click()
        check("people as lead")
    assert faults == {}


@pytest.mark.parametrize("measure", ["metric", "inch"])
def test_gloves_hit_everything_and_nothing_is_wider_than_the_glass(
    browser: Browser, served: Served, measure: str
) -> None:
    base, _ = served
    small: dict[str, list[str]] = {}
    with at_panel(browser, base, measure=measure) as page:

        def check(name: str) -> None:
            assert page.evaluate("document.documentElement.scrollWidth") <= 1280, name
            found = page.evaluate(SMALL, GLOVE_PX) if name != "sign in" else []
            if found:
                small[name] = found
            if name in ("cut", "facing"):
                style = "getComputedStyle(document.querySelector('.dialled .dial span')).fontSize"
                # 1280 px are 217 mm on a 10-inch panel, so 110 px of type have figures 13 mm high, which is
                # more than 2 m / 200 (common practice for the least height of what is to be read).
                assert page.evaluate(f"parseFloat({style})") >= 110, name
                assert page.evaluate("document.documentElement.scrollHeight") <= 800, name

        look_at_scenes(page, base, check)
    assert small == {}


def test_a_reason_is_touched_or_keyed_in_gloves(browser: Browser, served: Served) -> None:
    """Who ends a run short has no keyboard: a common reason is one touch, any other is keyed on the glass."""
    base, shop = served
    with at_panel(browser, base) as page:
        sign_in(page, base)
        page.locator("#leaf-more > summary").click()
        page.locator("[data-fills=short-why] button").first.click()
        expect(page.locator("#short-why")).to_have_value("No more bars to be had")
        page.locator("#short-why").fill("")
        page.locator("#short-why").focus()
        pad = page.locator("#short-why ~ .pad")
        for letter in ("N", "O", "space", "B", "A", "R"):
            pad.get_by_role("button", name=letter, exact=True).click()
        expect(page.locator("#short-why")).to_have_value("NO BAR")
        assert page.evaluate(SMALL, GLOVE_PX) == []
        page.locator("text=Finish it short").click()
        all_sent(page)
        with shop.store.look() as look:
            run = look.floor.run("r1")
        assert run is not None
        assert run.state is RunState.FINISHED


def test_an_answer_that_gets_lost_counts_nothing_twice(browser: Browser, served: Served) -> None:
    """The records keep the cut, the answer never comes back, and the panel sends the cut again."""
    base, shop = served
    with at_panel(browser, base) as page:
        sign_in(page, base)
        load(page, "A-1")
        count(page)
        all_sent(page)
        lost: list[int] = []

        def lose(route: Route) -> None:
            if len(lost) < 3:
                lost.append(route.fetch().status)
                route.abort()
            else:
                route.continue_()

        page.route("**/at-saw/events", lose)
        page.locator("#count").click()
        until(lambda: page.wait_for_timeout(50) or len(lost) >= 3)  # type: ignore[func-returns-value]
        assert lost == [200, 200, 200]
        all_sent(page)
        assert counted(shop)["P1"] == (1, 0)


def test_two_pages_of_one_panel_number_their_entries_apart(browser: Browser, served: Served) -> None:
    base, shop = served
    with at_panel(browser, base) as page:
        sign_in(page, base)
        load(page, "A-1")
        count(page)
        all_sent(page)
        other = page.context.new_page()
        other.goto(page.url)
        expect(other.locator("#count")).to_be_visible(timeout=SECONDS)
        page.locator("#count").click()
        other.locator("#count").click()
        until(
            lambda: any("already recorded" in one.locator("#notices").inner_text() for one in (page, other))
        )
        assert counted(shop)["P1"] == (1, 0)


def test_an_office_change_is_told_at_the_saw(browser: Browser, served: Served) -> None:
    from tests.web.shift.forms import press
    from tests.web.shift.places import client_of

    base, shop = served
    with at_panel(browser, base) as page:
        sign_in(page, base)
        load(page, "A-1")
        all_sent(page)
        with client_of(shop, "Pia") as planner:
            press(planner, "change run", "data-verb", line_id="o1:1", quantity="6")
        changed = page.locator(".told.is-changed")
        expect(changed).to_contain_text("P1: 6 wanted instead of 9", timeout=SECONDS)
