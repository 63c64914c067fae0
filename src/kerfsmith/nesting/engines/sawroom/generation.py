"""Column generation for one aim: prices, knapsacks, new columns, until nothing is lacking; then dives for
plans."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import product

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.knapsack import best_sets, shadow
from kerfsmith.nesting.engines.sawroom.limits import (
    MOST_RUN,
    Rows,
    Variant,
    lot_numbers,
    lot_of,
    lots_matter,
    rows_of,
)
from kerfsmith.nesting.engines.sawroom.listing import splits
from kerfsmith.nesting.engines.sawroom.lots import LotRow, rounded_rows
from kerfsmith.nesting.engines.sawroom.master import Master, Prices
from kerfsmith.nesting.engines.sawroom.pricing import Pricer
from kerfsmith.nesting.stop import Watch

MOST_ROUNDS = 400
LOT_ROUNDS, LOTS_A_ROUND = 20, 40

LP_S, LP_COLUMN_S, LP_ITERATION_S = 1.2e-4, 5e-7, 2e-5
TASK_S, STATE_S, NEW_S = 4e-4, 2.3e-7, 1e-4
"""Work [s] of a linear program, of its columns and steps; of a knapsack, its states and each column it
brings. Fitted to 3,000 of the one and 20,000 of the other."""


class Generation:
    """The linear program of one aim with earlier aims held, and the best bound it has given so far."""

    def __init__(
        self, room: Room, aim: Aim, earlier: Mapping[Aim, int], watch: Watch, help_only: bool = False
    ) -> None:
        """``earlier``: values the earlier aims' variable parts are held at. ``help_only``: see
        :class:`Master`."""
        self.room, self.aim, self.watch = room, aim, watch
        self.rows: Rows = rows_of(room, aim, earlier)
        self.pricer = Pricer(room, (aim, *earlier))
        self.master = Master(room, aim, self.rows, help_only=help_only)
        self.bound: int | None = None
        self.prices: Prices | None = None
        self.scaled_bound = 0
        self.help_price = 1.0
        self.needs_help = True
        self.knows_lots = lots_matter(room, (aim, *earlier))
        self.knows_runs = self.knows_lots and room.counts_runs
        self.former = tuple(self._former_columns())
        self.add(self.former)

    def add(self, columns: Iterable[Column]) -> None:
        """Make columns known, with every size of load and their leftovers kept or not."""
        for column in columns:
            self.master.add(self._all_variants(column))

    def _all_variants(self, column: Column) -> list[Variant]:
        most = self.room.most_bars(column)
        sizes = self.room.bundle_sizes(self.room.problem.bars[column.bar])
        keeping: tuple[bool, ...] = (False, True) if self.room.may_keep(column) else (False,)
        if self.room.keeps_always(column):
            keeping = (True,)
        runs: Iterable[int] = (0,)
        if self.room.counts_runs:
            runs = (*range(1, min(most, MOST_RUN) + 1), *((0,) if most > MOST_RUN else ()))
        return [
            Variant(column, bars, kept, run=run)
            for bars in sizes
            if bars <= most
            for run in runs
            for kept in keeping
        ]

    def _former_columns(self) -> Iterable[Column]:
        """Every column that cuts a bar as the former plan said."""
        places = {bar.id: number for number, bar in enumerate(self.room.problem.bars)}
        for before in self.room.problem.former:
            if before.bar in places and self.room.problem.bars[places[before.bar]].count != 0:
                yield from self._labelled(places[before.bar], dict(before.pieces))

    def _labelled(self, bar: int, pieces: Mapping[str, int]) -> Iterable[Column]:
        """Columns of these pieces, each of them counted in time or late in every way."""
        choices = []
        stock = self.room.problem.bars[bar]
        begun = self.room.begun(stock)
        for name, count in pieces.items():
            items = [i for i in range(len(self.room.items)) if self.room.piece(i).id == name]
            usable = [
                i
                for i in items
                if self.room.problem.may_come_from(self.room.piece(i), stock)
                or self.room.items[i].piece in begun
            ]
            choices.append(list(splits(usable, count)))
        for ways in product(*choices):
            counts: dict[int, int] = {}
            for way in ways:
                counts.update(way)
            held = {self.room.items[i].piece: 0 for i in counts}
            for item, count in counts.items():
                held[self.room.items[item].piece] += count
            if all(held.get(place, 0) >= count for place, count in begun.items()) and counts:
                yield from self.room.columns_of(bar, counts)

    def seed_begun(self) -> None:
        """The begun bars as they are, nothing more cut from them."""
        for number, bar in enumerate(self.room.problem.bars):
            if bar.begun:
                pieces: dict[str, int] = {}
                for placed in bar.begun:
                    pieces[placed.piece] = pieces.get(placed.piece, 0) + 1
                self.add(self._labelled(number, pieces))

    def to_optimum(self, most: Sequence[int] | None = None, rounds: int = MOST_ROUNDS) -> list[float] | None:
        """Generate columns until none is lacking. Returns the variants' values, None where the solver failed.

        With ``most`` (how many of each piece may still be laid) no bound is drawn from it.
        """
        pieces = tuple(piece.count for piece in self.room.problem.pieces)
        solved = None
        for _ in range(rounds):
            solved = self.master.solve(self.help_price)
            self.watch.count(LP_S + LP_COLUMN_S * len(self.master.variants))
            self.watch.count(LP_ITERATION_S * self.master.iterations)
            if solved is None:
                return None
            added = self._price(most or pieces, most is None)
            dear = self.master.help_only or self.help_price >= 1e4 * self.master.dearest
            if not added and solved[1] > 1e-7 and not dear:
                self.help_price = max(10 * self.help_price, float(self.master.dearest))
                added = 1
            if not added or self.watch.is_over:
                break
        if solved is None:
            return None
        self.needs_help = solved[1] > 1e-7
        return solved[0]

    def tightened(self, rounds: int = LOT_ROUNDS) -> list[float] | None:
        """As `to_optimum`, with the rows of lots that its values don't keep added, until they keep all."""
        values = self.to_optimum()
        for _ in range(rounds if self.knows_lots else 0):
            if values is None or self.watch.is_over or not self._add_lots(values):
                break
            values = self.to_optimum()
        return values

    def _add_lots(self, values: Sequence[float]) -> int:
        """Rows of lots, those first that are missed most; how many were added."""
        numbers = lot_numbers(self.room, zip(self.master.variants, values, strict=False))
        found: list[tuple[float, LotRow, int]] = []
        for place, have in numbers.items():
            found.extend(rounded_rows(self.room.problem.pieces[place].count, have, place))
        found.sort(key=lambda one: (-one[0], one[1].place, one[1].weights))
        for _, row, least in found[:LOTS_A_ROUND]:
            self.master.add_lots(row, least)
        return len(found)

    def _price(self, most: Sequence[int], draws_bound: bool) -> int:
        prices = self.master.prices()
        cheapest: dict[tuple[int, int], int] = {}
        least = cheapest.get
        added, states = 0, self.pricer.states
        tasks = self.pricer.tasks(prices)
        for task in tasks:
            best = best_sets(self.pricer, task, prices, most)
            key = task.bar, task.all_bars
            cheapest[key] = min([least(key, 0), *(found.reduced for found in best)])
            for found in best:
                if found.reduced < 0:
                    columns = self.room.columns_of(found.task.bar, dict(found.counts))
                    real = [one for column in columns for one in self._all_variants(column)]
                    same = [one for one in real if (one.bars, one.run) == (task.bars, task.run)]
                    reduced = [self.master.reduced(variant, prices) for variant in same]
                    if not reduced or min(reduced) > found.reduced:
                        real.append(shadow(self.pricer, found))
                    added += self.master.add(real)
        states = self.pricer.states - states
        self.watch.count(TASK_S * len(tasks) + STATE_S * states + NEW_S * added)
        if draws_bound:
            for variant in (one for column in self.former for one in self._all_variants(column)):
                key = variant.column.bar, variant.all_bars
                cheapest[key] = min(least(key, 0), self.master.reduced(variant, prices))
            self._draw(prices, cheapest)
        return added

    def _draw(self, prices: Prices, cheapest: Mapping[tuple[int, int], int]) -> None:
        scaled = self.master.bound(prices, cheapest)
        whole = -(-scaled // prices.scale)
        if self.bound is None or whole >= self.bound:
            self.bound, self.prices, self.scaled_bound = whole, prices, scaled
            self.watch.tell(None, whole, f"bound on {self.aim.value}")

    def taken(self) -> tuple[int | None, Prices | None, int]:
        """The bound so far with its prices, to be put back later."""
        return self.bound, self.prices, self.scaled_bound

    def put_back(self, known: tuple[int | None, Prices | None, int]) -> None:
        """Take up an earlier bound with its prices again."""
        self.bound, self.prices, self.scaled_bound = known

    def forget(self) -> None:
        """Drop bound and prices: the rows' limits have changed."""
        self.put_back((None, None, 0))

    def sizes_within(self, column: Column, prices: Prices, gap: int) -> frozenset[int]:
        """The sizes of lots of this column that a plan may have within a gap of the bound.

        Where one pattern has several columns, each bar's part of its run's reduced price counts, since others
        of the run may be cut by the rest."""
        return frozenset(
            lot_of(self.room, variant)
            for variant in self._all_variants(column)
            if self.master.reduced(variant, prices) <= gap * self.parts(variant)
        )

    def parts(self, variant: Variant) -> int:
        """In how many parts of one variant each a plan may have it at most."""
        return 1 if self.room.one_column_a_pattern else max(1, variant.run)

    def real_columns(self) -> dict[Column, None]:
        """The columns known that can be cut as they stand."""
        return dict.fromkeys(variant.column for variant in self.master.variants if variant.real)
