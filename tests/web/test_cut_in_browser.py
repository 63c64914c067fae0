"""The page of one cut in a browser, over the real engine: every kind of section on desk and panel."""

from collections.abc import Iterator
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Browser
from tests.web.access import faults_of_access
from tests.web.memory import MemoryBackstage
from tests.web.real_cuts import CUTS, RealCuts
from tests.web.shift.serving import served_at
from tests.web.test_browser import opened

from kerfsmith.web.app import create_app

pytestmark = pytest.mark.browser

OVERLAPS = """selector => {
  const texts = [...document.querySelectorAll(selector)].filter(one => one.textContent.trim());
  const boxes = texts.map(one => [one.textContent, one.getBoundingClientRect()]);
  const found = [];
  boxes.forEach(([a, p], i) => boxes.slice(i + 1).forEach(([b, q]) => {
    const wide = Math.min(p.right, q.right) - Math.max(p.left, q.left);
    const high = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
    if (wide > 2 && high > 4) found.push([a, b]);
  }));
  return found;
}"""
"""Pairs of texts of a picture that lie one over the other by more than the air about their letters."""
OUTSIDE = """selector => [...document.querySelectorAll(selector)].filter(one => {
  const box = one.getBoundingClientRect(), frame = one.ownerSVGElement.getBoundingClientRect();
  return box.left < frame.left - 1 || box.right > frame.right + 1
    || box.top < frame.top - 1 || box.bottom > frame.bottom + 1;
}).map(one => one.textContent)"""


@pytest.fixture(scope="module")
def served() -> Iterator[tuple[str, MemoryBackstage]]:
    shop = RealCuts()
    with served_at(create_app(shop)) as base:
        yield base, shop


@pytest.mark.parametrize("name", CUTS)
def test_no_text_of_a_picture_covers_another_or_leaves_its_frame(
    browser: Browser, served: tuple[str, MemoryBackstage], name: str
) -> None:
    for size, measure in (((1280, 800), "metric"), ((1024, 600), "inch")):
        path = "/cut?" + urlencode(CUTS[name])
        with opened(browser, served, path, size=size, measure=measure) as page:
            for picture in ("svg.through-cut text", "svg.trade-off text"):
                assert page.locator(picture).count() > 5
                assert page.evaluate(OVERLAPS, picture) == [], (name, measure, picture)
                assert page.evaluate(OUTSIDE, picture) == [], (name, measure, picture)
            assert page.evaluate("document.documentElement.scrollWidth") <= size[0]


@pytest.mark.parametrize("name", ["canted beam", "titanium", "plastic"])
def test_axe_finds_nothing_on_any_kind_of_cut(
    browser: Browser, served: tuple[str, MemoryBackstage], name: str
) -> None:
    with opened(browser, served, "/cut?" + urlencode(CUTS[name]), bypass=True) as page:
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        assert faults_of_access(page) == []
