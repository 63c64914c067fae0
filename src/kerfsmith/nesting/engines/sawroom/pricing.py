"""Finding the bar whose cutting the linear program lacks most: a knapsack for each bar, load and due time.

It looks at lengths alone: each piece takes the mean of its two edges and at least one plain kerf. What it
finds is never worth less than the best real layout, so a bound built on it holds. Lengths are counted in half
micrometres here, since a mean may end in a half."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import gcd

import numpy as np
from numpy.typing import NDArray

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.limits import Variant
from kerfsmith.nesting.engines.sawroom.master import Prices
from kerfsmith.nesting.recount import walk
from kerfsmith.nesting.reduce import reachable_sums

Whole = NDArray[np.int64]
BEST = 6
"""How many of the best sets of pieces one knapsack hands back."""


@dataclass(frozen=True, slots=True)
class Task:
    """One knapsack: a bar, the bars on a load, and the earliest due time allowed on it (None: nothing
    due)."""

    bar: int
    bars: int
    due: int | None


@dataclass(frozen=True, slots=True)
class Terms:
    """What a load costs in prices: ``base`` without pieces and cuts, ``cut`` for each cut, less ``values`` by
    item."""

    base: int
    cut: int
    values: tuple[int, ...]
    items: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """A set of items worth having, and its reduced price at least."""

    task: Task
    counts: tuple[tuple[int, int], ...]
    reduced: int
    kept: bool
    in_vise: bool


class Pricer:
    """The knapsacks of a room."""

    def __init__(self, room: Room, aims: Sequence[Aim]) -> None:
        """``aims``: the one at work and those held."""
        self.room = room
        self.aims = tuple(aims)
        problem = room.problem
        self.sizes = [mean + 2 * problem.kerf_um for mean in room.doubled_mean]
        self.over = any(piece.over_um for piece in problem.pieces)
        self._vise: dict[int, bool] = {}
        self.usable = [
            tuple(
                item
                for item in range(len(room.items))
                if problem.may_come_from(room.piece(item), bar) or room.items[item].piece in room.begun(bar)
            )
            for bar in problem.bars
        ]

    def tasks(self, prices: Prices) -> list[Task]:
        """The knapsacks that together see every load. Of due times that cost the same the earliest sees
        most."""
        problem = self.room.problem
        dues = sorted({piece.due_ms for piece in problem.pieces if piece.due_ms is not None})
        found: list[Task] = []
        for number, bar in enumerate(problem.bars):
            if bar.count == 0:
                continue
            for bars in self.room.bundle_sizes(bar):
                last: int | None = None
                for due in (*dues, None):
                    time_price = self.time_price(prices, due)
                    if time_price != last:
                        found.append(Task(number, bars, due))
                    last = time_price
        return found

    def time_price(self, prices: Prices, due: int | None) -> int:
        """What a millisecond costs on a load whose earliest piece is due then."""
        if due is None:
            return 0
        return -sum(
            worth
            for (kind, when), worth in prices.rows.items()
            if kind == "due" and isinstance(when, int) and when >= due
        )

    def terms(self, task: Task, prices: Prices) -> Terms:
        """The prices of one knapsack."""
        problem, bars = self.room.problem, task.bars
        stock, weights = problem.bars[task.bar], prices.weights
        saw, rates = problem.saw_time, problem.rates
        cut_ms = saw.cut_ms[min(bars, len(saw.cut_ms)) - 1]
        time = self.time_price(prices, task.due) + weights.get(Aim.SAW_TIME, 0)
        money = weights.get(Aim.MONEY, 0)
        material = weights.get(Aim.COST, 0) + weights.get(Aim.NET_MATERIAL, 0) + money
        material += 0 if stock.is_remnant else weights.get(Aim.NEW_STOCK, 0)
        base = bars * (material * stock.cost + weights.get(Aim.BARS, 0))
        base += bars * weights.get(Aim.SCRAP, 0) * stock.length_um
        base += time * saw.load_ms + weights.get(Aim.LOADS, 0)
        base += money * (saw.load_ms * rates.saw_per_second // 1000 + rates.per_load)
        base -= bars * prices.of("supply", task.bar)
        cut = time * cut_ms + weights.get(Aim.CUTS, 0) + money * (cut_ms * rates.saw_per_second // 1000)
        items = tuple(item for item in self.usable[task.bar] if self._in_time(item, task.due))
        return Terms(base, cut, tuple(self._value(item, task, prices) for item in items), items)

    def _in_time(self, item: int, due: int | None) -> bool:
        if self.room.items[item].late:
            return True
        wanted = self.room.piece(item).due_ms
        return wanted is None or (due is not None and wanted >= due)

    def _value(self, item: int, task: Task, prices: Prices) -> int:
        """What one more of an item on every bar of the load is worth, its cut left out."""
        problem, weights = self.room.problem, prices.weights
        place, stock, piece = self.room.items[item].piece, problem.bars[task.bar], self.room.piece(item)
        worth = prices.of("demand", place) + prices.of("heat", (place, stock.heat))
        for number, promise in enumerate(problem.promises):
            if promise.bar == stock.id and promise.piece == piece.id:
                worth += prices.of("promise", number)
        worth += weights.get(Aim.SCRAP, 0) * -(-self.room.doubled_mean[item] // 2)
        if piece.materials[0] != stock.material:
            worth -= weights.get(Aim.SUBSTITUTED, 0)
        if self.room.items[item].late:
            worth -= weights.get(Aim.LATE, 0) + weights.get(Aim.MONEY, 0) * problem.rates.per_late_piece
        return worth * task.bars

    def keep_gain(self, task: Task, prices: Prices, remnant_um: int) -> int:
        """What is gained by keeping a leftover of this length on every bar of the load; 0 where it isn't
        kept."""
        leftovers, weights = self.room.problem.leftovers, prices.weights
        if not leftovers.may_keep(remnant_um):
            return 0
        money = weights.get(Aim.MONEY, 0)
        gain = (weights.get(Aim.NET_MATERIAL, 0) + money) * leftovers.worth_of(remnant_um)
        gain += weights.get(Aim.SCRAP, 0) * remnant_um + prices.of("new", 0)
        gain -= weights.get(Aim.REMNANTS, 0) + money * self.room.problem.rates.per_remnant
        return max(0, gain * task.bars)

    def keep_slope(self, task: Task, prices: Prices) -> int:
        """At most so much is gained for each half micrometre left over."""
        weights = prices.weights
        steps = self.room.problem.leftovers.worth
        top = steps[-1].per_metre if steps else 0
        credit = (weights.get(Aim.NET_MATERIAL, 0) + weights.get(Aim.MONEY, 0)) * top
        return (credit // 1_000_000 + 1 + weights.get(Aim.SCRAP, 0)) * task.bars // 2 + 1

    def frame(self, bar: int) -> tuple[int, int]:
        """Before any fresh piece: the room for them [half um] and the cuts so far.

        Each fresh piece then takes its size and one cut.
        """
        problem = self.room.problem
        stock = problem.bars[bar]
        if stock.begun:
            walked = walk(problem, stock.begun)
            mean = 2 * walked.bottom_um + walked.lean_um + 2 * problem.kerf_um
            return 2 * (stock.length_um - problem.grip_um) - mean, walked.cuts + 1
        room = 2 * problem.usable_um(stock)
        return room, int(problem.front_trim_um > 0)

    def vise_is_open(self, bar: int) -> bool:
        """Whether any set of pieces may end in the vise: always taken as so where lengths may stretch."""
        known = self._vise.get(bar)
        if known is None:
            known = self._vise[bar] = self._may_end_in_vise(bar)
        return known

    def _may_end_in_vise(self, bar: int) -> bool:
        problem = self.room.problem
        stock = problem.bars[bar]
        if problem.grip_um and not stock.end_is_good:
            return False
        if self.over or stock.begun or any(piece.is_mitred for piece in problem.pieces):
            return True
        exact = 2 * (stock.length_um - problem.facing_um + problem.kerf_um)
        unit = gcd(exact, *self.sizes)
        if exact // unit > 10_000_000:
            return True
        counts = (problem.pieces[self.room.items[item].piece].count for item in range(len(self.sizes)))
        sums = reachable_sums(zip((s // unit for s in self.sizes), counts, strict=True), exact // unit)
        return bool(sums >> (exact // unit) & 1)

    def best(self, task: Task, prices: Prices, most: Sequence[int], least: int | None = None) -> list[Found]:
        """The best sets of items, the first having the least reduced price there is (an empty bar counts as
        0).

        ``most``: how many of each piece may be laid. Sets whose reduced price isn't below ``least`` (0 where
        None) may be missed."""
        return Knapsack(self, task, prices).solve(most, 0 if least is None else least)


class Knapsack:
    """One task at one set of prices. ``base`` is what the load costs before any fresh piece is on it.

    ``wide`` is the longest that pieces may be together [half um]; beyond ``room`` they must end in the vise.
    ``slope`` is the most a half micrometre left over gains, ``spare`` the most gained beyond that.
    """

    def __init__(self, pricer: Pricer, task: Task, prices: Prices) -> None:
        """Reckons the task's terms at these prices."""
        self.pricer, self.task, self.prices = pricer, task, prices
        problem = pricer.room.problem
        self.terms = pricer.terms(task, prices)
        self.room, cuts = pricer.frame(task.bar)
        self.base = self.terms.base + cuts * self.terms.cut
        self.vise = pricer.vise_is_open(task.bar)
        # In the vise neither the closing cut's kerf nor the grip is needed.
        self.wide = self.room + (2 * (problem.kerf_um + problem.grip_um) if self.vise else 0)
        gains = any(prices.weights.get(aim) for aim in (Aim.NET_MATERIAL, Aim.SCRAP, Aim.MONEY))
        self.slope = pricer.keep_slope(task, prices) if gains else 0
        self.spare = (self.terms.cut if self.vise else 0) + 2 * self.slope * problem.grip_um

    def solve(self, most: Sequence[int], target: int) -> list[Found]:
        """The best sets of items; see :meth:`Pricer.best`."""
        pricer, begun = self.pricer, self.pricer.room.begun(self.pricer.room.problem.bars[self.task.bar])
        fixed = self._begun_worth(begun)
        if fixed is None:
            return []
        base = self.base - fixed[0]
        order = self._order()
        lengths, values = empty_states()
        trail: list[tuple[int, int, Whole, Whole]] = []
        for position, (item, value) in enumerate(order):
            size = pricer.sizes[item]
            place = pricer.room.items[item].piece
            left = min(most[place] // self.task.bars - begun.get(place, 0), self.wide // size)
            step = 1
            ahead = max([self.slope] + [-(-v // pricer.sizes[i]) for i, v in order[position:]])
            while left > 0:
                taken = min(step, left)
                left -= taken
                step *= 2
                lengths, values, parent, took = merge(lengths, values, size * taken, value * taken, self.wide)
                reach = values + ahead * (self.wide - lengths) + self.spare
                alive = reach > base - target
                alive[0] = True
                if not alive.all():
                    lengths, values, parent, took = lengths[alive], values[alive], parent[alive], took[alive]
                trail.append((item, taken, parent, took))
        return self._read(lengths, values, trail, fixed[1], base, target, most)

    def _begun_worth(self, begun: Mapping[int, int]) -> tuple[int, dict[int, int]] | None:
        """Best worth of the pieces already cut, each counted in time or late as pays; None where that can't
        be."""
        worth, counts = 0, {}
        for place, count in begun.items():
            choices = [
                (value, item)
                for value, item in zip(self.terms.values, self.terms.items, strict=True)
                if self.pricer.room.items[item].piece == place
            ]
            if not choices:
                return None
            value, item = max(choices)
            worth += value * count
            counts[item] = count
        return worth, counts

    def _order(self) -> list[tuple[int, int]]:
        """Items worth their cut, the best by length first."""
        pairs = [
            (item, value - self.terms.cut)
            for item, value in zip(self.terms.items, self.terms.values, strict=True)
            if value > self.terms.cut
        ]
        return sorted(pairs, key=lambda pair: (-pair[1] / self.pricer.sizes[pair[0]], pair[0]))

    def _read(
        self,
        lengths: Whole,
        values: Whole,
        trail: list[tuple[int, int, Whole, Whole]],
        fixed: dict[int, int],
        base: int,
        target: int,
        most: Sequence[int],
    ) -> list[Found]:
        sets: list[tuple[int, int, int, int]] = []
        for index in range(len(lengths) - 1, -1, -1):
            if lengths[index] or fixed:
                sets.append((int(lengths[index]), int(values[index]), index, -1))
        # Something must be cut: where nothing is worth its cut, the least bad piece alone is.
        for item, value in zip(self.terms.items, self.terms.values, strict=True):
            size = self.pricer.sizes[item]
            fits = size <= self.wide and most[self.pricer.room.items[item].piece] >= self.task.bars
            if not fixed and value <= self.terms.cut and fits:
                sets.append((size, value - self.terms.cut, -1, item))
        found = sorted(end for one in sets for end in self._ends(base, *one))
        results: list[Found] = []
        for reduced, index, item, kept, in_vise in found[:BEST]:
            if reduced >= target and results:
                break
            counts = dict(fixed)
            laid = _backtrack(trail, index) if index >= 0 else {item: 1}
            for one, count in laid.items():
                counts[one] = counts.get(one, 0) + count
            results.append(Found(self.task, tuple(sorted(counts.items())), reduced, kept, in_vise))
        return results

    def _ends(
        self, base: int, length: int, value: int, index: int, item: int
    ) -> Iterator[tuple[int, int, int, bool, bool]]:
        """The ways a set of this length and value may end: (reduced price, state, item, kept, in the
        vise)."""
        if length <= self.room:
            remnant = self.pricer.room.problem.grip_um + -(-(self.room - length) // 2)
            gain = self.pricer.keep_gain(self.task, self.prices, remnant)
            yield base - value - gain, index, item, gain > 0, False
        if self.vise:
            yield base - value - self.terms.cut, index, item, False, True


def empty_states() -> tuple[Whole, Whole]:
    """Lengths and values of states before any piece: one, empty."""
    return np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64)


def merge(
    lengths: Whole, values: Whole, size: int, value: int, room: int
) -> tuple[Whole, Whole, Whole, Whole]:
    """States with and without a further piece, those dropped that are neither shorter nor worth more."""
    fits = int(np.searchsorted(lengths, room - size, side="right"))
    all_lengths = np.concatenate([lengths, lengths[:fits] + size])
    all_values = np.concatenate([values, values[:fits] + value])
    parents = np.concatenate([np.arange(len(lengths)), np.arange(fits)])
    took = np.concatenate([np.zeros(len(lengths), dtype=np.int64), np.ones(fits, dtype=np.int64)])
    order = np.lexsort((-all_values, all_lengths))
    ordered = all_values[order]
    best = np.maximum.accumulate(ordered)
    keep = np.ones(len(ordered), dtype=bool)
    keep[1:] = ordered[1:] > best[:-1]
    chosen = order[keep]
    return all_lengths[chosen], all_values[chosen], parents[chosen], took[chosen]


def _backtrack(trail: list[tuple[int, int, Whole, Whole]], index: int) -> dict[int, int]:
    counts: dict[int, int] = {}
    for item, taken, parents, took in reversed(trail):
        if took[index]:
            counts[item] = counts.get(item, 0) + taken
        index = int(parents[index])
    return counts


def shadow(pricer: Pricer, found: Found) -> Variant:
    """The set of items as the knapsack saw it, real or not."""
    room, task = pricer.room, found.task
    space, cuts = pricer.frame(task.bar)
    begun = room.begun(room.problem.bars[task.bar])
    left = dict(begun)
    length = fresh = 0
    for item, count in found.counts:
        place = room.items[item].piece
        done = min(count, left.get(place, 0))
        left[place] = left.get(place, 0) - done
        fresh += count - done
        length += (count - done) * pricer.sizes[item]
    remnant = 0 if found.in_vise else room.problem.grip_um + -(-(space - length) // 2)
    cuts += fresh - (1 if found.in_vise else 0)
    due = min(
        (
            due
            for item, _ in found.counts
            if not room.items[item].late and (due := room.piece(item).due_ms) is not None
        ),
        default=None,
    )
    column = Column(task.bar, found.counts, (-1, cuts), found.in_vise, remnant, cuts, due)
    return Variant(column, task.bars, found.kept, real=False)
