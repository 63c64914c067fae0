"""Several bars in the vise, on the glass: laid in, cut at once, one no good, taken out, without a network."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]  # ships no types
from playwright.sync_api import Browser, Page, expect
from tests.web.shift.hands import SECONDS, all_sent, all_struck, at_panel, lose_network, scan, sign_in, until
from tests.web.shift.loads import RUN, with_loads
from tests.web.shift.places import copied
from tests.web.shift.serving import served_at
from tests.web.shift.shop import Served, ShiftShop
from tests.web.shift.test_glass import GLOVE_PX, RULES, SMALL

pytestmark = pytest.mark.browser


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    shop = with_loads(copied(tmp_path))
    with served_at(shop.app) as base:
        yield base, shop


def counted(shop: ShiftShop) -> dict[str, tuple[int, int]]:
    with shop.store.look() as look:
        return {line.mark: (line.good, line.scrapped) for line in look.floor.lines(RUN)}


def go_to_run(page: Page, base: str) -> None:
    sign_in(page, base)
    page.goto(f"{base}/at-saw/run/{RUN}")
    expect(page.locator("#label")).to_be_visible(timeout=SECONDS)
    expect(page.locator("#link-state")).to_have_text("All sent", timeout=SECONDS)


def lay(page: Page, *told: str) -> None:
    """Bars by their labels; after each, what the panel says."""
    for words in told:
        scan(page, "L-1")
        where = "#count" if words == "all" else "[data-show=laid]"
        expect(page.locator(where)).to_be_visible(timeout=SECONDS)
        if words != "all":
            expect(page.locator(where)).to_have_text(words, timeout=SECONDS)


def through(page: Page, last: str, left: str = "") -> None:
    """One touch, then each piece that is asked for is measured."""
    page.locator("#count").click()
    expect(page.locator("[data-show=last]")).to_contain_text(last, timeout=SECONDS)
    while page.locator("#leaf-measure[open]").count():
        before = page.locator("#leaf-measure [data-show=last-piece]").inner_text()
        page.locator("#measured").fill(before.split(", ")[1].split(" ")[0])
        page.locator("text=Keep the length").click()
        until(
            lambda was=before: (
                not page.locator("#leaf-measure[open]").count()  # type: ignore[misc]
                or page.locator("#leaf-measure [data-show=last-piece]").inner_text() != was
            )
        )


def choose(page: Page, leaf: str, place: int, press: str, *, last: bool = False) -> None:
    """A bar by its place, and why; with ``last`` in the leaf's last form, of the piece counted last."""
    page.locator(f"#leaf-{leaf} > summary").click()
    form = page.locator(f"#leaf-{leaf} form").nth(-1 if last else 0)
    form.locator(".name-choice", has_text=f"{place}: L-1").click()
    form.locator("button", has_text=press).click()


def finish(page: Page, left: dict[int, str]) -> None:
    """The load, with what is left of some of its bars as measured."""
    page.locator("#leaf-finish > summary").click()
    for place, length in left.items():
        page.locator(f"#left-of-{place}").fill(length)
    page.locator("#leaf-finish .act").click()


def put_all_away(page: Page, *places: str) -> list[str]:
    """What is left of each bar; the labels."""
    labels: list[str] = []
    for place in places:
        expect(page.locator("#rest-label")).to_be_visible(timeout=SECONDS)
        until(lambda: page.locator("#rest-label").input_value() not in labels)
        labels.append(page.locator("#rest-label").input_value())
        page.locator("#place").fill(place)
        page.locator("text=Put it on the rack").click()
    expect(page.locator("#rest-label")).to_be_hidden(timeout=SECONDS)
    return labels


@pytest.mark.parametrize("light", ["day", "night"])
def test_bars_are_laid_in_and_cut_at_once(browser: Browser, served: Served, light: str) -> None:
    base, shop = served
    faults, small = {}, {}
    with at_panel(browser, base, light) as page:

        def look(name: str) -> None:
            found = Axe().run(page, options=RULES).response["violations"]
            if found:
                faults[name] = [(one["id"], one["nodes"][0]["html"][:140]) for one in found]
            low = page.evaluate(SMALL, GLOVE_PX)
            if low:
                small[name] = low
            assert page.evaluate("document.documentElement.scrollWidth") <= 1280, name

        go_to_run(page, base)
        lay(page, "1 of 3 loaded", "2 of 3 loaded")
        expect(page.locator("[data-only=lay] .vise .is-laid")).to_have_count(2)
        look("lay")
        lay(page, "all")
        expect(page.locator(".lying .vise .is-laid")).to_have_count(3)
        page.locator("#count").dblclick()
        expect(page.locator("[data-show=last]")).to_have_text("Last: facing cut", timeout=SECONDS)
        expect(page.locator("[data-show=mark]").first).to_have_text("3 pieces: 3 × P5")
        through(page, "3 pieces: 3 × P5, 500 mm")
        all_sent(page)
        assert counted(shop)["P5"] == (3, 0), "the bounce of a glove is no second cut"
        with shop.store.look() as look_at:
            assert len(look_at.floor.inspections(RUN)) == 3, "the first piece of every bar"
        look("pass")
        page.locator("#leaf-scrap > summary").click()
        look("scrap")
        page.locator("#leaf-scrap > summary").click()
        through(page, "3 pieces: 3 × P5, 500 mm")
        expect(page.locator("[data-show=mark]").first).to_have_text("3 pieces: 2 × P6, 1 × P7")
        marks = page.locator(".lying .vise-mark").all_text_contents()
        assert [mark for mark in marks if mark] == ["P6", "P6", "P7"]
        page.locator("#undo").click()
        expect(page.locator("[data-show=mark]").first).to_have_text("3 pieces: 3 × P5", timeout=SECONDS)
        all_sent(page)
        assert counted(shop)["P5"] == (3, 0)
        choose(page, "scrap", 3, "rough face")
        all_sent(page)
        assert counted(shop)["P5"] == (5, 1)
        through(page, "P6")
        expect(page.locator("[data-list=alone]")).to_contain_text("Bar 3 alone: P5, 500 mm", timeout=SECONDS)
        look("clear")
        page.get_by_role("button", name="Cut on bar 3 alone").click()
        expect(page.locator("[data-list=alone] li")).to_have_count(0, timeout=SECONDS)
        all_sent(page)
        finish(page, {1: "1500"})
        all_sent(page)
        expect(page.locator("[data-show=left]:visible")).to_have_text("1500 mm")
        put_all_away(page, "R1", "R2")
        expect(page.locator("[data-show=dial]").first).to_have_text("500")
        expect(page.locator("[data-show=mark]").first).to_have_text("P5")
        through(page, "P5, 500 mm, good")
        all_sent(page)
        assert counted(shop)["P5"] == (6, 1), "what was scrapped is there after all"
    assert (faults, small) == ({}, {})


def test_a_load_without_a_network(browser: Browser, served: Served) -> None:
    base, shop = served
    with at_panel(browser, base) as page:
        go_to_run(page, base)
        lose_network(page.context, page)
        lay(page, "1 of 3 loaded", "2 of 3 loaded", "all")
        through(page, "facing cut")
        through(page, "3 × P5")
        through(page, "3 × P5")
        through(page, "2 × P6, 1 × P7")
        finish(page, {})
        labels = put_all_away(page, "R1", "R2", "R3")
        expect(page.locator("#label")).to_be_visible(timeout=SECONDS)
        assert counted(shop)["P5"] == (0, 0), "nothing can have arrived"
        page.context.set_offline(False)
        all_sent(page)
        assert counted(shop) == {"P5": (6, 0), "P6": (2, 0), "P7": (1, 0)}
        assert page.locator("#notices .is-refused").count() == 0
        rack = {bar.id: bar.place for bar in shop.store.rack().bars}
        assert [rack[label] for label in labels] == ["R1", "R2", "R3"]


def test_fewer_bars_than_planned_are_cut_for_a_reason(browser: Browser, served: Served) -> None:
    base, shop = served
    with at_panel(browser, base) as page:
        go_to_run(page, base)
        lay(page, "1 of 3 loaded", "2 of 3 loaded")
        page.locator("#leaf-fewer > summary").click()
        page.locator("#leaf-fewer button", has_text="one is bent").click()
        expect(page.locator("#count")).to_be_visible(timeout=SECONDS)
        page.reload()
        expect(page.locator("#count")).to_be_visible(timeout=SECONDS)
        through(page, "facing cut")
        through(page, "2 × P5")
        all_struck(page)
        assert counted(shop)["P5"] == (2, 0)
        with shop.store.look() as look:
            (bar, _) = (one.bar for one in look.floor.bars(RUN))
            load = look.floor.load_named(bar.load_id)
        assert load is not None
        assert load.fewer_why == "one is bent or damaged"


def test_a_bar_cut_alone_without_a_network(browser: Browser, served: Served) -> None:
    """The page was drawn before there was a bar in the saw."""
    base, shop = served
    with at_panel(browser, base) as page:
        go_to_run(page, base)
        lose_network(page.context, page)
        page.locator("#label").fill("L-1")
        page.locator("text=Cut it alone").click()
        through(page, "facing cut")
        through(page, "P5, 500 mm, good")
        page.context.set_offline(False)
        all_sent(page)
        assert counted(shop)["P5"] == (1, 0)
        with shop.store.look() as look:
            assert [one.bar.load_id for one in look.floor.bars(RUN)] == [""]


def test_a_piece_scrapped_without_a_network_is_asked_for_again(browser: Browser, served: Served) -> None:
    base, shop = served
    with at_panel(browser, base) as page:
        go_to_run(page, base)
        lose_network(page.context, page)
        lay(page, "1 of 3 loaded", "2 of 3 loaded", "all")
        through(page, "facing cut")
        through(page, "3 × P5")
        choose(page, "scrap", 1, "damaged", last=True)
        expect(page.locator("[data-show=missing]")).to_have_text("Bar 1 alone: P5, 500 mm")
        expect(page.locator("[data-show=last]")).to_have_text("Last: P5 rejected: damaged in handling")
        page.locator("#undo").click()
        expect(page.locator("[data-show=missing]")).to_have_text("")
        expect(page.locator("[data-show=last]")).to_have_text("Last: 3 pieces: 3 × P5, 500 mm")
        choose(page, "scrap", 2, "rough face")
        expect(page.locator("[data-show=missing]")).to_have_text("Bar 2 alone: P5, 500 mm")
        page.locator("#undo").click()
        expect(page.locator("[data-show=missing]")).to_have_text("")
        choose(page, "scrap", 2, "rough face")
        through(page, "2 × P6, 1 × P7")
        page.get_by_role("button", name="Cut on bar 2 alone").click()
        finish(page, {})
        put_all_away(page, "R1", "R2")
        expect(page.locator("[data-show=mark]").first).to_have_text("P5")
        through(page, "P5, 500 mm, good")
        assert counted(shop)["P5"] == (0, 0), "nothing can have arrived"
        page.context.set_offline(False)
        all_sent(page)
        assert counted(shop) == {"P5": (6, 1), "P6": (2, 0), "P7": (1, 0)}
        assert page.locator("#notices .is-refused").count() == 0


def test_what_every_bar_needs_again_is_a_pass_again(browser: Browser, served: Served) -> None:
    base, shop = served
    with at_panel(browser, base) as page:
        go_to_run(page, base)
        lose_network(page.context, page)
        lay(page, "1 of 3 loaded", "2 of 3 loaded", "all")
        through(page, "facing cut")
        choose(page, "scrap", 1, "too long")
        page.locator("#leaf-measure > summary").click()
        for place in (2, 3):
            choose(page, "scrap", place, "too long", last=True)
        expect(page.locator("[data-show=missing]")).to_have_text("")
        for last in ("3 × P5", "3 × P5", "2 × P6, 1 × P7"):
            through(page, last)
        expect(page.locator("[data-list=alone] li")).to_have_count(0)
        page.context.set_offline(False)
        all_sent(page)
        assert counted(shop) == {"P5": (6, 3), "P6": (2, 0), "P7": (1, 0)}


def test_a_piece_of_any_bar_is_measured_and_held_when_it_is_out(browser: Browser, served: Served) -> None:
    base, shop = served
    with at_panel(browser, base) as page:
        go_to_run(page, base)
        lay(page, "1 of 3 loaded", "2 of 3 loaded", "all")
        through(page, "facing cut")
        page.locator("#count").click()
        expect(page.locator("#leaf-measure[open]")).to_be_visible(timeout=SECONDS)
        leaf = page.locator("#leaf-measure")
        expect(leaf.locator("[data-show=last-piece]")).to_have_text("P5, 500 mm, bar 1")
        leaf.locator(".name-choice", has_text="3: P5").click()
        expect(leaf.locator("[data-show=last-piece]")).to_have_text("P5, 500 mm, bar 3")
        leaf.locator("summary", has_text="Squareness").click()
        page.locator("#lean").fill("0.4")
        page.locator("#measured").fill("501.2")
        leaf.locator("text=Keep the length").click()
        expect(page.locator("[data-of=held] .box").first).to_be_visible(timeout=SECONDS)
        all_sent(page)
        with shop.store.look() as look:
            (kept,) = look.floor.inspections(RUN)
            third = look.floor.bars(RUN)[2].bar.id
            assert (kept.measured_um, kept.out_of_square_um) == (501_200, 400)
            assert [one.piece.bar_id for one in look.floor.failed((RUN,)) if one.is_held] == [third]
