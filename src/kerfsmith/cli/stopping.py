"""The user's own stop at the terminal, and files that can't be read."""

import os
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from kerfsmith.cli.main import INPUT_AT_FAULT, STOPPED

_TOLD = b"kerfsmith: stopping with the best found so far; Ctrl-C again ends at once\n"


@contextmanager
def until_stopped() -> Iterator[threading.Event]:
    """Set once the user has pressed Ctrl-C: searches then end with their best; a second time ends all."""
    wish = threading.Event()

    def stop(*_: object) -> None:
        if wish.is_set():
            raise KeyboardInterrupt
        wish.set()
        # Printing within a signal's handler could meet a print that is under way.
        os.write(sys.__stderr__.fileno() if sys.__stderr__ else 2, _TOLD)

    before = signal.signal(signal.SIGINT, stop)
    try:
        yield wish
    finally:
        signal.signal(signal.SIGINT, before)


def or_stopped(code: int, wish: threading.Event) -> int:
    """The exit code, or the one that says that the user stopped before the search was over."""
    return STOPPED if wish.is_set() and code != INPUT_AT_FAULT else code


def unreadable(error: OSError) -> int:
    """Say which file can't be read, and the exit code for it."""
    print(f"{error.filename}: can't be read ({error.strerror}); name a file that is there", file=sys.stderr)
    return INPUT_AT_FAULT
