"""A first plan: bar after bar filled, what is due first and longest going in first.

It keeps single bars right and chooses heats with an eye on the rack; whether the whole keeps every rule is
for the caller to try."""

from collections.abc import Iterable, Mapping, Sequence
from random import Random

from kerfsmith.nesting.engines.sawroom.columns import Column, Room

Loads = dict[tuple[Column, int], int]
"""How many loads of a column with so many bars."""

ENDLESS = 1 << 62


class Filling:
    """Pieces and bars not used yet, and the loads so far."""

    def __init__(self, room: Room, chance: Random | None = None) -> None:
        """Starts with every piece wanted and every bar there is; ``chance`` chooses among heats."""
        self.room = room
        problem = room.problem
        self.left = [piece.count for piece in problem.pieces]
        self.bars = [ENDLESS if bar.count is None else bar.count for bar in problem.bars]
        self.loads: Loads = {}
        self.heat_of = {order: self._heat_for(order, chance) for order in sorted(problem.one_heat_orders)}
        in_time = [item for item in range(len(room.items)) if not room.items[item].late]
        self.order = sorted(in_time, key=lambda item: (self._due(item), -room.doubled_mean[item], item))

    def fill(self) -> Loads | None:
        """Loads that cut every piece; None where some find no place."""
        problem = self.room.problem
        for number, bar in enumerate(problem.bars):
            if bar.begun:
                items = self._begun_items(number)
                self._take(self._filled(number, items) if -1 not in items else None, 1)
        self._repeat_former()
        self._keep_promises()
        while any(self.left):
            column = self._best_bar()
            if column is None:
                return None
            sizes = self.room.bundle_sizes(problem.bars[column.bar])
            self._take(column, max(size for size in sizes if self._can_take(column, size)))
        return self.loads

    def _repeat_former(self) -> None:
        """Bars as the former plan cut them, as far as they are wanted still."""
        for number, bar in enumerate(self.room.problem.bars):
            for former in self.room.problem.former:
                if former.bar == bar.id and not bar.begun:
                    items = {self._item(name): count for name, count in former.pieces}
                    if all(item >= 0 and self._may_go(item, number) for item in items):
                        column = self._column(number, items)
                        for _ in range(former.times):
                            self._take(column, 1)

    def _keep_promises(self) -> None:
        """A bar for each promised piece that isn't on one already."""
        for number, bar in enumerate(self.room.problem.bars):
            for promise in self.room.problem.promises:
                item = self._item(promise.piece)
                if promise.bar == bar.id and not bar.begun and item >= 0 and self._may_go(item, number):
                    while self._cut_from(number, item) < promise.count and self._can_go_on(number, item):
                        self._take(self._filled(number, {item: 1}), 1)

    def _cut_from(self, bar: int, item: int) -> int:
        return sum(
            times * bars * dict(column.counts).get(item, 0)
            for (column, bars), times in self.loads.items()
            if column.bar == bar
        )

    def _can_go_on(self, bar: int, item: int) -> bool:
        column = self._column(bar, {item: 1})
        return column is not None and self._can_take(column, 1)

    def _due(self, item: int) -> int:
        due = self.room.piece(item).due_ms
        return ENDLESS if due is None else due

    def _item(self, name: str) -> int:
        """The item of a piece in time; -1 where none of it is wanted."""
        return next((item for item in self.order if self.room.piece(item).id == name), -1)

    def _begun_items(self, bar: int) -> dict[int, int]:
        begun = self.room.begun(self.room.problem.bars[bar])
        return {self._item(self.room.problem.pieces[place].id): count for place, count in begun.items()}

    def _heat_for(self, order: str, chance: Random | None) -> str:
        """Of the heats every piece of the order may come from the one with the longest bars in all, or one by
        chance."""
        problem = self.room.problem
        pieces = [piece for piece in problem.pieces if piece.order == order and piece.count]
        lengths: dict[str, int] = {}
        for bar in problem.bars:
            if pieces and all(problem.may_come_from(piece, bar) for piece in pieces):
                count = len(self.left) + sum(self.left) if bar.count is None else bar.count
                lengths[bar.heat] = lengths.get(bar.heat, 0) + count * bar.length_um
        if chance is not None and lengths:
            return chance.choice(sorted(lengths))
        return max(lengths, key=lambda heat: (lengths[heat], heat), default="")

    def _may_go(self, item: int, bar: int) -> bool:
        piece, stock = self.room.piece(item), self.room.problem.bars[bar]
        wanted = self.heat_of.get(piece.order)
        return self.room.problem.may_come_from(piece, stock) and wanted in (None, stock.heat)

    def _filled(self, bar: int, items: Mapping[int, int]) -> Column | None:
        """The bar with these items on it, filled up."""
        counts = dict(items)
        for item in self.order:
            spare = self.left[self.room.items[item].piece] - counts.get(item, 0)
            while spare > 0 and self._may_go(item, bar):
                more = counts | {item: counts.get(item, 0) + 1}
                if self._column(bar, more) is None:
                    break
                counts, spare = more, spare - 1
        return self._column(bar, counts) if counts else None

    def _column(self, bar: int, counts: dict[int, int]) -> Column | None:
        layouts: Iterable[Column] = self.room.columns_of(bar, counts)
        return max(layouts, key=lambda column: (column.remnant_um, -column.cuts), default=None)

    def _best_bar(self) -> Column | None:
        """Of all bars filled the one that costs least for the length of its pieces."""
        best: tuple[float, int, Column] | None = None
        for number, bar in enumerate(self.room.problem.bars):
            if self.bars[number] and not bar.begun:
                column = self._filled(number, {})
                if column is not None:
                    length = sum(self.room.doubled_mean[item] * count for item, count in column.counts)
                    # A bar that costs nothing still is better the fuller it is.
                    rank = (bar.cost + 1) / length, number, column
                    if best is None or rank[:2] < best[:2]:
                        best = rank
        return None if best is None else best[2]

    def _can_take(self, column: Column, bars: int) -> bool:
        held: Sequence[tuple[int, int]] = column.counts
        enough = all(self.left[self.room.items[item].piece] >= count * bars for item, count in held)
        return enough and self.bars[column.bar] >= bars

    def _take(self, column: Column | None, bars: int) -> None:
        if column is None or not self._can_take(column, bars):
            return
        for item, count in column.counts:
            self.left[self.room.items[item].piece] -= count * bars
        self.bars[column.bar] -= bars
        self.loads[column, bars] = self.loads.get((column, bars), 0) + 1


def given_up(room: Room, column: Column) -> Iterable[Column]:
    """The column with all its pieces that have a due time counted as late, where that may be."""
    late = {room.items[item].piece: item for item in range(len(room.items)) if room.items[item].late}
    counts: dict[int, int] = {}
    for item, count in column.counts:
        other = late.get(room.items[item].piece, item)
        counts[other] = counts.get(other, 0) + count
    if counts != dict(column.counts):
        yield from room.columns_of(column.bar, counts)
