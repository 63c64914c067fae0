"""Take the manual's pictures anew from a demo shop of its own: ``python scripts/take_pictures.py``.

Needs Chromium, as the tests do. What the pages show depends on the day, so the pictures are taken by hand
when pages have changed and are not compared by a test.
"""

import re
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Page, ViewportSize, sync_playwright

ROOT = Path(__file__).parent.parent
PICTURES = ROOT / "src" / "kerfsmith" / "manual" / "pages" / "pictures"
DEMO_PLANNED_MS = 180_000
DESK: ViewportSize = {"width": 1280, "height": 900}
PANEL: ViewportSize = {"width": 1280, "height": 800}


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a demo shop kept in ``folder``, while it is served."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])
    records = str(folder / "shop.sqlite")
    command = [sys.executable, "-m", "kerfsmith", "serve", "--port", port, "--records", records]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as running:
        assert running.stdout is not None
        try:
            yield next(
                found[0].rstrip("/")
                for line in running.stdout
                if (found := re.search(r"http://[\d.]+:\d+/", line))
            )
        finally:
            running.terminate()


def take(page: Page, name: str, part: str = "", height: int = 0) -> None:
    """A picture of a page's window, or of its ``part``, of which ``height`` pixels from the top (0: all)."""
    PICTURES.mkdir(exist_ok=True)
    file = PICTURES / f"{name}.png"
    if not part:
        page.screenshot(path=file)
        return
    box = page.locator(part).first.bounding_box()
    assert box is not None, f"{name}: {part} isn't on the page"
    tall = min(box["height"], height) if height else box["height"]
    page.screenshot(path=file, full_page=True, clip={**box, "height": tall})


def the_plan(page: Page, base: str) -> None:
    """A group of the finished plan."""
    page.goto(base)
    page.locator("article.group").first.wait_for(timeout=DEMO_PLANNED_MS)
    take(page, "plan-group", "article.group:has-text('round 2 1/2 in')")


def one_cut(page: Page, base: str) -> None:
    """A wide-flange section under the band."""
    page.goto(f"{base}/cut?grade=S355J2&section=HEA%20200")
    take(page, "one-cut", "#answer", 1250)


def a_faulty_list(page: Page, base: str, folder: Path) -> None:
    """Findings of a list that is full of mistakes."""
    subprocess.run([sys.executable, "-m", "kerfsmith", "demo", str(folder)], check=True, capture_output=True)
    page.goto(f"{base}/orders")
    page.locator("input[type=file]").first.set_input_files(folder / "faulty_list.csv")
    page.get_by_role("button", name="Read it").click()
    page.wait_for_url("**/uploads/**")
    take(page, "findings", "main", 680)


def the_week(page: Page, base: str) -> None:
    """The picture of the week."""
    page.goto(f"{base}/week")
    take(page, "week", ".week-box")


def a_quote(page: Page, base: str) -> None:
    """An order priced, with its ranges, the first line unfolded."""
    page.goto(f"{base}/quotes/new")
    page.get_by_role("button", name="Price this order").click()
    page.get_by_label("Customer", exact=True).fill("Gate works")
    page.get_by_role("button", name="Reckon the price").click()
    page.get_by_role("link", name="To the result").click(timeout=DEMO_PLANNED_MS)
    page.locator("article.offered details").first.evaluate("details => { details.open = true }")
    take(page, "quote", "main", 900)


def saws_compared(page: Page, base: str, folder: Path) -> None:
    """The same list replayed on three saws."""
    page.goto(f"{base}/which-saw")
    page.get_by_label("A cut list that comes so many times a year").check()
    page.locator("#file").set_input_files(folder / "order_book.csv")
    page.get_by_role("button", name="Compare them").click()
    page.get_by_role("link", name="To the result").click(timeout=DEMO_PLANNED_MS)
    take(page, "which-saw", "main", 1000)


def the_records(page: Page, base: str) -> None:
    """What the log taught, a chart that moved, and faults to choose from."""
    for place in ("learned", "charts", "faults"):
        page.goto(f"{base}/{place}")
        take(page, place, "main", 900)


def at_the_saw(page: Page, base: str) -> None:
    """The panel: a bar to load, and a cut to make."""
    page.set_viewport_size(PANEL)
    page.goto(f"{base}/at-saw")
    page.get_by_role("button", name="This panel stands here").first.click()
    page.get_by_text("Planned for it, not released").first.wait_for()
    page.locator("details").first.evaluate("details => { details.open = true }")
    page.get_by_role("button", name="Release").nth(1).click()
    page.locator("#first-label").fill("N-12")
    page.get_by_role("button", name="Take it in, it is on the saw").click()
    page.locator("#label").wait_for()
    page.get_by_text("All sent").wait_for()
    take(page, "panel-load")
    label = page.locator("[data-list=waiting] b").first.inner_text().split(" × ")[-1]
    page.locator("#label").fill(label)
    page.locator("#label").press("Enter")
    page.locator("#count").wait_for()
    page.get_by_text("Band in").first.wait_for()
    take(page, "panel-cut")


def main() -> None:
    """All of them, in the order of the manual."""
    with tempfile.TemporaryDirectory() as place, served(Path(place)) as base, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"))
        page = browser.new_page(viewport=DESK, color_scheme="light")
        the_plan(page, base)
        one_cut(page, base)
        a_faulty_list(page, base, Path(place) / "try-it")
        saws_compared(page, base, Path(place) / "try-it")
        the_week(page, base)
        a_quote(page, base)
        the_records(page, base)
        at_the_saw(page, base)
        browser.close()


if __name__ == "__main__":
    main()
