"""One knapsack: the best sets of pieces for one load, by lists of states none of which is shorter and worth
more."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Column
from kerfsmith.nesting.engines.sawroom.limits import Variant
from kerfsmith.nesting.engines.sawroom.master import Prices
from kerfsmith.nesting.engines.sawroom.pricing import Pricer, Task
from kerfsmith.nesting.problem import Piece

Whole = NDArray[np.int64]
BEST = 6
"""How many of the best sets of pieces one knapsack hands back."""


@dataclass(frozen=True, slots=True)
class Found:
    """A set of items worth having, and its reduced price at least."""

    task: Task
    counts: tuple[tuple[int, int], ...]
    reduced: int
    kept: bool
    in_vise: bool


def best_sets(pricer: Pricer, task: Task, prices: Prices, most: Sequence[int], least: int = 0) -> list[Found]:
    """The best sets of items, the first having the least reduced price there is.

    ``most``: how many of each piece may be laid. Sets whose reduced price isn't below ``least`` may be
    missed."""
    return Knapsack(pricer, task, prices).solve(most, least)


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
        self.wide = pricer.wide(task.bar)
        gains = any(prices.weights.get(aim) for aim in (Aim.NET_MATERIAL, Aim.SCRAP, Aim.MONEY))
        self.slope = pricer.keep_slope(task, prices) if gains else 0
        self.spare = (self.terms.cut if self.vise else 0) + 2 * self.slope * problem.grip_um
        self.spare += max(0, prices.of("kept", task.bar)) * task.all_bars

    def solve(self, most: Sequence[int], target: int) -> list[Found]:
        """The best sets of items; see :func:`best_sets`."""
        pricer, begun = self.pricer, self.pricer.room.begun(self.pricer.room.problem.bars[self.task.bar])
        fixed = self._begun_worth(begun)
        if fixed is None:
            return []
        base = self.base - fixed[0]
        order = self._order()
        if order and not fixed[1] and base - self._reach(order, most) >= target:
            return self._read(*empty_states(), [], {}, base, target, most)[:1]
        lengths, values = empty_states()
        states = np.full(1, pricer.faces.start(pricer.room.problem.bars[self.task.bar]))
        trail: list[tuple[int, int, Whole, Whole]] = []
        for position, (item, value) in enumerate(order):
            size = pricer.sizes[item]
            place = pricer.room.items[item].piece
            wanted = min(most[place] // self.task.all_bars, pricer.wanted(place, self.task))
            left = min(wanted - begun.get(place, 0), self.wide // size)
            step = 1
            ahead = max([self.slope] + [-(-v // pricer.sizes[i]) for i, v in order[position:]])
            while left > 0:
                taken = min(step, left)
                left -= taken
                step *= 2
                if pricer.faces.states == 1:
                    merged = merge(lengths, values, size * taken, value * taken, self.wide)
                    lengths, values, parent, took = merged
                    states = np.zeros(len(lengths), dtype=np.int64)
                else:
                    after = pricer.faces.table(pricer.room.piece(item), taken)
                    lengths, values, states, parent, took = merge_faced(
                        lengths, values, states, after, size * taken, value * taken, self.wide
                    )
                pricer.states += len(lengths)
                reach = values + ahead * (self.wide - lengths) + self.spare
                alive = reach > base - target
                alive[0] = True
                if not alive.all():
                    lengths, values, parent, took = lengths[alive], values[alive], parent[alive], took[alive]
                    states = states[alive]
                trail.append((item, taken, parent, took))
        lost = lengths + pricer.faces.losses[states]
        return self._read(lost, values, trail, fixed[1], base, target, most)

    def _reach(self, order: Sequence[tuple[int, int]], most: Sequence[int]) -> int:
        """The most that parts of items, as many as are wanted, could be worth together."""
        rest, worth = self.wide, self.spare
        for item, value in order:
            size = self.pricer.sizes[item]
            if value <= self.slope * size:
                break
            place = self.pricer.room.items[item].piece
            wanted = min(most[place] // self.task.all_bars, self.pricer.wanted(place, self.task))
            length = min(rest, wanted * size)
            worth += -(-value * length // size)
            rest -= length
            if not rest:
                break
        return worth + self.slope * rest

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
        pricer_faces, stock = self.pricer.faces, self.pricer.room.problem.bars[self.task.bar]
        for index in range(len(lengths) - 1, -1, -1):
            if lengths[index] or fixed:
                sets.append((int(lengths[index]), int(values[index]), index, -1))
        # Something must be cut: where nothing is worth its cut, the least bad piece alone is.
        for item, value in zip(self.terms.items, self.terms.values, strict=True):
            size = self.pricer.sizes[item]
            place = self.pricer.room.items[item].piece
            fits = size <= self.wide and most[place] >= self.task.all_bars
            fits = fits and self.pricer.wanted(place, self.task) > 0
            if not fixed and value <= self.terms.cut and fits:
                alone = pricer_faces.loss(stock, {self.pricer.room.piece(item): 1})
                sets.append((size + alone, value - self.terms.cut, -1, item))
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
        if self.vise and length <= self.wide:
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


def merge_faced(
    lengths: Whole, values: Whole, states: Whole, after: Whole, size: int, value: int, room: int
) -> tuple[Whole, Whole, Whole, Whole, Whole]:
    """As `merge`, for states that differ by their faces too: none is dropped for one with other faces.

    ``after`` gives for each state of faces the one with the further piece."""
    fits = np.flatnonzero(lengths <= room - size)
    all_lengths = np.concatenate([lengths, lengths[fits] + size])
    all_values = np.concatenate([values, values[fits] + value])
    all_states = np.concatenate([states, after[states[fits]]])
    parents = np.concatenate([np.arange(len(lengths)), fits])
    took = np.concatenate([np.zeros(len(lengths), dtype=np.int64), np.ones(len(fits), dtype=np.int64)])
    order = np.lexsort((-all_values, all_lengths, all_states))
    ordered, faces = all_values[order], all_states[order]
    keep = np.ones(len(ordered), dtype=bool)
    begins = np.flatnonzero(np.diff(faces, prepend=-1))
    for begin, end in zip(begins, [*begins[1:], len(faces)], strict=True):
        alike = ordered[begin:end]
        keep[begin + 1 : end] = alike[1:] > np.maximum.accumulate(alike)[:-1]
    chosen = order[keep]
    return all_lengths[chosen], all_values[chosen], all_states[chosen], parents[chosen], took[chosen]


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
    laid: dict[Piece, int] = {}
    for item, count in found.counts:
        place = room.items[item].piece
        done = min(count, left.get(place, 0))
        left[place] = left.get(place, 0) - done
        fresh += count - done
        length += (count - done) * pricer.sizes[item]
        laid[room.piece(item)] = laid.get(room.piece(item), 0) + count - done
    length += pricer.faces.loss(room.problem.bars[task.bar], laid)
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
    slanted = [
        sum(
            count * ((abs(room.piece(item).left_um) == lean) + (abs(room.piece(item).right_um) == lean))
            for item, count in found.counts
        )
        // 2
        for lean in room.layouts.timed
    ]
    column = Column(task.bar, found.counts, (-1, cuts, *slanted), found.in_vise, remnant, cuts, due)
    return Variant(column, task.bars, found.kept, real=False, run=task.run)
