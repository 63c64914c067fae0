"""Listing the columns of a room, all of them or those within a limit of reduced cost."""

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.knapsack import Knapsack, empty_states, merge
from kerfsmith.nesting.engines.sawroom.master import Prices
from kerfsmith.nesting.engines.sawroom.pricing import Pricer, Task
from kerfsmith.nesting.stop import Watch

TASK_S, TRY_S = 1e-3, 2e-5
"""Work [s] of one knapsack listed and of each set of items tried, roughly."""


class TooManyColumnsError(Exception):
    """More columns than the limit allows."""


def all_columns(room: Room, limit: int, most: Sequence[int] | None = None) -> list[Column]:
    """Every column of the room, with at most ``most`` of each piece where that is given.

    Raises TooManyColumnsError beyond ``limit`` columns or ten times as many tries.
    """
    columns: list[Column] = []
    tries = 0
    for bar, stock in enumerate(room.problem.bars):
        if stock.count == 0:
            continue
        for counts in item_sets(room, bar, most):
            tries += 1
            columns.extend(room.columns_of(bar, counts))
            if len(columns) > limit or tries > 10 * limit:
                raise TooManyColumnsError
    return columns


def item_sets(room: Room, bar: int, most: Sequence[int] | None = None) -> Iterator[dict[int, int]]:
    """Every set of items that may go on a bar together, a begun bar's own pieces always among them."""
    stock = room.problem.bars[bar]
    begun = room.begun(stock)
    wanted = [piece.count for piece in room.problem.pieces] if most is None else most
    usable = [
        item
        for item in range(len(room.items))
        if wanted[room.items[item].piece]
        and (room.items[item].piece in begun or room.problem.may_come_from(room.piece(item), stock))
    ]
    usable.sort(key=lambda item: room.items[item].piece not in begun)

    def further(index: int, counts: dict[int, int], laid: dict[int, int]) -> Iterator[dict[int, int]]:
        if index == len(usable):
            if counts and all(laid.get(place, 0) >= count for place, count in begun.items()):
                yield dict(counts)
            return
        item = usable[index]
        place = room.items[item].piece
        left = wanted[place] - laid.get(place, 0)
        yield from further(index + 1, counts, laid)
        for count in range(1, left + 1):
            more = counts | {item: count}
            placed = laid | {place: laid.get(place, 0) + count}
            complete = all(placed.get(p, 0) >= n for p, n in begun.items())
            # Begun pieces stand first; before all of them are in, there is no layout to be measured.
            if complete and not room.may_go_on(bar, more):
                break
            yield from further(index + 1, more, placed)

    return further(0, {}, {})


def columns_within(pricer: Pricer, prices: Prices, gap: int, limit: int, watch: Watch) -> dict[Column, None]:
    """Every column that some load of it could be in a plan not further than ``gap`` (times the scale) above
    the bound.

    Raises TooManyColumnsError beyond ``limit`` columns, ten times as many sets of items, or when time is
    over."""
    found: dict[Column, None] = {}
    tries = [0]
    seen: set[tuple[int, tuple[tuple[int, int], ...]]] = set()
    for task in pricer.tasks(prices):
        watch.count(TASK_S)
        parts = 1 if pricer.room.one_column_a_pattern else max(1, task.run)
        for counts in _Within(pricer, prices, task, gap * parts).sets():
            tries[0] += 1
            watch.count(TRY_S)
            key = task.bar, tuple(sorted(counts.items()))
            if key not in seen:
                seen.add(key)
                found.update(dict.fromkeys(pricer.room.columns_of(task.bar, counts)))
            if len(found) > limit or tries[0] > 10 * limit or (tries[0] % 256 == 0 and watch.is_over):
                raise TooManyColumnsError
    return found


class _Within:
    """Sets of items of one knapsack whose reduced price is at most ``gap``."""

    def __init__(self, pricer: Pricer, prices: Prices, task: Task, gap: int) -> None:
        self.knapsack = knapsack = Knapsack(pricer, task, prices)
        self.pricer, self.task, self.gap = pricer, task, gap
        values = dict(zip(knapsack.terms.items, knapsack.terms.values, strict=True))
        self.begun = pricer.room.begun(pricer.room.problem.bars[task.bar])
        self.worth = {item: value - knapsack.terms.cut for item, value in values.items()}
        self.begun_worth = values
        self.order = sorted(self.worth, key=lambda i: (-self.worth[i] / pricer.sizes[i], i))
        self.slope = knapsack.slope
        self.spare = knapsack.spare
        self.ahead = [
            max([self.slope] + [-(-self.worth[i] // pricer.sizes[i]) for i in self.order[position:]])
            for position in range(len(self.order))
        ] + [self.slope]
        self.best = self._best_behind()

    def _best_behind(self) -> list[tuple[list[int], list[int]]]:
        """For each place in the order, the states the items from there on can reach."""
        lengths, values = empty_states()
        behind = [(lengths.tolist(), values.tolist())]
        for item in reversed(self.order):
            if self.worth[item] > 0:
                size = self.pricer.sizes[item]
                wanted = self.pricer.wanted(self.pricer.room.items[item].piece, self.task)
                most = min(wanted, self.knapsack.wide // size)
                step = 1
                while most > 0:
                    taken = min(step, most)
                    most, step = most - taken, 2 * step
                    lengths, values, _, _ = merge(
                        lengths, values, size * taken, self.worth[item] * taken, self.knapsack.wide
                    )
            behind.append((lengths.tolist(), values.tolist()))
        return behind[::-1]

    def sets(self) -> Iterator[dict[int, int]]:
        """The sets, each with the begun pieces in it."""
        for fixed, worth in self._begun_ways():
            yield from self._further(0, 0, worth, dict(fixed), {})

    def _begun_ways(self) -> Iterator[tuple[dict[int, int], int]]:
        ways: list[tuple[dict[int, int], int]] = [({}, 0)]
        for place, count in self.begun.items():
            items = [i for i in self.begun_worth if self.pricer.room.items[i].piece == place]
            ways = [
                (fixed | split, worth + sum(self.begun_worth[i] * n for i, n in split.items()))
                for fixed, worth in ways
                for split in splits(items, count)
            ]
        yield from ways

    def _further(
        self, position: int, length: int, worth: int, counts: dict[int, int], laid: dict[int, int]
    ) -> Iterator[dict[int, int]]:
        rest = self.knapsack.wide - length
        lengths, values = self.best[position]
        reach = min(values[bisect_right(lengths, rest) - 1] + self.slope * rest, self.ahead[position] * rest)
        if self.knapsack.base - worth - reach - self.spare > self.gap:
            return
        if position == len(self.order):
            if counts:
                yield dict(counts)
            return
        item = self.order[position]
        place, size = self.pricer.room.items[item].piece, self.pricer.sizes[item]
        wanted = self.pricer.wanted(place, self.task)
        most = wanted - self.begun.get(place, 0) - laid.get(place, 0)
        yield from self._further(position + 1, length, worth, counts, laid)
        for count in range(1, min(most, rest // size) + 1):
            more = counts | {item: counts.get(item, 0) + count}
            placed = laid | {place: laid.get(place, 0) + count}
            yield from self._further(
                position + 1, length + count * size, worth + count * self.worth[item], more, placed
            )


def splits(items: list[int], count: int) -> Iterator[dict[int, int]]:
    """Every way to share a number out over items."""
    if not items:
        return
    if len(items) == 1:
        yield {items[0]: count} if count else {}
        return
    for first in range(count + 1):
        for others in splits(items[1:], count - first):
            yield ({items[0]: first} if first else {}) | others
