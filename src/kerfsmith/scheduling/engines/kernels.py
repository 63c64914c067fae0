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
    FAR,
    FIRST_LOAD,
    FIRST_WANTED,
    HAND,
    HORIZON,
    MOST_MOVES,
    MOUNTED,
    N_LOADS,
    N_WANTED,
    NEXT_ATT,
    NEXT_RUN,
    OLD_RANK,
    OLD_SAW,
    OVERTIME,
    PIECES,
    PIN_START,
    RELEASE,
    RUN_END,
    SAFE,
    TENDING,
    WANTED_BY,
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
# KNOWN: FROM still holds. READY: ticks of the set-up before the run that is next.
FREE, PLACE, STEP, ON, FROM, KNOWN, READY = range(7)


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


def count_pieces(load: Ints, wanted: Ints, values: Ints, end: int) -> None:
    """Count how late the pieces of a load are that ends at `end`."""
    for n in range(load[FIRST_WANTED], load[FIRST_WANTED] + load[N_WANTED]):
        late = end - wanted[n, WANTED_BY]
        values[WORST] = max(values[WORST], late)
        if late > 0:
            values[TARDY] += wanted[n, PIECES] * late
            values[LATE] += wanted[n, PIECES]


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


def give_up(grid_row: Ints, sizes: Ints, when: Ints, values: Ints, horizon: int, place: Ints, m: int) -> None:
    """No hours are left on saw m: what is still to come there breaks the week."""
    values[BROKEN] += 1000 * (sizes[m] - place[PLACE])
    for k in range(place[PLACE], sizes[m]):
        when[END_AT, grid_row[k]] = horizon
    place[PLACE] = sizes[m]


def make_ready(set_up: Ints, unused: Ints, stand: Ints, b: int) -> int:
    """Ticks before a run with band b: the change to it, and breaking it in where it is `unused` here."""
    stand[READY] = set_up[stand[ON], b] + unused[b] * set_up[len(set_up) - 1, b]
    if stand[READY] == 0:
        stand[STEP] = 0
    ticks: int = stand[READY]
    return ticks


def take_up(use: Ints, limited: int, t: int, lifted: int, hands: int, end: int, tending: int) -> None:
    """Crane and people that a load ties up."""
    for tick in range(t, lifted):
        use[LIFTING, tick] += 1
    if limited:
        for tick in range(t, hands):
            use[MINDING, tick] += PERSON
        for tick in range(hands, end):
            use[MINDING, tick] += tending


def begin_run(run: Ints, option: Ints, values: Ints, stand: Ints, unused: Ints, t: int) -> None:
    """Count what the run's beginning at t is worth: its pin, and a band change."""
    if run[PIN_START] != ANY:
        values[BROKEN] += abs(t - run[PIN_START])
    if stand[ON] != option[BAND]:
        values[CHANGES] += 1
    stand[ON] = option[BAND]
    unused[option[BAND]] = 0


def lay(grid: Grid, week: Laid) -> None:
    """Lay the week of `week.seq[m, :week.sizes[m]]`; everything else in `week` is filled.

    A run that misses the tick it is pinned to, and one that finds no hours before the horizon, break the
    week. One long loop on purpose: taking it apart further doubles its time.
    """
    hours, options, loads, wanted, runs, set_up, saws, crew, figures = grid
    seq, count, values, when, load_at, use, reach = week
    n_saws = len(count)
    values[:] = 0
    values[WORST] = -FAR
    use[:, : reach[0]] = 0
    reach[0] = 0
    stand = np.zeros((n_saws, 7), dtype=np.int64)
    unused = np.ones((n_saws, set_up.shape[2]), dtype=np.int64)
    stand[:, STEP] = -1
    stand[:, ON] = saws[:, MOUNTED]
    while True:
        chosen = NEVER
        for m in range(n_saws):
            if stand[m, PLACE] >= count[m]:
                continue
            if not stand[m, KNOWN]:
                r = seq[m, stand[m, PLACE]]
                if stand[m, STEP] < 0 and not make_ready(set_up[m], unused[m], stand[m], options[r, m, BAND]):
                    when[SET_UP_AT, r] = NEVER
                found = look(
                    hours, crew, use, figures[CRANES], loads, runs[r], options[r, m], m, stand[m],
                    stand[m, READY],
                )  # fmt: skip
                if found == NEVER:
                    give_up(seq[m], count, when, values, figures[HORIZON], stand[m], m)
                    continue
                stand[m, FROM] = found
                stand[m, KNOWN] = 1
            if chosen == NEVER or stand[m, FROM] < stand[chosen, FROM]:
                chosen = m
        if chosen == NEVER:
            break
        m, t = chosen, stand[chosen, FROM]
        r = seq[m, stand[m, PLACE]]
        stand[m, FROM] = 0
        stand[m, KNOWN] = 0
        if stand[m, STEP] < 0:
            end = t + stand[m, READY]
            when[SET_UP_AT, r] = t
            take_up(use, 1, t, t, end, end, 0)
            stand[m, STEP] = 0
        else:
            k = options[r, m, FIRST_LOAD] + stand[m, STEP]
            lifted = t + loads[k, CRANE]
            hands = lifted + loads[k, HAND]
            end = hands + loads[k, CUT]
            load_at[k] = t
            take_up(use, len(crew) > 1, t, lifted, hands, end, options[r, m, TENDING])
            count_pieces(loads[k], wanted, values, end)
            if stand[m, STEP] == 0:
                begin_run(runs[r], options[r, m], values, stand[m], unused[m], t)
            stand[m, STEP] += 1
            if stand[m, STEP] == options[r, m, N_LOADS]:
                when[END_AT, r] = end
                close_run(runs[r], values, end)
                stand[m, PLACE] += 1
                stand[m, STEP] = -1
        stand[m, FREE] = end
        forget(stand, end, reach)
        values[HOURS] += end - t
    values[WORST] = 0 if values[WORST] == -FAR else values[WORST]
    values[HOURS] += figures[OVERTIME]
    values[MOVES] = moved(runs, seq, count)
    values[BROKEN] += max(0, values[MOVES] - figures[MOST_MOVES])


def better(values: Ints, other: Ints, order: Ints) -> int:
    """Below 0 where `values` is better than `other`, above where it is worse; aims in `order`."""
    for k in order:
        if values[k] != other[k]:
            return -1 if values[k] < other[k] else 1
    return 0
