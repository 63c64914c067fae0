"""One shift in a browser: signed in, cut, corrected, cut off from the network and back, put away, traced."""

import io

import pypdf
import pytest
from playwright.sync_api import Browser, Page, expect
from tests.web.shift.hands import (
    SECONDS,
    all_sent,
    at_panel,
    count,
    counted,
    key,
    load,
    lose_network,
    scan,
    sign_in,
    until,
)
from tests.web.shift.shop import Served

from kerfsmith.shop.loaded_bar import BarState

pytestmark = pytest.mark.browser


def test_a_shift(browser: Browser, served: Served) -> None:
    base, shop = served
    with at_panel(browser, base) as page:
        sign_in(page, base)

        scan(page, "B-1")
        refused = page.locator(".told.is-refused")
        expect(refused).to_contain_text("Bar B-1 is 4140, the run needs 1045", timeout=SECONDS)
        assert refused.bounding_box()["height"] > 90  # type: ignore[index]  # it is shown
        refused.locator("text=Seen").click()

        load(page, "A-1")
        count(page)
        assert page.locator("[data-show=dial]").first.inner_text() == "500"
        assert count(page, "500.1"), "the first piece is measured"
        all_sent(page)
        assert counted(shop)["P1"] == (1, 0)
        page.locator("#undo").click()
        until(lambda: counted(shop)["P1"] == (0, 0))
        count(page)
        count(page)
        all_sent(page)

        cuts = 2
        lose_network(page.context, page)
        for _ in range(3):
            count(page)
            cuts += 1
        expect(page.locator("#link-state")).to_have_text("No network, 3 entries not yet sent")
        assert sum(good for good, _ in counted(shop).values()) == 2, "nothing can have arrived"
        page.locator("#leaf-finish > summary").click()
        page.locator("#leaf-finish .act").click()
        page.locator("#place").fill("R1")
        page.locator("text=Put it on the rack").click()
        scan(page, "A-2")
        expect(page.locator(".told.is-refused")).to_contain_text("of heat H200", timeout=SECONDS)
        page.locator(".told.is-refused >> text=Seen").click()
        load(page, "A-1")
        for _ in range(3):
            count(page)
            cuts += 1
        waits = page.locator("#link-state").inner_text()
        assert waits.startswith("No network, ")

        page.reload()
        expect(page.locator("#link-state")).to_have_text(waits, timeout=SECONDS)
        expect(page.locator("[data-show=heading]")).to_contain_text("A-1")

        page.context.set_offline(False)
        all_sent(page)
        made = counted(shop)
        assert sum(good for good, _ in made.values()) == cuts - 1, "one of the eight was the facing cut"
        with shop.store.look() as look:
            states = [one.bar.state for one in look.floor.bars("r1")]
        assert states == [BarState.PUT_AWAY, BarState.LOADED]
        _second_half(page, served)


def _second_half(page: Page, served: Served) -> None:
    base, shop = served
    while page.locator("#panel").get_attribute("data-scene") == "cut":
        count(page)
    all_sent(page)
    page.locator("#leaf-finish > summary").click()
    page.locator("#leaf-finish .act").click()
    page.locator("text=It goes to the scrap").click()
    page.locator("text=Yes, all that is left of it").click()
    expect(page.locator("#label")).to_be_visible(timeout=SECONDS)
    load(page, "A-3")

    page.locator("#leaf-band > summary").click()
    page.locator("[data-fills=band-on] button").first.click()
    page.locator("#leaf-band button[value=worn]").click()
    all_sent(page)
    with shop.store.look() as look:
        assert look.crib.mounted("north").band_id == "S-2"  # type: ignore[union-attr]
    count(page)
    assert count(page), "after a change of band the first piece is measured"
    page.locator("#leaf-scrap > summary").click()
    page.locator("form[data-only-piece] button[value='rough face']").click()
    all_sent(page)

    page.locator("#leaf-counts > summary").click()
    page.locator("#line").select_option("o1:2")
    page.locator("#quantity").focus()
    page.locator("#quantity").fill("8")
    page.locator("text=Change it").click()
    expect(page.locator(".told.is-changed")).to_contain_text("P2: 8 wanted instead of 10", timeout=SECONDS)
    while page.locator("[data-seen]").count():
        page.locator("[data-seen]").first.click()
    while page.locator("#panel").get_attribute("data-scene") == "cut":
        count(page)
        all_sent(page)
    page.locator("#leaf-finish > summary").click()
    key(page, "#left-measured", "512.5")
    page.locator("#leaf-finish .act").click()
    all_sent(page)
    expect(page.locator("#rest-label")).to_be_visible(timeout=SECONDS)
    label = page.locator("#rest-label").input_value()
    paper = page.request.get(base + str(page.locator("[data-label-link]").get_attribute("href")))
    text = pypdf.PdfReader(io.BytesIO(paper.body())).pages[0].extract_text()
    assert label in text
    assert "H100" in text
    page.locator("#place").fill("R7")
    page.locator("text=Put it on the rack").click()
    all_sent(page)
    remnant = next(bar for bar in shop.store.rack().bars if bar.id == label)
    assert (remnant.place, remnant.length_um) == ("R7", 512_500)

    good = counted(shop)
    assert sum(pieces for pieces, _ in good.values()) >= 18
    assert sum(pieces + scrapped for pieces, scrapped in good.values()) >= 19

    page.goto(f"{base}/trace?q=H100")
    printed = pypdf.PdfReader(io.BytesIO(page.pdf(format="A4")))
    words = " ".join(" ".join(sheet.extract_text() for sheet in printed.pages).split())
    for name in ("H100", "Weir Works", "Mill Lane", "S-1", "S-2", "Omar", "rough face"):
        assert name in words, name
