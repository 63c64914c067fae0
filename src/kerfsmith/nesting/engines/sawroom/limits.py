"""The rules between bars as rows with limits, and what one load of bars counts in each."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.lots import Key, Lots

MOST_RUN = 8
"""Runs of up to so many bars are looked at each for itself, longer ones in groups."""

KEEPING = frozenset({Aim.REMNANTS, Aim.NET_MATERIAL, Aim.SCRAP, Aim.MONEY})
"""Aims that say something of leftovers kept."""


@dataclass(frozen=True, slots=True)
class Variant:
    """A column on loads of ``bars`` bars, their leftovers kept or not. ``real``: it can be cut as it stands.

    One that isn't real only makes the bound hold where the search for columns looks at lengths alone. With
    ``run`` it stands for so many loads at once: all that are cut by its pattern, whose price is then their
    own.
    """

    column: Column
    bars: int
    kept: bool
    real: bool = True
    run: int = 0

    @property
    def all_bars(self) -> int:
        """The bars of all its loads."""
        return self.bars * max(1, self.run)


@dataclass(slots=True)
class RowLimits:
    """A row's limits; None is none."""

    least: int | None
    most: int | None


@dataclass(frozen=True, slots=True)
class Rows:
    """All rows between bars; ``dues`` and ``aims`` repeat which due times and earlier aims have one."""

    limits: dict[Key, RowLimits]
    dues: tuple[int, ...]
    aims: tuple[Aim, ...]
    lots: Lots = field(default_factory=Lots)


def rows_of(room: Room, aim: Aim, earlier: Mapping[Aim, int]) -> Rows:
    """All rows of the room for one aim. ``earlier``: aims to be held at their values, their constants left
    out.

    Numbers of bars and of leftovers kept have a row each even where nothing limits them: they are branched
    on.
    """
    problem = room.problem
    rows: dict[Key, RowLimits] = {}
    for place, piece in enumerate(problem.pieces):
        if piece.count:
            rows["demand", place] = RowLimits(piece.count, piece.count)
            if piece.order in problem.one_heat_orders:
                for heat in sorted({bar.heat for bar in problem.bars} - {""}):
                    rows["heat", (place, heat)] = RowLimits(None, 0)
    for number, bar in enumerate(problem.bars):
        if bar.begun:
            rows["supply", number] = RowLimits(1, 1)
        else:
            rows["supply", number] = RowLimits(None, bar.count)
        if KEEPING & {aim, *earlier}:
            rows["kept", number] = RowLimits(None, None)
    for order in sorted(problem.one_heat_orders):
        rows["order", order] = RowLimits(None, 1)
    for number, promise in enumerate(problem.promises):
        rows["promise", number] = RowLimits(promise.count, None)
    if problem.leftovers.most_new is not None:
        rows["new", 0] = RowLimits(None, problem.leftovers.most_new)
    dues = sorted({piece.due_ms for piece in problem.pieces if piece.due_ms is not None})
    for due in dues:
        rows["due", due] = RowLimits(None, due)
    former = former_patterns(room)
    if former and (Aim.CHANGES in problem.aims or problem.most_changes is not None):
        for pattern in former:
            rows["former", pattern] = RowLimits(None, 0)
    if problem.most_changes is not None:
        rows["changes", 0] = RowLimits(sum(former.values()) - problem.most_changes, None)
    for aim, value in earlier.items():
        rows["aim", aim] = RowLimits(None, value)
    return Rows(rows, tuple(dues), tuple(earlier))


def former_patterns(room: Room) -> dict[object, int]:
    """The patterns of the former plan and how many bars were to be cut by each."""
    found: dict[object, int] = {}
    for before in room.problem.former:
        pattern = before.bar, tuple(sorted(before.pieces))
        found[pattern] = found.get(pattern, 0) + before.times
    return found


def entries(room: Room, variant: Variant, rows: Rows) -> dict[Key, int]:
    """A variant's coefficients in the rows, those of earlier aims included."""
    column, bars, problem = variant.column, variant.bars, room.problem
    found: dict[Key, int] = {("supply", column.bar): bars}
    stock = problem.bars[column.bar]
    for item, count in column.counts:
        place = room.items[item].piece
        for key in (("demand", place), ("heat", (place, stock.heat))):
            found[key] = found.get(key, 0) + count * bars
    for number, promise in enumerate(problem.promises):
        if promise.bar == stock.id:
            held = sum(n for item, n in column.counts if room.piece(item).id == promise.piece)
            found["promise", number] = held * bars
    if variant.kept:
        found["new", 0] = found["kept", column.bar] = bars
    if column.due_ms is not None:
        time = room.load_ms(column, bars, problem.clock)
        found.update({("due", due): time for due in rows.dues if column.due_ms <= due})
    if problem.former:
        found["former", room.pattern_of(column)] = -bars
    for aim in rows.aims:
        found["aim", aim] = price_of_load(room, variant, aim)
    if variant.run > 1:
        found = {key: value * variant.run for key, value in found.items()}
    if variant.run:
        for aim in rows.aims:
            found["aim", aim] += pattern_prices(room).get(aim, 0)
    found = {key: value for key, value in found.items() if value and key in rows.limits}
    if rows.lots.by:
        pieces = ((room.items[item].piece, count) for item, count in column.counts)
        found |= rows.lots.entries(column.bar, lot_of(room, variant), pieces)
    return found


def lot_of(room: Room, variant: Variant) -> int:
    """How many bars share their pattern or their load with each other; 0 where that isn't said."""
    return variant.run if room.counts_runs else variant.bars


def lots_matter(room: Room, aims: Iterable[Aim]) -> bool:
    """Whether any of these aims asks how bars are shared out to loads, or to patterns."""
    if room.counts_runs:
        return any(aim in pattern_prices(room) for aim in aims)
    bundles = any(len(room.bundle_sizes(bar)) > 1 for bar in room.problem.bars)
    return bundles and bool({Aim.LOADS, Aim.SAW_TIME, Aim.CUTS, Aim.MONEY} & {*aims})


def lot_sizes(room: Room) -> range:
    """The sizes that lots may have."""
    return range(MOST_RUN + 1) if room.counts_runs else range(1, room.problem.bundle_most + 1)


def lot_numbers(room: Room, parts: Iterable[tuple[Variant, float]]) -> dict[int, dict[int, float]]:
    """How many of each piece one bar of each lot holds in all, by the lot's size, from parts of variants."""
    sizes = lot_sizes(room)
    found = {
        place: dict.fromkeys(sizes, 0.0) for place, piece in enumerate(room.problem.pieces) if piece.count
    }
    for variant, value in parts:
        if value:
            size = lot_of(room, variant)
            for item, count in variant.column.counts:
                found[room.items[item].piece][size] += value * count
    return found


def price(room: Room, variant: Variant, aim: Aim) -> int:
    """What a variant adds to an aim: one load, or a run of them with the price of their pattern."""
    each = price_of_load(room, variant, aim)
    return variant.run * each + pattern_prices(room).get(aim, 0) if variant.run else each


def price_of_load(room: Room, variant: Variant, aim: Aim) -> int:
    """What one load adds to an aim."""
    kept = variant.bars * room.price_of_keeping(variant.column, aim) if variant.kept else 0
    return room.price(variant.column, variant.bars, aim) + kept


def pattern_prices(room: Room) -> dict[Aim, int]:
    """What each aim counts for a pattern used at all."""
    prices = {Aim.PATTERNS: 1, Aim.MONEY: room.problem.rates.per_pattern}
    return {aim: price for aim, price in prices.items() if price and aim in room.problem.aims}


def dearest_load(room: Room, aim: Aim) -> int:
    """The most one load may add to an aim or take from it, roughly; at least 1."""
    shortest = min((piece.length_um for piece in room.problem.pieces if piece.count), default=1)
    most = 1
    for number, bar in enumerate(room.problem.bars):
        cuts = 2 + 2 * (bar.length_um // shortest)
        whole = Column(number, (), (0, cuts), False, bar.length_um, cuts, None)
        for bars in room.bundle_sizes(bar):
            kept = bars * abs(room.price_of_keeping(whole, aim))
            most = max(
                most, abs(room.price(whole, bars, aim)) + kept, bars * (cuts if aim is Aim.LATE else 1)
            )
    return most


@dataclass(frozen=True, slots=True)
class OtherVariable:
    """A variable that is no load: its price and upper limit, its coefficients, and the (order, heat) it
    chooses."""

    price: int
    upper: int
    terms: dict[Key, int]
    chooses: tuple[str, str] | None = None


def other_variables(room: Room, aim: Aim, rows: Rows) -> list[OtherVariable]:
    """Heats chosen for orders, and bars cut as the former plan said."""
    chosen: dict[tuple[str, str], dict[Key, int]] = {}
    for kind, name in rows.limits:
        if kind == "heat" and isinstance(name, tuple):
            place, heat = name
            piece = room.problem.pieces[place]
            terms = chosen.setdefault((piece.order, heat), {("order", piece.order): 1})
            terms["heat", name] = -piece.count
    found = [OtherVariable(0, 1, terms, choice) for choice, terms in chosen.items()]
    former = former_patterns(room)
    for kind, pattern in rows.limits:
        if kind == "former":
            terms = {(kind, pattern): 1}
            if ("changes", 0) in rows.limits:
                terms["changes", 0] = 1
            if ("aim", Aim.CHANGES) in rows.limits:
                terms["aim", Aim.CHANGES] = -1
            found.append(OtherVariable(-1 if aim is Aim.CHANGES else 0, former[pattern], terms))
    return found
