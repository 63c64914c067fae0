"""The pages over the shop in memory, by a client and by a browser."""

from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser
from tests.web.chrome import chromium
from tests.web.memory import MemoryBackstage
from tests.web.shift.serving import served_at

from kerfsmith.shop.person import Person, Role
from kerfsmith.web.app import create_app


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


@pytest.fixture(scope="module")
def served() -> Iterator[tuple[str, MemoryBackstage]]:
    """The pages on a port of the loopback, for a browser."""
    shop = MemoryBackstage()
    shop.start_planning((), by=Person("test", Role.PLANNER))
    with served_at(create_app(shop)) as base:
        yield base, shop


@pytest.fixture
def browser() -> Browser:
    """Headless Chromium, the same for all; what tests do in it they do in contexts of their own."""
    return chromium()
