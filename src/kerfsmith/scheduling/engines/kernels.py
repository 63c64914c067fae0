"""Laying a week out of the order of runs on each saw.

Plain loops over arrays, compiled by numba (`compiling.compiled`). A week is laid step by step: of the saws'
next steps (set-up or load) the one that can start first is placed, as early as hours, crane and people let
it; so every week laid is a week that holds.
"""

from typing import NamedTuple

import numpy as np

from kerfsmith.scheduling.engines.grid import (
    ATT_END,
    BAND,
    CRANE,
    CRANES,
    CUT,
    DUE,
    FAR,
    FIRST_LOAD,
    HAND,
    MOST_MOVES,
    MOUNTED,
    N_LOADS,
    NEXT_ATT,
    NEXT_RUN,
    OLD_RANK,
    OLD_SAW,
    OVERTIME,
    PIN_START,
    RELEASE,
    RUN_END,
    SAFE,
    TENDING,
    WEIGHT,
    Grid,
    Ints,
)

PERSON = 100
NEVER = -1
ANY = -1

# Places in a row of values, as in `grid.AIM_PLACE`.
BROKEN, TARDY, LATE, WORST, COMPLETION, MAKESPAN, HOURS, CHANGES, MOVES = range(9)
N_VALUES = 9
# Rows of `Laid.when`, by run.
SET_UP_AT, END_AT = range(2)
# Rows of `Laid.use`, by tick: cranes at work, hundredths of people at work.
LIFTING, MINDING = range(2)
# Columns of where the saws stand; STEP -1 is the set-up, else which load; FROM: when the next step can start.
# KNOWN: FROM still holds.
FREE, PLACE, STEP, ON, FROM, KNOWN = range(6)


class Laid(NamedTuple):
    """Room for one week: its order, its values, and when everything happens."""

    seq: Ints
    """[m, place]: run."""
    sizes: Ints
    values: Ints
    when: Ints
    load_at: Ints
    use: Ints
    reach: Ints
    """One entry: up to where `use` may hold what an earlier laying left there."""


def room_for(grid: Grid) -> Laid:
    """An empty week."""
    n_runs, n_saws = grid.options.shape[:2]
    return Laid(
        np.zeros((n_saws, n_runs), dtype=np.int64),
        np.zeros(n_saws, dtype=np.int64),
        np.zeros(N_VALUES, dtype=np.int64),
        np.full((2, n_runs), NEVER, dtype=np.int64),
        np.full(len(grid.loads), NEVER, dtype=np.int64),
        np.zeros((2, grid.horizon + 1), dtype=np.int64),
        np.zeros(1, dtype=np.int64),
    )


def fit(
    hours: Ints, crew: Ints, use: Ints, cranes: int, m: int, t: int,
    crane: int, hand: int, cut: int, safe: int, tend: int,
) -> int:  # fmt: skip
    """First tick from t on at which hours, crane and people allow the step on saw m; NEVER for none."""
    manned = crane + hand + (0 if safe else cut)
    whole = crane + hand + cut
    horizon = hours.shape[2] - 1
    while True:
        t = hours[NEXT_ATT, m, t] if manned > 0 else hours[NEXT_RUN, m, t]
        if t >= horizon:
            return NEVER
        if manned > 0 and hours[ATT_END, m, t] < t + manned:
            t = hours[ATT_END, m, t]
            continue
        if hours[RUN_END, m, t] < t + whole:
            t = hours[RUN_END, m, t]
            continue
        clash = NEVER
        for k in range(t, t + crane):
            if use[LIFTING, k] >= cranes:
                clash = k
        if len(crew) > 1:
            hands = t + crane + hand
            for k in range(t, hands):
                if use[MINDING, k] + PERSON > crew[k]:
                    clash = max(clash, k)
            if tend > 0:
                for k in range(hands, t + whole):
                    if use[MINDING, k] + tend > crew[k]:
                        clash = max(clash, k)
        if clash == NEVER:
            return t
        t = clash + 1


def longest_rising(ranks: Ints, n: int) -> int:
    """Length of the longest rising row in ranks[:n] (patience sorting)."""
    tails = np.zeros(n + 1, dtype=np.int64)
    length = 0
    for k in range(n):
        low, high = 0, length
        while low < high:
            mid = (low + high) // 2
            if tails[mid] < ranks[k]:
                low = mid + 1
            else:
                high = mid
        tails[low] = ranks[k]
        if low == length:
            length += 1
    return length


def moved(runs: Ints, seq: Ints, count: Ints) -> int:
    """Runs of the week before that were taken from their place."""
    taken = 0
    ranks = np.zeros(len(runs), dtype=np.int64)
    for m in range(len(count)):
        n = 0
        for k in range(count[m]):
            r = seq[m, k]
            if runs[r, OLD_RANK] >= 0:
                taken += 1
                if runs[r, OLD_SAW] == m:
                    ranks[n] = runs[r, OLD_RANK]
                    n += 1
        taken -= longest_rising(ranks, n)
    return taken


def close_run(run: Ints, values: Ints, end: int) -> None:
    """Count what the run's end is worth."""
    values[COMPLETION] += run[WEIGHT] * end
    values[MAKESPAN] = max(values[MAKESPAN], end)
    if run[DUE] < FAR:
        late = end - run[DUE]
        values[WORST] = max(values[WORST], late)
        if late > 0:
            values[TARDY] += run[WEIGHT] * late
            values[LATE] += run[WEIGHT]


def look(
    hours: Ints, crew: Ints, use: Ints, cranes: int, loads: Ints, run: Ints, option: Ints,
    m: int, stand: Ints, ticks: int,
) -> int:  # fmt: skip
    """When saw m's next step can start: a set-up of `ticks`, or the next load of `run`."""
    t = max(stand[FROM], stand[FREE])
    if stand[STEP] < 0:
        return fit(hours, crew, use, cranes, m, t, 0, ticks, 0, 0, 0)
    k = option[FIRST_LOAD] + stand[STEP]
    if stand[STEP] == 0:
        t = max(t, run[RELEASE], run[PIN_START])
    crane, hand, cut = loads[k, CRANE], loads[k, HAND], loads[k, CUT]
    return fit(hours, crew, use, cranes, m, t, crane, hand, cut, run[SAFE], option[TENDING])


def forget(stand: Ints, end: int, reach: Ints) -> None:
    """After a step up to `end` is placed: what would start before then must be looked for anew."""
    reach[0] = max(reach[0], end)
    for m in range(len(stand)):
        if stand[m, FROM] < end:
            stand[m, KNOWN] = 0


def lay(grid: Grid, week: Laid) -> None:
    """Lay the week of `week.seq[m, :week.sizes[m]]`; everything else in `week` is filled.

    A run that misses the tick it is pinned to, and one that finds no hours before the horizon, break the
    week.
    """
    hours, options, loads, runs, set_up, saws, crew, figures = grid
    seq, count, values, when, load_at, use, reach = week
    n_saws, fresh = len(count), set_up.shape[2]
    cranes = figures[CRANES]
    limited = len(crew) > 1
    values[:] = 0
    values[WORST] = -FAR
    use[:, : reach[0]] = 0
    reach[0] = 0
    stand = np.zeros((n_saws, 6), dtype=np.int64)
    unused = np.ones((n_saws, fresh), dtype=np.int64)
    ready = np.zeros(n_saws, dtype=np.int64)
    for m in range(n_saws):
        stand[m, STEP] = -1
        stand[m, ON] = saws[m, MOUNTED]
    while True:
        chosen = NEVER
        for m in range(n_saws):
            if stand[m, PLACE] >= count[m]:
                continue
            if stand[m, KNOWN]:
                if chosen == NEVER or stand[m, FROM] < stand[chosen, FROM]:
                    chosen = m
                continue
            r = seq[m, stand[m, PLACE]]
            if stand[m, STEP] < 0:
                b = options[r, m, BAND]
                ready[m] = set_up[m, stand[m, ON], b] + unused[m, b] * set_up[m, fresh, b]
                if ready[m] == 0:
                    when[SET_UP_AT, r] = NEVER
                    stand[m, STEP] = 0
            found = look(hours, crew, use, cranes, loads, runs[r], options[r, m], m, stand[m], ready[m])
            if found == NEVER:
                values[BROKEN] += 1000 * (count[m] - stand[m, PLACE])
                for k in range(stand[m, PLACE], count[m]):
                    when[END_AT, seq[m, k]] = figures[0]
                stand[m, PLACE] = count[m]
                continue
            stand[m, FROM] = found
            stand[m, KNOWN] = 1
            if chosen == NEVER or found < stand[chosen, FROM]:
                chosen = m
        if chosen == NEVER:
            break
        m = chosen
        t = stand[m, FROM]
        r = seq[m, stand[m, PLACE]]
        stand[m, FROM] = 0
        stand[m, KNOWN] = 0
        if stand[m, STEP] < 0:
            when[SET_UP_AT, r] = t
            for k in range(t, t + ready[m]):
                use[MINDING, k] += PERSON
            stand[m, FREE] = t + ready[m]
            forget(stand, t + ready[m], reach)
            values[HOURS] += ready[m]
            stand[m, STEP] = 0
            continue
        load = options[r, m, FIRST_LOAD] + stand[m, STEP]
        lifted = t + loads[load, CRANE]
        hands = lifted + loads[load, HAND]
        end = hands + loads[load, CUT]
        load_at[load] = t
        for k in range(t, lifted):
            use[LIFTING, k] += 1
        if limited:
            for k in range(t, hands):
                use[MINDING, k] += PERSON
            for k in range(hands, end):
                use[MINDING, k] += options[r, m, TENDING]
        stand[m, FREE] = end
        forget(stand, end, reach)
        values[HOURS] += end - t
        if stand[m, STEP] == 0:
            b = options[r, m, BAND]
            if runs[r, PIN_START] != ANY:
                values[BROKEN] += abs(t - runs[r, PIN_START])
            if stand[m, ON] != b:
                values[CHANGES] += 1
            stand[m, ON] = b
            unused[m, b] = 0
        stand[m, STEP] += 1
        if stand[m, STEP] == options[r, m, N_LOADS]:
            when[END_AT, r] = end
            close_run(runs[r], values, end)
            stand[m, PLACE] += 1
            stand[m, STEP] = -1
    if values[WORST] == -FAR:
        values[WORST] = 0
    values[HOURS] += figures[OVERTIME]
    values[MOVES] = moved(runs, seq, count)
    values[BROKEN] += max(0, values[MOVES] - figures[MOST_MOVES])


def better(values: Ints, other: Ints, order: Ints) -> int:
    """Below 0 where `values` is better than `other`, above where it is worse; aims in `order`."""
    for k in order:
        if values[k] != other[k]:
            return -1 if values[k] < other[k] else 1
    return 0
