"""An application on a port of the loopback."""

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import uvicorn
from fastapi import FastAPI

SECONDS = 60
"""Longest wait for a server to begin or to end: the machine may be busy with other tests."""


@contextmanager
def served_at(app: FastAPI) -> Iterator[str]:
    """Its address, while it is served."""
    # The port is held from here on: one that is let go and asked for again may be another's by then.
    with socket.create_server(("127.0.0.1", 0)) as door:
        server = uvicorn.Server(uvicorn.Config(app, log_level="error"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
        thread.start()
        until = time.monotonic() + SECONDS
        while not server.started and thread.is_alive() and time.monotonic() < until:
            time.sleep(0.02)
        assert server.started
        yield f"http://127.0.0.1:{door.getsockname()[1]}"
        server.should_exit = True
        thread.join(timeout=SECONDS)
