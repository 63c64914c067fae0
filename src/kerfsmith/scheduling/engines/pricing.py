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
from kerfsmith.scheduling.engines.kernels import COMPLETION, END_AT, LATE, MAKESPAN, NEVER, TARDY, Laid, fit

Floats = npt.NDArray[np.float64]

PRICED = (TARDY, LATE, COMPLETION)
NO_END = 1 << 40
FIRST_STEP = 0.2
MIXING = 0.02
PATIENCE = 10
MOST_ROUNDS = 3_000
FIRST_SHARES = tuple(0.75**k for k in range(24))


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


def price_bound(grid: Grid, week: Laid, kind: int, *, starts: int, watch: Watch) -> int:
    """A proven least for the aim `kind` (one of PRICED); `starts` is how many starts of runs are priced.

    `week` is a laid week: prices begin from where it presses, and from its end on ticks cost nothing.
    """
    value = int(week.values[kind])
    cut_off = min(int(week.values[MAKESPAN]) + 1, grid.horizon)
    n_runs, n_saws = grid.options.shape[:2]
    ends = np.zeros((n_runs, n_saws, cut_off + 1), dtype=np.int64)
    compiled("fill_ends")(grid, cut_off, ends)
    first_price = pressure(grid, week, cut_off)
    pay_all = compiled("pay")
    use = np.zeros((n_saws, cut_off + 1))
    best, best_price = 0.0, np.zeros_like(use)
    pay_all(grid.runs, ends, _paid(best_price), kind, use)
    for share in FIRST_SHARES:
        if watch.is_over:
            break
        price = first_price * share
        total = float(pay_all(grid.runs, ends, _paid(price), kind, use)) - float(price.sum())
        if total > best:
            best, best_price = total, price
    pay_all(grid.runs, ends, _paid(best_price), kind, use)
    crowd, step, since = use.copy(), FIRST_STEP, 0
    for _ in range(min(MOST_ROUNDS, starts // ends.size)):
        if whole(best) >= value or watch.is_over:
            break
        over = crowd - 1.0
        over[:, cut_off] = 0.0
        over[(best_price == 0.0) & (over < 0.0)] = 0.0
        size = float((over * over).sum())
        if size < 1e-9:
            break
        price = np.maximum(0.0, best_price + step * max(1.0, 1.02 * value - best) / size * over)
        total = float(pay_all(grid.runs, ends, _paid(price), kind, use)) - float(price.sum())
        crowd += MIXING * (use - crowd)
        if total > best:
            best, best_price, since = total, price, 0
            step = min(2.0, step * 1.1)
        else:
            since += 1
            if since % PATIENCE == 0:
                step *= 0.66
        if step < 1e-5:
            break
    return whole(best)


def pressure(grid: Grid, week: Laid, cut_off: int) -> Floats:
    """[m, t]: weight of what the week has on saw m that ends late after t: what one more tick there would
    save.
    """
    found = np.zeros((len(week.sizes), cut_off + 1))
    for m, size in enumerate(week.sizes):
        for r in week.seq[m, :size]:
            end = int(week.when[END_AT, r])
            if end > grid.runs[r, DUE] or grid.runs[r, DUE] >= FAR:
                found[m, : min(end, cut_off)] += grid.runs[r, WEIGHT]
    found[:, cut_off] = 0.0
    return found


def _paid(price: Floats) -> Floats:
    """Price of each saw's ticks before t."""
    return np.concatenate([np.zeros((len(price), 1)), np.cumsum(price, axis=1)], axis=1)


def whole(bound: float) -> int:
    """A bound on a whole number, rounded up; a millionth is left for what floating point may have added."""
    return math.ceil(bound - 1e-6 * max(1.0, abs(bound)))
