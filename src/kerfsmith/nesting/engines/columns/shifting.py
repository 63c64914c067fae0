"""Shifting pieces between bars: a quick search for a plan of a given number of bars.

Some pieces lie aside. Over and over a bar is filled anew from its own pieces and a few of those aside, as
full as can be, and two bars share their pieces out anew so that one of them gets fuller: room gathers until
what lies aside fits in. In the manner of Fleszar and Hindi 2002 (fullest bars) and of Buljubasic and Vasquez
2016 (a partial plan and exchanges with what is left out), with every choice among few pieces tried in full.
"""

import importlib
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from kerfsmith.nesting.engines.columns.compiling import compiled
from kerfsmith.nesting.engines.columns.problem import Column, Plan, Problem, plan_of
from kerfsmith.nesting.engines.columns.run import Run

MOST_PIECES = 4000
MOST_PLACES = 2_000_000
"""Pieces, and bars times pieces on the fullest bar, up to which the search is worth its room."""

CHUNK, LOOKS = 20_000, 10
"""Moves between looks at the clock, and how often meanwhile bars nearly full are noted."""

NEARLY_FULL, MOST_NOTED = 300, 600
"""Bars that leave at most this share of themselves are noted, the fullest ones up to so many."""

FROM_BAR, FROM_ASIDE, FROM_EACH = 8, 4, 6
"""Pieces of a bar and of those aside tried together, and pieces of each of two bars."""

WILD = (30, 100, 15)
"""Exchanges in a thousand that take any share that fits, chunk by chunk."""


def shift_pieces(
    sizes: Any, capacity: int, items: Any, count: Any, load: Any, aside: Any, state: Any,
    pool: Any, sums: Any, kept: Any, moves: int, from_bar: int, from_aside: int, from_each: int, wild: int,
) -> None:  # fmt: skip
    """Up to `moves` moves. `items[b, :count[b]]` are the pieces on bar b, `load[b]` their length,
    `aside[:state[1]]` the pieces left out; `state[0]` is the chance (1..2^31 - 2), both updated.
    """
    bars = len(count)
    chance, out = state[0], state[1]
    for _ in range(moves):
        if out == 0:
            break
        chance = chance * 48271 % 2147483647
        a = chance % bars
        chance = chance * 48271 % 2147483647
        pair = chance % 10 >= 3 and bars > 1
        b = a
        if pair:
            chance = chance * 48271 % 2147483647
            b = chance % (bars - 1)
            if b >= a:
                b += 1
        # some pieces of the bar (and of its partner, or of those aside), drawn to the front of their places
        k = 0
        first = min(count[a], from_each if pair else from_bar)
        base = load[a]
        for x in range(first):
            chance = chance * 48271 % 2147483647
            y = x + chance % (count[a] - x)
            piece = items[a, y]
            items[a, y] = items[a, x]
            items[a, x] = piece
            pool[k] = piece
            base -= sizes[piece]
            k += 1
        if pair:
            second = min(count[b], from_each)
            for x in range(second):
                chance = chance * 48271 % 2147483647
                y = x + chance % (count[b] - x)
                piece = items[b, y]
                items[b, y] = items[b, x]
                items[b, x] = piece
                pool[k] = piece
                k += 1
        else:
            second = min(out, from_aside)
            for x in range(second):
                chance = chance * 48271 % 2147483647
                y = x + chance % (out - x)
                piece = aside[y]
                aside[y] = aside[x]
                aside[x] = piece
                pool[k] = piece
                k += 1
        # the sum of every choice among them
        sums[0] = base
        top = 1
        for j in range(k):
            size = sizes[pool[j]]
            for x in range(top):
                sums[top + x] = sums[x] + size
            top *= 2
        # look at all choices, from a random one on
        now = (1 << first) - 1
        chosen = -1
        chance = chance * 48271 % 2147483647
        shift = chance % top
        if pair:
            total = load[a] + load[b]
            best = max(load[a], load[b])
            chance = chance * 48271 % 2147483647
            any_share = chance % 1000 < wild
            for x in range(top):
                mask = x ^ shift
                here = sums[mask]
                there = total - here
                if here <= capacity and there <= capacity:
                    if any_share:
                        if mask != now:
                            chosen = mask
                            break
                    else:
                        fuller = max(here, there)
                        if fuller > best or (fuller == best and chosen < 0 and mask != now):
                            best = fuller
                            chosen = mask
        else:
            best = load[a]
            for x in range(top):
                mask = x ^ shift
                here = sums[mask]
                if here <= capacity and (here > best or (here == best and chosen < 0 and mask != now)):
                    best = here
                    chosen = mask
        if chosen < 0:
            continue
        # carry the choice out: chosen pieces on bar a, the others on bar b or aside
        rest = count[a] - first
        for x in range(rest):
            kept[x] = items[a, first + x]
        on = 0
        others = 0
        length = sums[chosen]
        for j in range(k):
            if chosen >> j & 1:
                items[a, on] = pool[j]
                on += 1
            else:
                pool[others] = pool[j]
                others += 1
        for x in range(rest):
            items[a, on + x] = kept[x]
        count[a] = on + rest
        if pair:
            load[b] += load[a] - length
            rest = count[b] - second
            for x in range(rest):
                kept[x] = items[b, second + x]
            for x in range(others):
                items[b, x] = pool[x]
            for x in range(rest):
                items[b, others + x] = kept[x]
            count[b] = others + rest
        else:
            rest = out - second
            for x in range(rest):
                kept[x] = aside[second + x]
            for x in range(others):
                aside[x] = pool[x]
            for x in range(rest):
                aside[others + x] = kept[x]
            out = others + rest
        load[a] = length
    state[0], state[1] = chance, out


def shift_until(run: Run, start: Plan, bars: int, moves: int) -> list[Column]:
    """Search for a plan of `bars` bars of the one kind, starting from the fullest bars of another plan.

    Offers the plan to the run when there is one. Gives the patterns the search ended with, and those of
    bars nearly full on its way.
    """
    problem = run.problem
    most = problem.capacities[0] // problem.sizes[-1] + 1
    if problem.pieces > MOST_PIECES or bars * min(most, problem.pieces) > MOST_PLACES or bars < 1:
        return []
    search = _begin(problem, start, bars, min(most, problem.pieces), run.chance.randrange(1, 2**31 - 1))
    sizes, items, count, load, aside, state = search
    np = importlib.import_module("numpy")
    pool, sums = np.empty(16, np.int64), np.empty(1 << (2 * FROM_EACH), np.int64)
    kept = np.empty(problem.pieces, np.int64)
    kernel = compiled(shift_pieces)
    notes = _Notes(problem)
    for turn, done in enumerate(range(0, moves, CHUNK)):
        if run.over() or not state[1]:
            break
        for _ in range(LOOKS):
            kernel(
                sizes, problem.capacities[0], items, count, load, aside, state, pool, sums, kept,
                min(CHUNK, moves - done) // LOOKS, FROM_BAR, FROM_ASIDE, FROM_EACH, WILD[turn % len(WILD)],
            )  # fmt: skip
            notes.take(items, count, load)
        run.counters["shifting"] += 1
        run.counters["work"] += 1
    patterns = _patterns(problem, items, count)
    if not state[1]:
        run.offer(plan_of(problem, [(column, 1) for column in patterns]))
        return patterns
    return list(dict.fromkeys([*patterns, *notes.patterns()]))


@dataclass(slots=True)
class _Notes:
    """Bars nearly full that a search came by: what they hold, with their length."""

    problem: Problem
    found: dict[tuple[int, ...], int] = field(default_factory=dict)
    _size_of: Any = None
    _least: int = 0

    def __post_init__(self) -> None:
        np = importlib.import_module("numpy")
        self._size_of = np.repeat(np.arange(len(self.problem.sizes)), self.problem.demands)
        self._least = self.problem.capacities[0] - self.problem.capacities[0] // NEARLY_FULL

    def take(self, items: Any, count: Any, load: Any) -> None:
        """Note the bars that are nearly full now."""
        if len(self.found) > 4 * MOST_NOTED:
            return
        full = load >= self._least
        held = self._size_of[items[full, : count.max()]]
        for row, n, length in zip(held.tolist(), count[full].tolist(), load[full].tolist(), strict=True):
            self.found[tuple(sorted(row[:n]))] = length

    def patterns(self) -> list[Column]:
        """The fullest bars noted, as patterns."""
        ranked = sorted(self.found.items(), key=lambda bar: (-bar[1], bar[0]))
        return [(0, tuple(sorted(Counter(row).items()))) for row, _ in ranked[:MOST_NOTED]]


def _begin(problem: Problem, start: Plan, bars: int, places: int, chance: int) -> tuple[Any, ...]:
    """The pieces one by one, those of the fullest `bars` bars on them, the others aside."""
    np = importlib.import_module("numpy")
    sizes = np.repeat(np.array(problem.sizes, np.int64), problem.demands)
    nexts = np.cumsum([0, *problem.demands[:-1]]).tolist()
    filled = [
        (sum(problem.sizes[i] * n for i, n in counts), counts)
        for (_, counts), times in start.uses
        for _ in range(times)
    ]
    filled.sort(key=lambda bar: -bar[0])
    items, count = np.zeros((bars, places), np.int64), np.zeros(bars, np.int64)
    load, aside = np.zeros(bars, np.int64), np.empty(problem.pieces, np.int64)
    out = 0
    for b, (length, counts) in enumerate(filled):
        for i, n in counts:
            for _ in range(n):
                if b < bars:
                    items[b, count[b]] = nexts[i]
                    count[b] += 1
                    load[b] = length
                else:
                    aside[out] = nexts[i]
                    out += 1
                nexts[i] += 1
    return sizes, items, count, load, aside, np.array([chance, out], np.int64)


def _patterns(problem: Problem, items: Any, count: Any) -> list[Column]:
    """What each bar holds, as patterns of sizes."""
    np = importlib.import_module("numpy")
    size_of = np.repeat(np.arange(len(problem.sizes)), problem.demands)
    patterns: list[Column] = []
    for b, n in enumerate(count.tolist()):
        held, counts = np.unique(size_of[items[b, :n]], return_counts=True)
        if n:
            patterns.append((0, tuple(zip(held.tolist(), counts.tolist(), strict=True))))
    return patterns
