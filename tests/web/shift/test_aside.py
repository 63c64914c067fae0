"""An entry that can never be read: set aside with its text, told plainly, and the queue goes on."""

import json

import pytest
from playwright.sync_api import Browser, Page, Route, expect
from tests.web.shift.hands import (
    SECONDS,
    all_struck,
    at_panel,
    count,
    counted,
    load,
    lose_network,
    sign_in,
)
from tests.web.shift.shop import PIN, Served

pytestmark = pytest.mark.browser

SPOIL = """async place => {
    const kept = await import('/static/panel-store.js');
    const { events } = await kept.waiting();
    const base = await new Promise(done => {
        const asked = indexedDB.open('kerfsmith-panel', 1);
        asked.onsuccess = () => done(asked.result);
    });
    await new Promise(done => {
        const transaction = base.transaction('events', 'readwrite');
        const spoilt = { ...events[place], told: { ...events[place].told, note: 'bell \\u0007' } };
        transaction.objectStore('events').put(spoilt);
        transaction.oncomplete = done;
    });
    base.close();
    return events.map(one => one.verb);
}"""
"""Puts a character that can't be printed into an entry that waits, as a failing disk or scanner would."""


def queue_with_a_spoilt_cut(page: Page, base: str) -> None:
    """One piece sent; then without a network three more, of which the middle one gets spoilt."""
    sign_in(page, base)
    load(page, "A-1")
    count(page)
    count(page)
    all_struck(page)
    lose_network(page.context, page)
    for _ in range(3):
        count(page)
    verbs = page.evaluate(SPOIL, 1)
    assert verbs == ["log cut"] * 3


def test_a_spoilt_entry_is_set_aside_and_the_queue_goes_on(browser: Browser, served: Served) -> None:
    base, shop = served
    with at_panel(browser, base) as page:
        queue_with_a_spoilt_cut(page, base)
        page.context.set_offline(False)
        told = page.locator(".told.is-refused", has_text="This entry could not be read; call the lead")
        expect(told).to_contain_text("1 later entry builds on it", timeout=SECONDS)
        expect(told).to_contain_text("can't be printed")
        all_struck(page)
        expect(page.locator("#notices")).to_contain_text("An entry before it was set aside", timeout=SECONDS)
        expect(page.locator("#link-state")).to_have_text("1 set aside", timeout=SECONDS)
        assert counted(shop)["P1"] == (2, 0), "the cut before it counts, the one after it can't"
        expect(page.locator("[data-show=count]")).to_have_text("3 of 9", timeout=SECONDS)

        page.reload()
        expect(told).to_be_visible(timeout=SECONDS)
        while page.locator("[data-seen]").count():
            page.locator("[data-seen]").first.click()
        count(page)
        all_struck(page)
        assert counted(shop)["P1"] == (3, 0), "and the panel counts on"

        page.locator("#leaf-aside > summary").click()
        kept = page.locator("#leaf-aside li")
        expect(kept).to_have_count(1)
        text = json.loads(kept.locator("code").inner_text())
        assert text["note"] == "bell \x07", "nothing of it is lost"
        expect(page.locator("[data-strike]")).to_have_count(0)
        page.locator("[data-again]").click()
        page.locator("#leaf-aside > summary").click()
        expect(told).to_be_visible(timeout=SECONDS)
        all_struck(page)
        expect(page.locator("#link-state")).to_have_text("1 set aside", timeout=SECONDS)
        assert counted(shop)["P1"] == (3, 0)


def test_a_lead_takes_it_off_once_he_has_seen_to_it(browser: Browser, served: Served) -> None:
    base, _ = served
    with at_panel(browser, base) as page:
        queue_with_a_spoilt_cut(page, base)
        page.context.set_offline(False)
        expect(page.locator("#link-state")).to_have_text("1 set aside", timeout=SECONDS)
        run = page.url
        page.locator("[data-sign-out] button").click()
        expect(page.locator("#unsent")).to_contain_text("could not be read", timeout=SECONDS)
        page.locator(".name-choice", has_text="Lea").click()
        page.locator("#pin").fill(PIN)
        page.locator("#pin").press("Enter")
        page.goto(run)
        page.locator("#leaf-aside > summary").click()
        page.locator("[data-strike]").click()
        expect(page.locator("#leaf-aside li")).to_have_count(0)
        expect(page.locator("#link-state")).to_have_text("All sent", timeout=SECONDS)


@pytest.mark.parametrize("status", [400, 413])
def test_one_that_no_answer_names_is_found_by_sending_fewer(
    browser: Browser, served: Served, status: int
) -> None:
    """Something between panel and records turns it away, and doesn't say which of the entries it was."""
    base, shop = served
    with at_panel(browser, base) as page:
        queue_with_a_spoilt_cut(page, base)

        def turn_away(route: Route) -> None:
            if "bell" in (route.request.post_data or ""):
                route.fulfill(status=status, body="<h1>No</h1>", content_type="text/html")
            else:
                route.continue_()

        page.route("**/at-saw/events", turn_away)
        page.context.set_offline(False)
        told = page.locator(".told.is-refused", has_text="This entry could not be read; call the lead")
        expect(told).to_contain_text(f"answer {status}", timeout=SECONDS)
        all_struck(page)
        assert counted(shop)["P1"] == (2, 0)
        aside = page.evaluate("import('/static/panel-store.js').then(kept => kept.waiting())")["aside"]
        assert [one["event"]["told"]["note"] for one in aside] == ["bell \x07"]
