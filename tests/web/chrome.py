"""Headless Chromium: one for every test of a process.

It stands outside of ``conftest.py``: a test that imported from there would bring it in a second time, under
another name and with a second browser, and two can't be driven from one thread.
"""

import atexit
import shutil
from functools import cache
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, expect, sync_playwright

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
