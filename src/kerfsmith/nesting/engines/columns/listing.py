"""Listing every pattern that a plan within the target could still use."""

import importlib
from collections.abc import Sequence
from itertools import pairwise
from math import nextafter
from typing import Any

from kerfsmith.nesting.engines.columns.compiling import compiled
from kerfsmith.nesting.engines.columns.pricing import Duals
from kerfsmith.nesting.engines.columns.problem import Column, Problem


def suffix_lists(
    sizes: Any, values: Any, copies: Any, capacity: int, start: Any, length: Any, value: Any
) -> bool:
    """For each item, the undominated (length, value) states of the items from it on; False when out of room.

    States of items j.. stand in `length`/`value` from `start[j]` to `start[j + 1]`, stored from the last
    item back: block `m - j` is written after block `m - j - 1`.
    """
    m = len(sizes)
    room = len(length)
    length[0] = 0
    value[0] = 0
    start[0] = 0
    start[1] = 1
    at = 1
    for block in range(1, m + 1):
        j = m - block
        size = sizes[j]
        worth = values[j]
        low = start[block - 1]
        high = start[block]
        # states with 0..copies of item j on top of each state before, merged copy by copy
        first = at
        if at + (high - low) > room:
            return False
        for s in range(low, high):
            length[at] = length[s]
            value[at] = value[s]
            at += 1
        for _ in range(copies[j]):
            # merge [first, at) with itself shifted by one piece; the result replaces it
            n = at - first
            if at + 2 * n > room:
                return False
            a = first
            b = first
            top = -1
            out = at
            while a < at or b < at:
                la = length[a] if a < at else capacity + 1
                lb = length[b] + size if b < at else capacity + 1
                if la > capacity and lb > capacity:
                    break
                if la < lb or (la == lb and value[a] >= value[b] + worth):
                    if value[a] > top:
                        top = value[a]
                        length[out] = la
                        value[out] = top
                        out += 1
                    a += 1
                else:
                    if value[b] + worth > top:
                        top = value[b] + worth
                        length[out] = lb
                        value[out] = top
                        out += 1
                    b += 1
            for s in range(out - at):
                length[first + s] = length[at + s]
                value[first + s] = value[at + s]
            at = first + (out - at)
        start[block + 1] = at
    return True


def list_patterns(
    sizes: Any,
    values: Any,
    copies: Any,
    capacity: int,
    needs: Any,
    start: Any,
    length: Any,
    value: Any,
    ratios: Any,
    chosen: Any,
    worths: Any,
    out: Any,
    most: int,
    steps: int,
) -> tuple[int, int]:
    """Write each pattern on a bar of `capacity` whose worth under every set of duals is at least its need.

    `values[r, j]`, `needs[r]`; set 0 is cut by the exact lists of `suffix_lists`, the others by the best
    ratio left (`ratios[r, j]`, float, rounded up). Patterns go to `out` as item + 1 for each piece, 0 at the
    end. How many (-1 when `out` is full or there are more than `most`, -2 when `steps` run out), and how much
    of `out` they take.
    """
    m = len(sizes)
    sets = len(needs)
    room = len(out)
    found = 0
    at_out = 0
    used = 0
    j = 0
    for r in range(sets):
        worths[r, 0] = 0
    going_down = True
    while j >= 0:
        steps -= 1
        if steps < 0:
            return -2, at_out
        if j == m:
            good = True
            for r in range(sets):
                if worths[r, m] < needs[r]:
                    good = False
                    break
            if good:
                if found >= most or at_out + capacity // sizes[m - 1] + 2 > room:
                    return -1, at_out
                for i in range(m):
                    for _ in range(chosen[i]):
                        out[at_out] = i + 1
                        at_out += 1
                out[at_out] = 0
                at_out += 1
                found += 1
            j -= 1
            going_down = False
            continue
        if going_down:
            count = (capacity - used) // sizes[j]
            if count > copies[j]:
                count = copies[j]
            used += count * sizes[j]
        else:
            if chosen[j] == 0:
                j -= 1
                continue
            count = chosen[j] - 1
            used -= sizes[j]
        going_down = False
        # look for the next count, from `count` down, that can still reach every need
        while True:
            left = capacity - used
            able = True
            low = start[m - j - 1]
            high = start[m - j]
            while high - low > 1:
                mid = (low + high) // 2
                if length[mid] <= left:
                    low = mid
                else:
                    high = mid
            if worths[0, j] + count * values[0, j] + value[low] < needs[0]:
                able = False
            else:
                for r in range(1, sets):
                    rest = ratios[r, j + 1] * left
                    if worths[r, j] + count * values[r, j] + rest < needs[r]:
                        able = False
                        break
            if able:
                chosen[j] = count
                for r in range(sets):
                    worths[r, j + 1] = worths[r, j] + count * values[r, j]
                j += 1
                going_down = True
                break
            if count == 0:
                chosen[j] = 0
                j -= 1
                break
            count -= 1
            used -= sizes[j]
    return found, at_out


PLAIN_WORK = 20_000
"""States from which the compiled kernels are worth their start-up."""

SUFFIX_ROOM = 24_000_000
OUT_ROOM = 9_000_000


def size_duals(problem: Problem) -> Duals | None:
    """Duals that pay for length alone (one kind only): they keep patterns whose waste a plan can afford."""
    if len(problem.capacities) > 1 or problem.supplies[0] is not None:
        return None
    return Duals(tuple(s * problem.costs[0] for s in problem.sizes), (0,), problem.capacities[0])


def useful_patterns(
    problem: Problem, filters: Sequence[Duals], target: int, most: int, steps: int = 40_000_000
) -> list[Column] | None:
    """Every pattern that a plan of at most `target` (demand met exactly) can use; None when more than `most`.

    `filters` are proven duals. In a plan within the target the reduced costs of all its patterns
    together are at most the target less the duals' bound, so a pattern of more reduced cost than that
    cannot be in it.
    """
    slack = [target * duals.scale - duals.bound(problem) for duals in filters]
    if min(slack) < 0:
        return []
    found: list[Column] = []
    for kind in range(len(problem.capacities)):
        if problem.costs[kind] > target:
            continue
        needs = [
            problem.costs[kind] * duals.scale + duals.kinds[kind] - room
            for duals, room in zip(filters, slack, strict=True)
        ]
        columns = _patterns_of_kind(problem, kind, filters, needs, most - len(found), steps)
        if columns is None:
            return None
        found.extend(columns)
    return found


def _patterns_of_kind(
    problem: Problem, kind: int, filters: Sequence[Duals], needs: list[int], most: int, steps: int
) -> list[Column] | None:
    raw = _raw_of_kind(problem, kind, filters, needs, most, steps)
    if raw is None:
        return None
    starts, flat = raw[0].tolist(), raw[1].tolist()
    columns: list[Column] = []
    for first, last in pairwise(starts):
        counts: dict[int, int] = {}
        for i in flat[first:last]:
            counts[i] = counts.get(i, 0) + 1
        if counts:
            columns.append((kind, tuple(counts.items())))
    return columns


def _raw_of_kind(
    problem: Problem,
    kind: int,
    filters: Sequence[Duals],
    needs: list[int],
    most: int,
    steps: int,
    suffix_room: int = SUFFIX_ROOM,
) -> tuple[Any, Any] | None:
    np = importlib.import_module("numpy")
    capacity = problem.capacities[kind]
    able = [i for i, size in enumerate(problem.sizes) if size <= capacity]
    sizes = np.array([problem.sizes[i] for i in able], np.int64)
    copies = np.array([min(problem.demands[i], capacity // problem.sizes[i]) for i in able], np.int64)
    values = np.array([[duals.items[i] for i in able] for duals in filters], np.int64)
    m = len(able)
    ratios = np.zeros((len(filters), m + 1), np.float64)
    for r in range(len(filters)):
        for j in range(m - 1, -1, -1):
            ratios[r, j] = max(
                ratios[r, j + 1], nextafter(float(values[r, j]) / float(sizes[j]) * (1 + 1e-12), 1e300)
            )
    large = int(copies.sum()) * min(capacity, 2000) > PLAIN_WORK
    suffix = compiled(suffix_lists) if large else suffix_lists
    lister = compiled(list_patterns) if large else list_patterns
    room = suffix_room if large else 200_000
    start = np.zeros(m + 2, np.int64)
    length, value = np.empty(room, np.int64), np.empty(room, np.int64)
    if not suffix(sizes, values[0], copies, capacity, start, length, value):
        return None
    out = np.empty(OUT_ROOM if large else 400_000, np.int16)
    chosen, worths = np.zeros(m + 1, np.int64), np.zeros((len(filters), m + 1), np.int64)
    count, written = lister(
        sizes, values, copies, capacity, np.array(needs, np.int64), start, length, value, ratios, chosen,
        worths, out, most, steps,
    )  # fmt: skip
    if count < 0:
        return None
    used = out[:written]
    ends = np.flatnonzero(used == 0)
    flat = np.array(able, np.int16)[used[used != 0] - 1]
    starts = np.concatenate(([0], ends - np.arange(len(ends)))).astype(np.int64)
    held = np.concatenate(([True], np.diff(starts) > 0))  # without the pattern that holds nothing
    return starts[held], flat


def list_raw(
    problem: Problem,
    filters: Sequence[Duals],
    target: int,
    most: int,
    steps: int,
    suffix_room: int = SUFFIX_ROOM,
    share: int = 1,
) -> tuple[Any, Any] | None:
    """As `useful_patterns` for one kind, as arrays: starts, and the pieces of all patterns in one run.

    `share`: only those of at most this part of the reduced cost that a pattern can have.
    """
    slack = [target * duals.scale - duals.bound(problem) for duals in filters]
    if min(slack) < 0:
        return None
    needs = [
        problem.costs[0] * duals.scale + duals.kinds[0] - room // share
        for duals, room in zip(filters, slack, strict=True)
    ]
    return _raw_of_kind(problem, 0, filters, needs, most, steps, suffix_room)
