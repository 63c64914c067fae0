"""The pages over the shop in memory, by a client and by a browser."""

import atexit
import shutil
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, BrowserContext, expect, sync_playwright
from tests.web.memory import MemoryBackstage
from tests.web.shift.serving import served_at

from kerfsmith.shop.person import Person, Role
from kerfsmith.web.app import create_app
from kerfsmith.web.backstage import UploadKind
from kerfsmith.web.sheet import link

BROWSER_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

PATIENCE_MS = 90_000
"""Longest wait for anything in the browser: the machine may be busy with other tests."""
expect.set_options(timeout=PATIENCE_MS)


@pytest.fixture
def shop() -> MemoryBackstage:
    """A fresh shop with a job and an unsure upload, so that every page has something to show."""
    made = MemoryBackstage()
    made.start_planning((), by=Person("test", Role.PLANNER))
    made.told.clear()
    return made


@pytest.fixture
def client(shop: MemoryBackstage) -> Iterator[TestClient]:
    """A client that shows a fault of the program as the page that a person would see."""
    with TestClient(create_app(shop), raise_server_exceptions=False, follow_redirects=False) as made:
        yield made


def page_paths(shop: MemoryBackstage) -> list[str]:
    """Every kind of page that can be opened, with something on it."""
    sure = shop.read_upload(UploadKind.ORDER, "list.csv", b"Pos;Mat")
    unsure = shop.read_upload(UploadKind.ORDER, "list.csv", b"Pos;Mat?")
    rack = shop.read_upload(UploadKind.RACK, "rack.csv", b"Label;Grade")
    assert shop.made is not None
    groups = [link("plan", group.id) for group in shop.made.groups]
    return [
        "/",
        *groups,
        f"{groups[0]}?rules=weighed",
        "/orders",
        link("orders", shop.book[0].id, "instead", shop.book[0].lines[0].id),
        "/rack",
        "/cut",
        "/cut?grade=4140&section=round+80&choose=2",
        "/cut?grade=4140&section=round+80&hb=300&state=worn&coolant=dry&choose=1",
        "/cut?grade=4140&section=round+500",
        "/cut?grade=41400&section=round+50&angle=ninety",
        "/saws",
        "/bands",
        "/grades",
        "/grades?q=titanium",
        "/grades/Ti-6Al-4V",
        "/sections",
        "/sections?q=nothing+like+it",
        "/sections/W12X26",
        "/sources",
        "/about-safety",
        "/planning/J-1",
        "/begin",
        f"/uploads/{sure.id}",
        f"/uploads/{unsure.id}",
        f"/uploads/{rack.id}",
    ]


@pytest.fixture(scope="module")
def served() -> Iterator[tuple[str, MemoryBackstage]]:
    """The pages on a port of the loopback, for a browser."""
    shop = MemoryBackstage()
    shop.start_planning((), by=Person("test", Role.PLANNER))
    with served_at(create_app(shop)) as base:
        yield base, shop


@cache
def chromium() -> Browser:
    """Started at its first use and ended with the process."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        pytest.fail("no chromium on this machine: ./check installs it")
    play = sync_playwright().start()
    atexit.register(play.stop)
    try:
        made = play.chromium.launch(executable_path=path, args=BROWSER_FLAGS, timeout=PATIENCE_MS)
    except BaseException:
        # A start that failed may not stand in the way of the next.
        play.stop()
        raise
    atexit.register(made.close)
    begin = made.new_context

    def patient(**wishes: Any) -> BrowserContext:
        context = begin(**wishes)
        context.set_default_timeout(PATIENCE_MS)
        return context

    made.new_context = patient  # type: ignore[method-assign]  # every context of every test waits as long
    return made


@pytest.fixture
def browser() -> Browser:
    """Headless Chromium, the same for all; what tests do in it they do in contexts of their own."""
    return chromium()
