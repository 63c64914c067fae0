"""The week's shop, as values and on a port of the loopback."""

import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from tests.web.week.shop import WeekShop, copied

Served = tuple[str, WeekShop]


@pytest.fixture
def shop(tmp_path: Path) -> WeekShop:
    """A fresh copy."""
    return copied(tmp_path)


@pytest.fixture
def served(shop: WeekShop) -> Iterator[Served]:
    """The same, served."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(shop.app, port=port, log_level="error"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    until = time.monotonic() + 20
    while not server.started and time.monotonic() < until:
        time.sleep(0.02)
    assert server.started
    yield f"http://127.0.0.1:{port}", shop
    server.should_exit = True
    thread.join(timeout=10)
