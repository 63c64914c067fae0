"""Every scene of the panel is seen whole, by gloves too, at both sizes of glass; axe finds nothing in it."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]  # ships no types
from playwright.sync_api import Browser, Page, ViewportSize, expect
from tests.web.shift.hands import SECONDS, at_panel
from tests.web.shift.loads import RUN
from tests.web.shift.places import copied
from tests.web.shift.scenes import (
    FAULTS_OF_GLASS,
    FIRST,
    LONG,
    LONG_BADGE,
    long_names,
    scenes_of_loads,
    scenes_of_singles,
)
from tests.web.shift.serving import served_at
from tests.web.shift.shop import ShiftShop
from tests.web.shift.test_glass import RULES

pytestmark = pytest.mark.browser

GLASS: tuple[ViewportSize, ...] = ({"width": 1280, "height": 800}, {"width": 1024, "height": 768})
"""A ten-inch panel, and the squarer one that many older saws have."""
Walk = Callable[[ShiftShop], Iterator[str]]


def _loads(shop: ShiftShop) -> Iterator[str]:
    return scenes_of_loads(shop, LONG.label)


def _whole(page: Page, name: str, faults: dict[str, list[str]]) -> None:
    for size in GLASS:
        page.set_viewport_size(size)
        found = page.evaluate(FAULTS_OF_GLASS)
        if found:
            faults[f"{name}, {size['width']} by {size['height']}"] = found


def _sound(page: Page, name: str, faults: dict[str, list[str]]) -> None:
    for light in ("day", "night"):
        page.evaluate("light => document.documentElement.dataset.light = light", light)
        found = Axe().run(page, options=RULES).response["violations"]
        if found:
            faults[f"{name}, {light}"] = [f"{one['id']}: {one['nodes'][0]['html'][:140]}" for one in found]


@pytest.mark.parametrize(
    ("walk", "run"), [(_loads, RUN), (scenes_of_singles, FIRST)], ids=["loads", "singles"]
)
def test_every_scene_is_whole_on_the_glass(browser: Browser, tmp_path: Path, walk: Walk, run: str) -> None:
    shop = long_names(copied(tmp_path))
    faults: dict[str, list[str]] = {}
    seen = set()
    with served_at(shop.app) as base, at_panel(browser, base) as page:
        page.emulate_media(reduced_motion="reduce")
        page.goto(f"{base}/at-saw")
        page.locator("#badge").fill(LONG_BADGE)
        page.locator("#badge").press("Enter")
        expect(page.locator(".choose")).to_be_visible(timeout=SECONDS)
        for name in walk(shop):
            for measure in ("metric", "inch"):
                page.context.add_cookies([{"name": "measure", "value": measure, "url": base}])
                page.goto(f"{base}/at-saw/run/{run}")
                expect(page.locator("#link-state")).to_have_text("All sent", timeout=SECONDS)
                _whole(page, f"{name}, {measure}", faults)
                if name == "rest":
                    page.locator("#place").focus()
                    _whole(page, f"{name} with keys, {measure}", faults)
            scene = page.locator("#panel").get_attribute("data-scene")
            if scene not in seen:
                _sound(page, name, faults)
            seen.add(scene)
    assert faults == {}
    singles = {"load", "cut", "out", "rest", "short", "done"}
    assert seen == (
        singles if run == FIRST else {"load", "lay", "pass", "held", "clear", "band", "rest", "short", "over"}
    )
