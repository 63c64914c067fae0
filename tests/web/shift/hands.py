"""What an operator's hands do on the glass."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize, expect
from tests.web.shift.shop import BADGE, ShiftShop

PANEL: ViewportSize = {"width": 1280, "height": 800}
SECONDS = 90_000
"""Longest wait, ms: the machine may be busy with other tests."""


@contextmanager
def at_panel(browser: Browser, base: str, light: str = "day", measure: str = "metric") -> Iterator[Page]:
    """A panel's browser; the page keeps faults of scripts in ``faults``, of which there must be none."""
    context = browser.new_context(viewport=PANEL)
    context.add_cookies(
        [{"name": "light", "value": light, "url": base}, {"name": "measure", "value": measure, "url": base}]
    )
    page = context.new_page()
    page.set_default_timeout(SECONDS)
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on(
        "console",
        lambda said: faults.append(said.text) if "Content Security Policy" in said.text else None,
    )
    yield page
    context.close()
    assert faults == []


def sign_in(page: Page, base: str) -> None:
    """Badge to the scanner, which types it and presses Enter; then saw and run."""
    page.goto(f"{base}/at-saw")
    page.locator("#badge").fill(BADGE)
    page.locator("#badge").press("Enter")
    page.locator("text=This panel stands here").first.click()
    page.locator("a.run").first.click()
    expect(page.locator("#label")).to_be_visible()
    expect(page.locator("#link-state")).to_have_text("All sent", timeout=SECONDS)


def scan(page: Page, label: str) -> None:
    """A label read by the scanner."""
    page.locator("#label").fill(label)
    page.locator("#label").press("Enter")


def load(page: Page, label: str) -> None:
    """The right bar into the saw."""
    scan(page, label)
    expect(page.locator("#count")).to_be_visible(timeout=SECONDS)
    expect(page.locator("[data-show=heading]")).to_contain_text(label, timeout=SECONDS)


def key(page: Page, field: str, text: str) -> None:
    """Keys on the glass beside a field."""
    page.locator(field).focus()
    pad = page.locator(f"{field} ~ .pad")
    for letter in text:
        pad.get_by_role("button", name=letter, exact=True).click()
    expect(page.locator(field)).to_have_value(text)


_SHOWN = """(document.querySelector('[data-show=last]').textContent
    + document.querySelector('[data-show=left]').textContent)"""


def count(page: Page, measured: str = "") -> bool:
    """One touch; a piece that is to be measured is measured. Whether it was."""
    before = (
        page.locator("[data-show=last]").inner_text() + page.locator("[data-show=left]").first.inner_text()
    )
    page.locator("#count").click()
    page.wait_for_function(
        "was => document.querySelector('[data-show=last]').textContent"
        " + document.querySelector('[data-show=left]').textContent !== was",
        arg=before,
    )
    asked = page.locator("#leaf-measure[open]").count() > 0
    if asked:
        nominal = page.locator("#leaf-measure [data-show=last-piece]").inner_text()
        key(page, "#measured", measured or nominal.split(", ")[1].split(" ")[0])
        page.locator("text=Keep the length").click()
        expect(page.locator("#leaf-measure[open]")).to_have_count(0)
    return asked


def all_struck(page: Page) -> None:
    """Until nothing waits in the browser."""
    until(
        lambda: page.evaluate("import('/static/panel-store.js').then(kept => kept.waiting())")["events"] == []
    )


def all_sent(page: Page) -> None:
    """Until nothing waits in the browser, and the panel says so."""
    all_struck(page)
    expect(page.locator("#link-state")).to_have_text("All sent", timeout=SECONDS)


def until(holds: Callable[[], bool]) -> None:
    """Until something holds, at most for as long as anything is waited for."""
    end = time.monotonic() + SECONDS / 1000
    while not holds():
        assert time.monotonic() < end, "waited for in vain"
        time.sleep(0.05)


def counted(shop: ShiftShop) -> dict[str, tuple[int, int]]:
    """Good and scrapped pieces by mark, as the records have them."""
    with shop.store.look() as look:
        return {line.mark: (line.good, line.scrapped) for line in look.floor.lines("r1")}


def lose_network(context: BrowserContext, page: Page) -> None:
    """The cable is out."""
    context.set_offline(True)
    page.evaluate("dispatchEvent(new Event('offline'))")
    expect(page.locator("#link-state")).to_contain_text("No network", timeout=SECONDS)
