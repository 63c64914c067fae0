"""One bar's worth of cutting as a column: which pieces, how the bar ends, and what each aim makes of it."""

from collections.abc import Iterator
from dataclasses import dataclass

from kerfsmith.nesting.aims import Aim, SawTime
from kerfsmith.nesting.ends import bottom_length
from kerfsmith.nesting.engines.sawroom.layout import Counts, End, Layouts, no_more_cuts
from kerfsmith.nesting.problem import BarStock, Piece, Problem


@dataclass(frozen=True, slots=True)
class Item:
    """A piece as the columns count it: in time, or given up as late. ``piece`` is its place in the
    problem."""

    piece: int
    late: bool


@dataclass(frozen=True, slots=True)
class Column:
    """A bar laid out: (item, count) in the items' order, what is left, how many cuts, whether it ends in the
    vise.

    ``end`` is the layout's end less the sum of lengths; ``due_ms`` the earliest due time among pieces in
    time."""

    bar: int
    counts: tuple[tuple[int, int], ...]
    end: End
    in_vise: bool
    remnant_um: int
    cuts: int
    due_ms: int | None


class Room:
    """A problem made ready for columns: items, layouts, and what may go on each bar."""

    def __init__(self, problem: Problem) -> None:
        """Reads everything about single pieces and bars from the problem."""
        self.problem = problem
        self.layouts = Layouts(problem)
        late = problem.may_be_late
        self.items: list[Item] = []
        for place, piece in enumerate(problem.pieces):
            if piece.count:
                self.items.append(Item(place, late=False))
                if late and piece.due_ms is not None:
                    self.items.append(Item(place, late=True))
        self.items.sort(key=lambda item: (-problem.pieces[item.piece].length_um, item.piece, item.late))
        self.shape_of = [self.layouts.shape_of(self.piece(item)) for item in range(len(self.items))]
        self.doubled_mean = [_doubled_mean(self.piece(item)) for item in range(len(self.items))]
        self.time_matters = self._time_matters()
        self.counts_runs = self._counts_runs()
        self.one_column_a_pattern = not late and not any(
            piece.is_mitred or problem.may_end_in_vise(piece, bar)
            for piece in problem.pieces
            for bar in problem.bars
        )

    def piece(self, item: int) -> Piece:
        """The piece an item stands for."""
        return self.problem.pieces[self.items[item].piece]

    def begun(self, bar: BarStock) -> dict[int, int]:
        """How many of each piece (by its place in the problem) are on a begun bar already."""
        found: dict[int, int] = {}
        places = {piece.id: place for place, piece in enumerate(self.problem.pieces)}
        for placed in bar.begun:
            found[places[placed.piece]] = found.get(places[placed.piece], 0) + 1
        return found

    def _time_matters(self) -> bool:
        aims, rates = set(self.problem.aims), self.problem.rates
        priced = Aim.MONEY in aims and (rates.saw_per_second or rates.per_load)
        timed = any(piece.due_ms is not None for piece in self.problem.pieces)
        return bool(timed or priced or aims & {Aim.CUTS, Aim.LOADS, Aim.SAW_TIME})

    def _counts_runs(self) -> bool:
        """Whether a pattern has a price and each load is one bar: then all bars of a pattern are taken at
        once."""
        aims, rates = set(self.problem.aims), self.problem.rates
        priced = Aim.PATTERNS in aims or (Aim.MONEY in aims and rates.per_pattern > 0)
        return priced and not (self.time_matters and self.problem.bundle_most > 1)

    def bundle_sizes(self, bar: BarStock) -> range:
        """How many bars a load may hold, as far as the plan's worth depends on it."""
        most = self.problem.bundle_most if self.time_matters else 1
        return range(1, min(most, most if bar.count is None else bar.count) + 1)

    def columns_of(self, bar: int, counts: dict[int, int]) -> Iterator[Column]:
        """The columns for these items on a bar: none where they don't fit, several where cuts trade for
        length."""
        stock = self.problem.bars[bar]
        fresh, length, over = self._measure(stock, counts)
        due = self._earliest_due(counts)
        key = tuple(sorted(counts.items()))
        for end in self.layouts.ends(stock, fresh, in_vise=False):
            remnant = stock.length_um - length - end[0]
            if remnant >= self.problem.grip_um:
                yield Column(bar, key, end, False, remnant, end[1], due)
        if self.problem.grip_um == 0 or stock.end_is_good:
            fits = [
                end
                for end in self.layouts.ends(stock, fresh, in_vise=True)
                if 0 <= stock.length_um - length - end[0] <= over
            ]
            taken: list[End] = []
            for end in sorted(fits, key=lambda end: end[1:]):
                if not any(no_more_cuts(other, end) for other in taken):
                    taken.append(end)
                    yield Column(bar, key, end, True, 0, end[1], due)

    def may_go_on(self, bar: int, counts: dict[int, int]) -> bool:
        """Whether these items, and perhaps more, may still fit: they do closed, or their bare lengths do.

        A further piece never makes a layout shorter, so what doesn't fit here fits nowhere beyond.
        """
        stock = self.problem.bars[bar]
        fresh, length, _ = self._measure(stock, counts)
        room = stock.length_um - length
        if any(end[0] <= room - self.problem.grip_um for end in self.layouts.ends(stock, fresh, False)):
            return True
        if self.problem.grip_um and not stock.end_is_good:
            return False
        return any(end[0] <= room for end in self.layouts.ends(stock, fresh, True))

    def _measure(self, stock: BarStock, counts: dict[int, int]) -> tuple[Counts, int, int]:
        """Shapes still to be laid, the sum of their lengths and of what they may be over [um]."""
        pieces: dict[int, int] = {}
        shape_of: dict[int, int] = {}
        for item, count in counts.items():
            place = self.items[item].piece
            pieces[place] = pieces.get(place, 0) + count
            shape_of[place] = self.shape_of[item]
        for place, count in self.begun(stock).items() if stock.begun else ():
            pieces[place] -= count
        fresh = [0] * len(self.layouts.shapes)
        length = over = 0
        for place, count in pieces.items():
            fresh[shape_of[place]] += count
            length += count * self.problem.pieces[place].length_um
            over += count * self.problem.pieces[place].over_um
        return tuple(fresh), length, over

    def _earliest_due(self, counts: dict[int, int]) -> int | None:
        dues = [
            due
            for item in counts
            if not self.items[item].late and (due := self.piece(item).due_ms) is not None
        ]
        return min(dues, default=None)

    def most_bars(self, column: Column) -> int:
        """How many bars can at most be cut this way: by the bars there are and by each piece wanted."""
        pieces: dict[int, int] = {}
        for item, count in column.counts:
            place = self.items[item].piece
            pieces[place] = pieces.get(place, 0) + count
        most = min(self.problem.pieces[place].count // count for place, count in pieces.items())
        supply = self.problem.bars[column.bar].count
        return most if supply is None else min(most, supply)

    def pattern_of(self, column: Column) -> tuple[str, tuple[tuple[str, int], ...]]:
        """The bar and how many of each piece, late or not."""
        found: dict[str, int] = {}
        for item, count in column.counts:
            name = self.piece(item).id
            found[name] = found.get(name, 0) + count
        return self.problem.bars[column.bar].id, tuple(sorted(found.items()))

    def worth_of(self, column: Column) -> int:
        """Worth of what is left of one bar when it is kept [millionths of the currency]."""
        return self.problem.leftovers.worth_of(column.remnant_um)

    def may_keep(self, column: Column) -> bool:
        """Whether what is left of one bar may be kept."""
        return self.problem.leftovers.may_keep(column.remnant_um)

    def keeps_always(self, column: Column) -> bool:
        """Whether no plan gets worse for any aim when all leftovers of this column are kept, and some aim
        better."""
        if self.problem.leftovers.most_new is not None or not self.may_keep(column):
            return False
        prices = [self.price_of_keeping(column, aim) for aim in self.problem.aims]
        return max(prices) <= 0 and min(prices) < 0

    def load_ms(self, column: Column, bars: int, clock: SawTime) -> int:
        """Milliseconds of one load by the saw's own time or the clock of due times."""
        slanted = dict(zip(self.layouts.timed, column.end[2:], strict=False))
        return clock.of_load(column.cuts, bars, slanted)

    def price(self, column: Column, bars: int, aim: Aim) -> int:
        """What one load of ``bars`` bars adds to an aim, before anything is kept and patterns are counted."""
        stock, rates = self.problem.bars[column.bar], self.problem.rates
        time = self.load_ms(column, bars, self.problem.saw_time)
        late = bars * sum(count for item, count in column.counts if self.items[item].late)
        match aim:
            case Aim.LATE:
                return late
            case Aim.COST | Aim.NET_MATERIAL:
                return bars * stock.cost
            case Aim.NEW_STOCK:
                return 0 if stock.is_remnant else bars * stock.cost
            case Aim.BARS:
                return bars
            case Aim.SCRAP:
                doubled = sum(self.doubled_mean[item] * count for item, count in column.counts)
                return bars * (stock.length_um - doubled // 2)
            case Aim.CUTS:
                return column.cuts
            case Aim.LOADS:
                return 1
            case Aim.SAW_TIME:
                return time
            case Aim.SUBSTITUTED:
                choices = (self.piece(i).materials[0] != stock.material for i, _ in column.counts)
                return bars * sum(n for (_, n), other in zip(column.counts, choices, strict=True) if other)
            case Aim.MONEY:
                saw = time * rates.saw_per_second // 1000
                return bars * stock.cost + saw + rates.per_load + late * rates.per_late_piece
            case Aim.REMNANTS | Aim.PATTERNS | Aim.CHANGES:
                return 0

    def price_of_keeping(self, column: Column, aim: Aim) -> int:
        """What keeping one bar's leftover adds to an aim."""
        match aim:
            case Aim.REMNANTS:
                return 1
            case Aim.NET_MATERIAL:
                return -self.worth_of(column)
            case Aim.SCRAP:
                return -column.remnant_um
            case Aim.MONEY:
                return self.problem.rates.per_remnant - self.worth_of(column)
            case _:
                return 0


def _doubled_mean(piece: Piece) -> int:
    bottom = bottom_length(piece.length_um, piece.left_um, piece.right_um)
    return 2 * bottom + piece.right_um - piece.left_um
