"""Changing the order of runs for the better, a step at a time; compiled by numba.

Source of the search: Burke and Bykov, "The late acceptance hill-climbing heuristic" (European Journal of
Operational Research 258, 2017). It only compares weeks, so that aims in order need no weights between them.
"""

import numpy as np

from kerfsmith.scheduling.engines.grid import BAND, DUE, FIXED, Grid, Ints
from kerfsmith.scheduling.engines.kernels import END_AT, Laid, better, lay

SWAP_SHARE = 0.35
BLOCK_SHARE = 0.2
LONGEST_BLOCK = 6


def pick(grid: Grid, week: Laid) -> tuple[int, int]:
    """A run that may be moved, every other time one that is late where some tries find one; (-1, -1) for
    none.
    """
    free = 0
    for m in range(len(week.sizes)):
        free += week.sizes[m] - grid.saws[m, FIXED]
    if free < 1:
        return -1, -1
    tries = 1 if np.random.random() < 0.5 else 6
    at, k = -1, -1
    for _ in range(tries):
        left = np.random.randint(free)
        for m in range(len(week.sizes)):
            here = week.sizes[m] - grid.saws[m, FIXED]
            if left < here:
                at, k = m, grid.saws[m, FIXED] + left
                break
            left -= here
        r = week.seq[at, k]
        if week.when[END_AT, r] > grid.runs[r, DUE]:
            break
    return at, k


def swap(grid: Grid, week: Laid, trial: Laid, m: int, k: int) -> bool:
    """Let the run at place k of saw m and another change places."""
    other = np.random.randint(len(week.sizes))
    free = week.sizes[other] - grid.saws[other, FIXED]
    if free < 1:
        return False
    j = grid.saws[other, FIXED] + np.random.randint(free)
    a, b = week.seq[m, k], week.seq[other, j]
    if a == b or grid.options[a, other, BAND] < 0 or grid.options[b, m, BAND] < 0:
        return False
    trial.seq[m, k] = b
    trial.seq[other, j] = a
    return True


def shift(grid: Grid, week: Laid, trial: Laid, m: int, k: int, width: int) -> bool:
    """Put `width` runs from place k of saw m elsewhere."""
    target = m if np.random.random() < 0.5 else np.random.randint(len(week.sizes))
    span = week.sizes[target] - grid.saws[target, FIXED] - (width if target == m else 0) + 1
    if span < 1:
        return False
    to = grid.saws[target, FIXED] + np.random.randint(span)
    if target == m and to == k:
        return False
    return put_at(grid, week, trial, m, k, width, target, to)


def put_at(grid: Grid, week: Laid, trial: Laid, m: int, k: int, width: int, target: int, to: int) -> bool:
    """Take `width` runs from place k of saw m and put them at place `to` of saw `target`, where it may
    take them.
    """
    for j in range(width):
        if grid.options[week.seq[m, k + j], target, BAND] < 0:
            return False
    for j in range(k, week.sizes[m] - width):
        trial.seq[m, j] = week.seq[m, j + width]
    trial.sizes[m] = week.sizes[m] - width
    for j in range(trial.sizes[target] - 1, to - 1, -1):
        trial.seq[target, j + width] = trial.seq[target, j]
    for j in range(width):
        trial.seq[target, to + j] = week.seq[m, k + j]
    trial.sizes[target] += width
    return True


def change(grid: Grid, week: Laid, trial: Laid) -> bool:
    """Put a random neighbour of the week's order into `trial`; whether there is one."""
    trial.seq[:] = week.seq
    trial.sizes[:] = week.sizes
    m, k = pick(grid, week)
    if m < 0:
        return False
    kind = np.random.random()
    if kind < SWAP_SHARE:
        return swap(grid, week, trial, m, k)
    width = 1
    if kind > 1 - BLOCK_SHARE:
        width = 1 + np.random.randint(min(LONGEST_BLOCK, week.sizes[m] - k))
    return shift(grid, week, trial, m, k, width)


def copy_week(source: Laid, target: Laid) -> None:
    """Order, values and times of the runs of one week into the other."""
    target.seq[:] = source.seq
    target.sizes[:] = source.sizes
    target.values[:] = source.values
    target.when[:] = source.when


def descend(
    grid: Grid, week: Laid, trial: Laid, best: Laid, history: Ints, order: Ints, steps: int, seed: int
) -> None:
    """Try `steps` neighbours from `week`, which wanders on; the best ever seen is kept in `best`."""
    np.random.seed(seed)
    lay(grid, week)
    for step in range(steps):
        if not change(grid, week, trial):
            continue
        lay(grid, trial)
        slot = step % len(history)
        if better(trial.values, week.values, order) <= 0 or better(trial.values, history[slot], order) < 0:
            copy_week(trial, week)
            if better(week.values, best.values, order) < 0:
                copy_week(week, best)
        if better(week.values, history[slot], order) < 0:
            history[slot] = week.values


def shake(grid: Grid, week: Laid, trial: Laid, best: Laid, times: int, seed: int) -> None:
    """Go back to `best` and change its order `times` times, whatever comes of it."""
    np.random.seed(seed)
    copy_week(best, week)
    for _ in range(times):
        if change(grid, week, trial):
            copy_week(trial, week)
    lay(grid, week)


def best_move(grid: Grid, week: Laid, trial: Laid, best: Laid, order: Ints) -> int:
    """Put into `best` the best week that one run taken elsewhere makes of `week`; how many were tried."""
    tried = 0
    n_saws = len(week.sizes)
    for m in range(n_saws):
        for k in range(grid.saws[m, FIXED], week.sizes[m]):
            for target in range(n_saws):
                for to in range(grid.saws[target, FIXED], week.sizes[target] + (0 if target == m else 1)):
                    if target == m and to == k:
                        continue
                    trial.seq[:] = week.seq
                    trial.sizes[:] = week.sizes
                    if not put_at(grid, week, trial, m, k, 1, target, to):
                        continue
                    lay(grid, trial)
                    tried += 1
                    if better(trial.values, best.values, order) < 0:
                        copy_week(trial, best)
    return tried
