"""A search of the integer solver held to the seconds it was given and to a wish from outside."""

from collections.abc import Callable
from typing import Any

PRESOLVE_S_AT_10_000 = 1.1
"""What reductions before the search take at 10,000 columns of a pattern model, growing with their square.

Measured once (HiGHS 1.12, 30,000 patterns of 25 sizes): 10 s of processor time, in which neither the time
limit nor an interrupt is heeded; without them the limit was kept to 0.2 s, and the LP was as quick.
"""
PRESOLVE_SHARE = 0.25
"""Reductions may take so much of the time there is; where they would take more they are left out."""


def keep_time(
    model: Any,
    seconds: float | None,
    columns: int,
    is_over: Callable[[], bool],
    clock_seconds: float | None = None,
) -> None:
    """End `model`'s search after `seconds` (None: no limit) by the wall, or once ``is_over`` says so.

    ``is_over`` is asked between steps of the search and may go by another clock, such as one of work done.
    ``clock_seconds``: how long by the wall, where ``seconds`` are of such another clock.
    """
    if seconds is not None:
        wall = seconds if clock_seconds is None else clock_seconds
        model.setOptionValue("time_limit", max(0.01, wall))
        if PRESOLVE_S_AT_10_000 * (columns / 10_000) ** 2 > PRESOLVE_SHARE * seconds and columns > 2_000:
            model.setOptionValue("presolve", "off")
    model.cbMipInterrupt.subscribe(lambda event: event.interrupt() if is_over() else None)
