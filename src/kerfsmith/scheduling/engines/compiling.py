"""The kernels compiled by numba, once in a process and kept on disk from the first time on."""

import importlib
from collections.abc import Callable
from typing import Any

_PARTS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "kernels",
        (
            "fit",
            "longest_rising",
            "moved",
            "close_run",
            "count_pieces",
            "look",
            "forget",
            "give_up",
            "make_ready",
            "take_up",
            "begin_run",
            "lay",
            "better",
        ),
    ),
    (
        "neighbours",
        (
            "better",
            "lay",
            "pick",
            "swap",
            "put_at",
            "shift",
            "change",
            "copy_week",
            "descend",
            "shake",
            "best_move",
        ),
    ),
    ("pricing", ("fit", "fill_ends", "cost_at", "pay")),
)
_compiled: dict[str, Callable[..., Any]] = {}


def compiled(name: str) -> Callable[..., Any]:
    """The kernel of that name in machine code."""
    if not _compiled:
        numba = importlib.import_module("numba")
        for short, names in _PARTS:
            module = importlib.import_module(f"kerfsmith.scheduling.engines.{short}")
            for part in names:
                # A kernel finds the kernels that it calls by their names in its module.
                if part not in _compiled:
                    compile_part = numba.njit(cache=True, nogil=True)
                    _compiled[part] = compile_part(getattr(module, part))
                setattr(module, part, _compiled[part])
    return _compiled[name]
