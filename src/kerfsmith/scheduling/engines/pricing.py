"""A proof of how late a week must be: saws' ticks are priced, and every run pays for those it takes.

Each run alone picks the saw and start at which its own lateness and the ticks it covers cost least
together; the sum less the price of all ticks is never above what the best week costs, whatever the prices
(Lagrangian relaxation of "one run at a time on each saw"). Prices rise where runs crowd. Crane, people,
set-ups and the opening of overtime are left out, which can only lower the bound.

Sources: Fisher, "Optimal solution of scheduling problems using Lagrange multipliers" (Operations Research
21, 1973); Held, Wolfe and Crowder, "Validation of subgradient optimization" (Mathematical Programming 6,
1974).
"""

import math

import numpy as np
import numpy.typing as npt

from kerfsmith.nesting.stop import Watch
from kerfsmith.scheduling.engines.compiling import compiled
from kerfsmith.scheduling.engines.grid import (
    BAND,
    CRANE,
    CUT,
    DUE,
    FAR,
    FIRST_LOAD,
    HAND,
    N_LOADS,
    RELEASE,
    SAFE,
    WEIGHT,
    Grid,
    Ints,
)
from kerfsmith.scheduling.engines.kernels import COMPLETION, LATE, NEVER, TARDY, fit

Floats = npt.NDArray[np.float64]

PRICED = (TARDY, LATE, COMPLETION)
NO_END = 1 << 40


def fill_ends(grid: Grid, cut_off: int, ends: Ints) -> None:
    """ends[r, m, t]: when run r is done on an empty saw m with its first load at t; NO_END where it can't
    start.

    The last entry stands for every start from `cut_off` on and holds the earliest of their ends.
    """
    free = np.zeros((2, grid.hours.shape[2]), dtype=np.int64)
    nobody = np.zeros(1, dtype=np.int64)
    n_runs, n_saws = grid.options.shape[0], grid.options.shape[1]
    for r in range(n_runs):
        for m in range(n_saws):
            ends[r, m, :] = NO_END
            if grid.options[r, m, BAND] < 0:
                continue
            t = grid.runs[r, RELEASE]
            while t < grid.hours.shape[2]:
                first = NEVER
                end = t
                for j in range(grid.options[r, m, N_LOADS]):
                    k = grid.options[r, m, FIRST_LOAD] + j
                    crane, hand, cut = grid.loads[k, CRANE], grid.loads[k, HAND], grid.loads[k, CUT]
                    at = fit(grid.hours, nobody, free, 1, m, end, crane, hand, cut, grid.runs[r, SAFE], 0)
                    if at == NEVER:
                        first = NEVER
                        break
                    if j == 0:
                        first = at
                    end = at + crane + hand + cut
                if first == NEVER:
                    break
                if first >= cut_off:
                    ends[r, m, cut_off] = end
                    break
                ends[r, m, first] = end
                t = first + 1


def cost_at(runs: Ints, r: int, end: int, kind: int) -> int:
    """What run r adds to the aim when it is done at `end`."""
    weight: int = runs[r, WEIGHT]
    due: int = runs[r, DUE]
    if kind == COMPLETION:
        return weight * end
    if due >= FAR or end <= due:
        return 0
    return weight * (end - due) if kind == TARDY else weight


def pay(runs: Ints, ends: Ints, paid: Floats, kind: int, use: Floats) -> float:
    """What all runs pay together at their cheapest, and in `use` the ticks they cover.

    `paid[m, t]` is the price of saw m's ticks before t.
    """
    n_runs, n_saws, n_ticks = ends.shape
    total = 0.0
    use[:] = 0.0
    for r in range(n_runs):
        least, on, start, stop = 1e300, 0, 0, 0
        for m in range(n_saws):
            for t in range(n_ticks):
                end = ends[r, m, t]
                if end == NO_END:
                    continue
                upto = min(end, n_ticks)
                price = cost_at(runs, r, end, kind) + paid[m, upto] - paid[m, min(t, upto)]
                if price < least:
                    least, on, start, stop = price, m, t, upto
        total += least
        for t in range(start, stop):
            use[on, t] += 1.0
    return total


def price_bound(grid: Grid, kind: int, value: int, cut_off: int, *, rounds: int, watch: Watch) -> int:
    """A proven least for the aim `kind` (one of PRICED), where a week of `value` is known.

    `cut_off` is a tick from which on the saws' ticks cost nothing; `rounds` how often prices are changed.
    """
    n_runs, n_saws = grid.options.shape[:2]
    cut_off = min(cut_off, grid.horizon)
    ends = np.zeros((n_runs, n_saws, cut_off + 1), dtype=np.int64)
    compiled("fill_ends")(grid, cut_off, ends)
    price = np.zeros((n_saws, cut_off + 1))
    use = np.zeros_like(price)
    best, step, since = 0.0, 1.0, 0
    for _ in range(rounds):
        paid = np.concatenate([np.zeros((n_saws, 1)), np.cumsum(price, axis=1)], axis=1)
        total = float(compiled("pay")(grid.runs, ends, paid, kind, use)) - float(price.sum())
        if total > best + 1e-9 * max(1.0, abs(best)):
            best, since = total, 0
        else:
            since += 1
        if since == 20:
            step, since = step / 2, 0
        over = use - 1.0
        over[:, cut_off] = 0.0
        over[(price == 0.0) & (over < 0.0)] = 0.0
        size = float((over * over).sum())
        if size == 0.0 or whole(best) >= value or watch.is_over or step < 1e-4:
            break
        price = np.maximum(0.0, price + step * max(1.0, value - total) / size * over)
    return whole(best)


def whole(bound: float) -> int:
    """A bound on a whole number, rounded up; a millionth is left for what floating point may have added."""
    return math.ceil(bound - 1e-6 * max(1.0, abs(bound)))
