"""Kernels compiled by numba on first need, kept on disk where that can be."""

import importlib
from collections.abc import Callable
from typing import Any

_compiled: dict[str, Callable[..., Any]] = {}


def compiled(kernel: Callable[..., Any]) -> Callable[..., Any]:
    """`kernel` compiled; the same text, so the same results."""
    name = f"{kernel.__module__}.{kernel.__name__}"
    if name not in _compiled:
        numba = importlib.import_module("numba")
        try:
            _compiled[name] = numba.njit(cache=True, nogil=True)(kernel)
        except RuntimeError:  # no place on disk to keep it
            _compiled[name] = numba.njit(nogil=True)(kernel)
    return _compiled[name]
