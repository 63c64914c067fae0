"""The week under hand: mouse, finger, keyboard, and without script; what a screen reader is told."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from tests.web.access import faults_of_access
from tests.web.week.shop import Served, busiest, several

from kerfsmith.scheduling.problem import Aim
from kerfsmith.shop.person import HOUSE
from kerfsmith.shop.saw_stop import StopReason
from kerfsmith.workflow.stop_saw import StopSaw, stop_saw

pytestmark = pytest.mark.browser

SECONDS = 90_000
DESK, PANEL, TELEPHONE = (1280, 800), (1024, 600), (390, 844)
FINGER_PX = 44


@contextmanager
def opened(
    browser: Browser, served: Served, path: str = "/week", *, size: tuple[int, int] = DESK,
    script: bool = True, touch: bool = False, bypass: bool = False,
) -> Iterator[Page]:  # fmt: skip
    """A page; it must have no faults when done."""
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        java_script_enabled=script,
        has_touch=touch,
        bypass_csp=bypass,
    )
    page = context.new_page()
    faults: list[str] = []
    page.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(served[0] + path)
    yield page
    context.close()
    assert [told for told in faults if "409" not in told] == []


def block(page: Page, run: str) -> Locator:
    """A run's block in the picture."""
    return page.locator(f'.week-run[data-run="{run}"]')


def middle(place: Locator) -> tuple[float, float]:
    """The middle of something on the page."""
    box = place.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def wait_for_proposal(page: Page) -> None:
    """Until a changed week is put forward."""
    expect(page.locator(".week-proposal h2")).to_have_text("A changed week is put forward", timeout=SECONDS)


def test_a_block_is_dragged_to_the_head_of_its_row(browser: Browser, served: Served) -> None:
    _, shop = served
    saw, row = busiest(shop.kept())
    with opened(browser, served) as page:
        first, last = block(page, row[0]), block(page, row[-1])
        last.locator(".week-body").first.scroll_into_view_if_needed()
        # The picture is wider than its window: taken at its left edge it is drawn back in steps.
        for _ in range(20):
            if shop.week.week().proposed and shop.proposed().week.sequences[saw][0] == row[-1]:
                break
            x, y = middle(last.locator(".week-body").first)
            box = page.locator(".week-scroll").bounding_box()
            assert box is not None
            page.mouse.move(x, y)
            page.mouse.down()
            page.mouse.move(max(box["x"] + 4, x - 700), y, steps=6)
            page.mouse.up()
            wait_for_proposal(page)
            page.wait_for_timeout(150)
        assert shop.proposed().week.sequences[saw][0] == row[-1]
        assert shop.kept().week.sequences[saw] == row
        expect(first).to_be_visible()
        page.locator("text=Accept it").click()
        expect(page.locator(".week-proposal")).to_have_count(0)
        assert shop.kept().week.sequences[saw][0] == row[-1]


def test_a_drag_to_another_saw_and_a_row_that_does_not_take_it(browser: Browser, served: Served) -> None:
    _, shop = served
    week = shop.kept()
    run = several(week)
    here = week.week.of(run).saw
    there = next(option.saw for option in week.problem.run(run).options if option.saw != here)
    with opened(browser, served) as page:
        body = block(page, run).locator(".week-body").first
        body.scroll_into_view_if_needed()
        x, y = middle(body)
        goal = middle(page.locator(f'.week-saw[data-saw="{there}"] .week-row'))[1]
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 3, goal, steps=5)
        taking = week.problem.run(run).options
        closed = {saw.id for saw in week.problem.saws} - {option.saw for option in taking}
        assert page.locator(".week-saw.is-closed").count() == len(closed)
        page.mouse.up()
        wait_for_proposal(page)
        assert shop.proposed().week.of(run).saw == there
        expect(page.locator(".week-proposal")).to_contain_text("To another saw", use_inner_text=True)


def test_a_click_chooses_and_does_not_move(browser: Browser, served: Served) -> None:
    _, shop = served
    _, row = busiest(shop.kept())
    with opened(browser, served) as page:
        block(page, row[0]).click()
        expect(page.locator("#run-name")).to_be_visible()
        assert shop.week.week().proposed is None


def test_a_finger_rests_and_drags(browser: Browser, served: Served) -> None:
    _, shop = served
    saw, row = busiest(shop.kept())
    with opened(browser, served, touch=True, size=PANEL) as page:
        body = block(page, row[2]).locator(".week-body").first
        body.scroll_into_view_if_needed()
        x, y = middle(body)
        to = middle(block(page, row[0]).locator(".week-body").first)[0] - 30
        hand = page.context.new_cdp_session(page)

        def touch(kind: str, at: float) -> None:
            points = [] if kind == "touchEnd" else [{"x": at, "y": y}]
            hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

        touch("touchStart", x)
        page.wait_for_timeout(400)
        for part in range(1, 9):
            touch("touchMove", x + (to - x) * part / 8)
        touch("touchEnd", to)
        wait_for_proposal(page)
        assert shop.proposed().week.sequences[saw][0] == row[2]


def test_the_arrow_keys_move_a_run(browser: Browser, served: Served) -> None:
    _, shop = served
    week = shop.kept()
    saw, row = busiest(week)
    with opened(browser, served) as page:
        block(page, row[1]).focus()
        page.keyboard.press("ArrowLeft")
        wait_for_proposal(page)
        assert shop.proposed().week.sequences[saw][:2] == (row[1], row[0])
        # The run keeps the focus, so that it can be moved on; what has come of it is spoken.
        expect(page.locator("#week-told")).to_contain_text(week.problem.run(row[1]).label, timeout=SECONDS)
        assert page.evaluate("document.activeElement.dataset.run") == row[1]
        page.keyboard.press("ArrowRight")
        page.wait_for_function(
            "run => [...document.querySelectorAll('.week-saw .week-run[data-movable]')]"
            ".sort((a, b) => a.dataset.start - b.dataset.start)"
            ".filter(one => one.closest('.week-saw') === document.activeElement.closest('.week-saw'))"
            "[1].dataset.run === run",
            arg=row[1],
        )
        assert shop.proposed().week.sequences[saw][:2] == (row[0], row[1])


def test_up_and_down_go_to_a_saw_that_takes_it(browser: Browser, served: Served) -> None:
    _, shop = served
    week = shop.kept()
    run, saws = several(week), [saw.id for saw in week.problem.saws]
    here = saws.index(week.week.of(run).saw)
    taking = [saws.index(option.saw) for option in week.problem.run(run).options]
    there = next(at for at in taking if at != here)
    with opened(browser, served) as page:
        block(page, run).focus()
        page.keyboard.press("ArrowDown" if there > here else "ArrowUp")
        wait_for_proposal(page)
        assert shop.proposed().week.of(run).saw != saws[here]


def test_pin_refuse_and_decide_without_script(browser: Browser, served: Served) -> None:
    _, shop = served
    week = shop.kept()
    run = several(week)
    here = week.week.of(run).saw
    with opened(browser, served, script=False) as page:
        block(page, run).click()
        page.locator("text=Pin at this time").click()
        expect(page.locator(".week-chosen")).to_contain_text("Pinned to")
        page.locator("text=Set free").click()
        expect(page.locator("text=Pin at this time")).to_be_visible()
        assert shop.kept().wishes == ()
        page.locator("text=Not on this saw").click()
        page.wait_for_url("**/week", timeout=SECONDS)
        expect(page.locator(".week-proposal h2")).to_contain_text("put forward", use_inner_text=True)
        assert shop.proposed().week.of(run).saw != here
        page.locator("text=Refuse it").click()
        assert shop.week.week().proposed is None
        assert shop.kept().week.of(run).saw == here


def test_a_week_is_made_anew_after_a_stop(browser: Browser, served: Served) -> None:
    _, shop = served
    saw, _ = busiest(shop.kept())
    told = StopSaw("s1", saw, StopReason.FAULT, note="bearing")
    stop_saw(shop.store, told, by=HOUSE, at=datetime.now(UTC))
    with opened(browser, served) as page:
        expect(page.locator(".week-names")).to_contain_text("stands", use_inner_text=True)
        page.locator("#back-1").fill("2026-11-25T12:00")
        page.locator("#moves").select_option("")
        page.locator("text=Make it anew from now").click()
        wait_for_proposal(page)
        week = shop.proposed()
        assert all(week.start_of(one).hour >= 12 for one in week.week.on(saw)[:1])
        assert week.week.value(Aim.MOVES) is not None
        page.locator("text=Accept it").click()
        expect(page.locator(".week-stale")).to_have_count(0)


def test_a_move_that_cannot_be_is_said(browser: Browser, served: Served) -> None:
    _, shop = served
    _, row = busiest(shop.kept())
    with opened(browser, served) as page:
        shop.week.pin(row[0], at_its_time=True, by=HOUSE)
        block(page, row[2]).focus()
        page.keyboard.press("ArrowLeft")
        wait_for_proposal(page)
        label = shop.kept().problem.run(row[2]).label
        expect(page.locator("#week-told")).to_contain_text(label, timeout=SECONDS)
        page.keyboard.press("ArrowLeft")
        expect(page.locator("#week-refused")).to_contain_text("pinned start", timeout=SECONDS)


def test_axe_finds_nothing(browser: Browser, served: Served) -> None:
    _, shop = served
    saw, row = busiest(shop.kept())
    shop.week.move(row[-1], saw, 0, by=HOUSE)
    faults = {}
    for path in ("/week", f"/week?run={row[0]}", "/week/hours"):
        with opened(browser, served, path, bypass=True) as page:
            for unfold in page.locator("details").all()[:6]:
                unfold.evaluate("one => { one.open = true; }")
            found = faults_of_access(page)
            if found:
                faults[path] = found
    assert faults == {}


def test_it_fits_every_screen_and_suits_a_glove(browser: Browser, served: Served) -> None:
    _, shop = served
    _, row = busiest(shop.kept())
    small = """least => [...document.querySelectorAll(
        'main .button, main select, main summary, .week-pick, '
        + 'main input:not([type=hidden]):not([type=checkbox])')]
        .filter(one => one.checkVisibility())
        .map(one => [one.outerHTML.slice(0, 90), one.getBoundingClientRect()])
        .filter(([, box]) => box.height < least).map(([html]) => html)"""
    for path in ("/week", f"/week?run={row[0]}", "/week/hours"):
        with opened(browser, served, path, size=TELEPHONE) as page:
            for size in (TELEPHONE, PANEL, DESK):
                page.set_viewport_size({"width": size[0], "height": size[1]})
                assert page.evaluate("document.documentElement.scrollWidth") <= size[0], (path, size)
                assert page.evaluate(small, FINGER_PX) == [], (path, size)
