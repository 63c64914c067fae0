"""Keeps standard output clean while the integer solver runs.

The solver's library (HiGHS 1.12) prints a line of its own now and then, whatever it was told, which would
spoil a caller's output. Its lines go nowhere; what was printed before and comes after is left alone.
"""

import ctypes
import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

_LIBRARY = ctypes.CDLL(None)
_STDOUT = 1


class _Silence:
    """The number of solvers running, and where standard output really leads."""

    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.running = 0
        self.kept = -1

    def begin(self) -> None:
        """Lead standard output away, unless another solver has done so."""
        with self.lock:
            self.running += 1
            if self.running > 1:
                return
            _flush()
            try:
                self.kept = os.dup(_STDOUT)
            except OSError:
                # There is no standard output that could be spoilt.
                self.kept = -1
                return
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, _STDOUT)
            os.close(nowhere)

    def end(self) -> None:
        """Lead it back when the last solver is done."""
        with self.lock:
            self.running -= 1
            if self.running or self.kept < 0:
                return
            _flush()
            os.dup2(self.kept, _STDOUT)
            os.close(self.kept)
            self.kept = -1


def _flush() -> None:
    """Write out what waits in Python's buffer and in the C library's."""
    if sys.stdout is not None and not sys.stdout.closed:
        sys.stdout.flush()
    _LIBRARY.fflush(None)


_SILENCE = _Silence()


@contextmanager
def silenced() -> Iterator[None]:
    """Nothing that C code prints to standard output within gets there."""
    _SILENCE.begin()
    try:
        yield
    finally:
        _SILENCE.end()
