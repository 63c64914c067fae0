"""A search of the integer solver held to the seconds it was given and to a wish from outside, and kept from
what brings it down."""

from collections.abc import Callable
from typing import Any

import highspy

PRESOLVE_S = 0.5
"""What reductions before the search take for 10,000 columns of a pattern model with 10,000 entries, growing
with the product of both.

Measured with HiGHS 1.12 on made-up models of 3,000 and 8,000 patterns. Entries a pattern, rows: 4 in 25 rows
took 0.19 and 1.27 s of processor time, 8 in 60 rows 0.32 and 2.23 s, as reckoned; 3 in 150 rows took a fifth
of it, each pattern on loads of one to four bars a quarter. Neither the time limit nor an interrupt is heeded
meanwhile; without reductions a limit of half a second was kept to 0.02 s.
"""
PRESOLVE_SHARE = 0.25
"""Reductions may take so much of the time there is; where they would take more they are left out."""

FORCING_ROWS_OFF = 1 << 6
"""Reductions by rows that leave their variables one value only are left out: with coefficients of 10^8 beside
ones HiGHS 1.12 reads past its own rows there (removeRowSingletons) and brings the process down."""

BUSY = 3.0
"""The solver's own limit, by the wall, is so many times the time left: on a machine at other work a clock of
the processor's time runs slower than the wall. ``is_over`` ends a search in time; the wall ends the steps
between its questions."""


def keep_time(
    model: Any,
    seconds: float | None,
    columns: int,
    is_over: Callable[[], bool],
    clock_seconds: float | None = None,
) -> None:
    """End `model`'s search once ``is_over`` says so, and at the latest after ``BUSY`` times `seconds` (None:
    no limit) by the wall, which :func:`ended_by_wall` then tells.

    ``is_over`` is asked between steps of the search and may go by another clock, such as one of work done.
    ``clock_seconds``: how long by the clock, where ``seconds`` are of work done.
    """
    model.setOptionValue("presolve_rule_off", FORCING_ROWS_OFF)
    if seconds is not None:
        wall = seconds if clock_seconds is None else clock_seconds
        model.setOptionValue("time_limit", max(0.01, BUSY * wall))
        reductions = PRESOLVE_S * (columns / 10_000) * (model.getNumNz() / 10_000)
        if reductions > PRESOLVE_SHARE * seconds and columns > 2_000:
            model.setOptionValue("presolve", "off")
    model.cbMipInterrupt.subscribe(lambda event: event.interrupt() if is_over() else None)


def ended_by_wall(model: Any) -> bool:
    """Whether the wall's clock ended the search: on a quicker machine it would have gone on."""
    return bool(model.getModelStatus() == highspy.HighsModelStatus.kTimeLimit)
