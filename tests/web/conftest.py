"""The pages over the shop in memory, by a client and by a browser."""

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
import uvicorn
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, sync_playwright
from tests.web.memory import MemoryBackstage

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
    with serving(shop) as base:
        yield base, shop


@contextmanager
def serving(shop: MemoryBackstage) -> Iterator[str]:
    """The pages over a shop on a free port; their address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(create_app(shop), port=port, log_level="error"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    until = time.monotonic() + 20
    while not server.started and time.monotonic() < until:
        time.sleep(0.02)
    assert server.started
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(timeout=10)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Headless Chromium."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        pytest.fail("no chromium on this machine: ./check installs it")
    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=path, args=BROWSER_FLAGS)
        yield made
        made.close()
