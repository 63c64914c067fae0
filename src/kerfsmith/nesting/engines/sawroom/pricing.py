"""What a load is worth at the linear program's prices, term by term: one knapsack for each bar, load and due
time.

It looks at lengths alone: each piece takes the mean of its two edges and half the kerfs of its two faces, and
the bar what is lost where faces can't match. What a knapsack of these terms finds is never worth less than
the best real layout, so a bound built on it holds. Lengths are counted in half micrometres here, since a mean
may end in a half."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

from kerfsmith.nesting.aims import Aim, SawTime
from kerfsmith.nesting.ends import kerf_along
from kerfsmith.nesting.engines.sawroom.columns import Room
from kerfsmith.nesting.engines.sawroom.faces import Faces
from kerfsmith.nesting.engines.sawroom.limits import MOST_RUN, pattern_prices
from kerfsmith.nesting.engines.sawroom.master import Prices
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.recount import cut_leans, walk
from kerfsmith.nesting.reduce import reachable_sums

USES = (1, 2, 3, 4, 6, 9, 14, 21, 32, 48, 72, 108)
"""Where groups of patterns begin, by the bars they can be cut on."""


@dataclass(frozen=True, slots=True)
class Task:
    """One knapsack: a bar, the bars on a load, and the earliest due time allowed on it (None: nothing due).

    Its patterns can be cut on ``least_uses`` bars at least as the pieces wanted say, and are taken as if they
    were cut on ``most_uses``, so that each bar bears the least share of its pattern's price. With ``run`` it
    is for so many loads together, all there are of their pattern, and bears that price whole."""

    bar: int
    bars: int
    due: int | None
    least_uses: int = 1
    most_uses: int = 1
    run: int = 0

    @property
    def all_bars(self) -> int:
        """The bars of all loads of the run."""
        return self.bars * max(1, self.run)


@dataclass(frozen=True, slots=True)
class Terms:
    """What a load costs in prices: ``base`` without pieces and cuts, ``cut`` for each cut, less ``values`` by
    item."""

    base: int
    cut: int
    values: tuple[int, ...]
    items: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Faces:
    """What slanting cuts take beside a square cut for each piece, at least.

    A cut makes two faces, or one at either end of the bar, so the cuts of a load take at least half of what
    its pieces' faces would take one by one, and half of the first and the last cut. With a facing cut these
    two halves are at least one cut of the quickest angle. Without one a square first face takes no cut: half
    a square cut less, half a cut of the last face more. A last face in the vise is square and takes none.
    What is half is rounded down to whole milliseconds."""

    problem: Problem
    bars: int

    def of_piece(self, piece: Piece) -> tuple[int, int]:
        """Half of both its faces' cuts, less one square cut: by the saw's time and by the clock of due times
        [ms]."""
        first, second = (
            (time.cut_of(self.bars, piece.left_um) + time.cut_of(self.bars, piece.right_um)) // 2
            - time.cut_of(self.bars)
            for time in (self.problem.saw_time, self.problem.clock)
        )
        return first, second

    def beside(self, stock: BarStock) -> tuple[int, int]:
        """What the bar's other cuts take at least, less square cuts as many as are counted for them [ms].

        On a begun bar the cuts made are known; its pieces are counted as others are, so that is taken back.
        """
        saw, clock = (self._beside(stock, time) for time in (self.problem.saw_time, self.problem.clock))
        return saw, clock

    def _beside(self, stock: BarStock, time: SawTime) -> int:
        square = time.cut_of(self.bars)
        quickest = min([square, *(time.cut_of(self.bars, lean) for lean in self.problem.timed_leans)])
        found = quickest - square
        for lean, number in cut_leans(self.problem, stock.begun, ends_in_vise=True).items():
            found += number * (time.cut_of(self.bars, lean) - square)
        place = (self.problem.saw_time, self.problem.clock).index(time)
        return found - sum(
            self.of_piece(self.problem.piece_by_id[placed.piece])[place] for placed in stock.begun
        )


def kerfs_of(problem: Problem, piece: Piece) -> int:
    """What the cuts of a piece's faces take along the bar, half of each being the piece's own [half um].

    A cut makes two faces alike, or one at either end of the bar. So all kerfs of a bar are at least half of
    those of its pieces' faces and half of the first and the last cut's. With a facing cut these two halves
    are at least the one plain kerf that goes with it; without one the last makes good for a first face that
    is square and uncut."""
    return sum(
        kerf_along(problem.kerf_um, lean, problem.depth_um) for lean in (piece.left_um, piece.right_um)
    )


class Pricer:
    """The knapsacks of a room."""

    def __init__(self, room: Room, aims: Sequence[Aim]) -> None:
        """``aims``: the one at work and those held."""
        self.room = room
        self.aims = tuple(aims)
        problem = room.problem
        self.sizes = [
            mean + kerfs_of(problem, room.piece(item)) for item, mean in enumerate(room.doubled_mean)
        ]
        self.faces = Faces(problem)
        self.over = any(piece.over_um for piece in problem.pieces)
        self._vise: dict[int, bool] = {}
        self.states = 0
        """States of all knapsacks so far: a measure of work."""
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
                        found.extend(Task(number, bars, due, *uses) for uses in self._uses(number, prices))
                        if self.room.counts_runs:
                            most = self._most_uses(number)
                            found.extend(
                                Task(number, bars, due, run, run, run)
                                for run in range(1, min(most, MOST_RUN) + 1)
                            )
                    last = time_price
        return found

    def _uses(self, bar: int, prices: Prices) -> list[tuple[int, int]]:
        """On how many bars patterns may be cut, in wider and wider groups; one if patterns cost nothing."""
        if not self.room.counts_runs and not self._pattern_price(prices):
            return [(1, 1)]
        most = self._most_uses(bar)
        begins = [uses for uses in USES if uses <= most]
        if self.room.counts_runs:
            begins = [uses for uses in begins if uses > MOST_RUN]
        return list(zip(begins, [*(uses - 1 for uses in begins[1:]), most], strict=True)) if begins else []

    def _most_uses(self, bar: int) -> int:
        """The most bars of this kind that one pattern can be cut on."""
        most = max((self.room.piece(item).count for item in self.usable[bar]), default=1)
        supply = self.room.problem.bars[bar].count
        return most if supply is None else max(1, min(most, supply))

    def _pattern_price(self, prices: Prices) -> int:
        each = pattern_prices(self.room)
        return sum(prices.weights.get(aim, 0) * price for aim, price in each.items())

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
        saw, clock, rates = problem.saw_time, problem.clock, problem.rates
        load_ms, cut_ms = saw.loading_of(bars), saw.cut_of(bars)
        due, time = self.time_price(prices, task.due), weights.get(Aim.SAW_TIME, 0)
        money = weights.get(Aim.MONEY, 0)
        material = weights.get(Aim.COST, 0) + weights.get(Aim.NET_MATERIAL, 0) + money
        material += 0 if stock.is_remnant else weights.get(Aim.NEW_STOCK, 0)
        base = bars * (material * stock.cost + weights.get(Aim.BARS, 0))
        base += bars * weights.get(Aim.SCRAP, 0) * stock.length_um
        base += due * clock.loading_of(bars) + time * load_ms + weights.get(Aim.LOADS, 0)
        base += money * (load_ms * rates.saw_per_second // 1000 + rates.per_load)
        base -= bars * prices.of("supply", task.bar)
        if not task.run:
            base += bars * self._pattern_price(prices) // task.most_uses

        def cuts_price(ms: int, clock_ms: int) -> int:
            return due * clock_ms + time * ms + money * (ms * rates.saw_per_second // 1000)

        cut = cuts_price(cut_ms, clock.cut_of(bars)) + weights.get(Aim.CUTS, 0)
        items = tuple(item for item in self.usable[task.bar] if self._in_time(item, task.due))
        values = [self._value(item, task, prices) for item in items]
        if problem.timed_leans:
            faces = _Faces(problem, bars)
            base += cuts_price(*faces.beside(stock))
            values = [
                value - cuts_price(*faces.of_piece(self.room.piece(item)))
                for value, item in zip(values, items, strict=True)
            ]
        return self._of_lot(Terms(base, cut, tuple(values), items), task, prices)

    def _of_lot(self, one: Terms, task: Task, prices: Prices) -> Terms:
        """One load's terms made those of the task's whole lot, with what its size is worth."""
        times, size = max(1, task.run), task.run if self.room.counts_runs else task.bars
        base = one.base * times + (self._pattern_price(prices) if task.run else 0)
        values = tuple(
            value * times + prices.lots.get(("piece", self.room.items[item].piece, size), 0)
            for item, value in zip(one.items, one.values, strict=True)
        )
        base -= prices.lots.get(("bar", task.bar, size), 0) + prices.lots.get(("any", 0, size), 0)
        return Terms(base, one.cut * times, values, one.items)

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
        gain += prices.of("kept", task.bar)
        gain -= weights.get(Aim.REMNANTS, 0) + money * self.room.problem.rates.per_remnant
        return max(0, gain * task.all_bars)

    def keep_slope(self, task: Task, prices: Prices) -> int:
        """At most so much is gained for each half micrometre left over."""
        weights = prices.weights
        steps = self.room.problem.leftovers.worth
        top = steps[-1].per_metre if steps else 0
        credit = (weights.get(Aim.NET_MATERIAL, 0) + weights.get(Aim.MONEY, 0)) * top
        return (credit // 1_000_000 + 1 + weights.get(Aim.SCRAP, 0)) * task.all_bars // 2 + 1

    def wanted(self, place: int, task: Task) -> int:
        """How many of a piece a pattern of the task may hold."""
        return self.room.problem.pieces[place].count // max(task.bars, task.least_uses)

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

    def wide(self, bar: int) -> int:
        """The longest that fresh pieces may be together on a bar [half um]."""
        room, _ = self.frame(bar)
        problem = self.room.problem
        # In the vise neither the closing cut's kerf nor the grip is needed.
        return room + (2 * (problem.kerf_um + problem.grip_um) if self.vise_is_open(bar) else 0)

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
