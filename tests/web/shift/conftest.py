"""The shift's shop on a port of the loopback, and the browser of the other page tests."""

import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from tests.web.shift.places import copied
from tests.web.shift.shop import ShiftShop

Served = tuple[str, ShiftShop]


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A fresh shop, served."""
    shop = copied(tmp_path)
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
