"""The room's rules between bars, as rows of a program in whole numbers over columns."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.mip import Program
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.limits import former_patterns, pattern_prices

Terms = dict[int, int]


@dataclass(slots=True)
class Model:
    """The program and what its variables stand for.

    ``loads[number]`` is a column and the bars on one load of it; ``kept[number]`` a column of whose bars'
    leftovers this many are kept. ``aims`` gives each aim's terms, ``former_bars`` the constant in the count
    of changes."""

    program: Program = field(default_factory=Program)
    loads: dict[int, tuple[int, int]] = field(default_factory=dict)
    kept: dict[int, int] = field(default_factory=dict)
    aims: dict[Aim, Terms] = field(default_factory=dict)
    uncut: dict[int, int] = field(default_factory=dict)


def build(room: Room, columns: Sequence[Column], uncut: bool = False, cover: bool = False) -> Model:
    """The program for these columns; a plan needs no others when the columns are all there are.

    With ``uncut`` pieces may be left out; with ``cover`` more of them may be cut than are wanted.
    """
    model = Model()
    model.aims = {aim: {} for aim in room.problem.aims}
    bars_of = [_load_variables(model, room, number, column) for number, column in enumerate(columns)]
    _demand(model, room, columns, bars_of, uncut, cover)
    _supply(model, room, columns, bars_of)
    _kept(model, room, columns, bars_of)
    _heats(model, room, columns, bars_of, cover)
    _promises(model, room, columns, bars_of)
    _dues(model, room, columns)
    _patterns(model, room, columns, bars_of)
    _changes(model, room, columns, bars_of)
    return model


def counted(model: Model, columns: Sequence[Column], key: tuple[str, object]) -> Terms:
    """The number of bars taken of one kind ("supply"), or of its leftovers kept ("kept")."""
    kind, bar = key
    if kind == "supply":
        return {v: size for v, (number, size) in model.loads.items() if columns[number].bar == bar}
    return {v: 1 for v, number in model.kept.items() if columns[number].bar == bar}


def _load_variables(model: Model, room: Room, number: int, column: Column) -> Terms:
    """Variables for loads of each size; returned as the sum of bars they hold."""
    most = room.most_bars(column)
    bars: Terms = {}
    for size in room.bundle_sizes(room.problem.bars[column.bar]):
        if size <= most:
            variable = model.program.variable(most // size)
            model.loads[variable] = number, size
            bars[variable] = size
            for aim, terms in model.aims.items():
                price = room.price(column, size, aim)
                if price:
                    terms[variable] = price
    return bars


def _demand(
    model: Model,
    room: Room,
    columns: Sequence[Column],
    bars_of: Sequence[Terms],
    uncut: bool,
    cover: bool,
) -> None:
    rows: list[Terms] = [{} for _ in room.problem.pieces]
    for column, bars in zip(columns, bars_of, strict=True):
        for item, count in column.counts:
            row = rows[room.items[item].piece]
            for variable, size in bars.items():
                row[variable] = row.get(variable, 0) + count * size
    for place, (piece, row) in enumerate(zip(room.problem.pieces, rows, strict=True)):
        if piece.count:
            if uncut:
                left_out = model.program.variable(piece.count)
                model.uncut[left_out] = place
                row[left_out] = 1
            model.program.row(row, piece.count, None if cover else piece.count)


def _supply(model: Model, room: Room, columns: Sequence[Column], bars_of: Sequence[Terms]) -> None:
    rows: list[Terms] = [{} for _ in room.problem.bars]
    for column, bars in zip(columns, bars_of, strict=True):
        rows[column.bar].update(bars)
    for stock, row in zip(room.problem.bars, rows, strict=True):
        if stock.begun:
            model.program.row(row, 1, 1)
        elif stock.count is not None and row:
            model.program.row(row, None, stock.count)


def _kept(model: Model, room: Room, columns: Sequence[Column], bars_of: Sequence[Terms]) -> None:
    most_new = room.problem.leftovers.most_new
    all_kept: Terms = {}
    for number, (column, bars) in enumerate(zip(columns, bars_of, strict=True)):
        prices = {aim: room.price_of_keeping(column, aim) for aim in model.aims}
        # Nothing asks for a leftover to be kept unless an aim gains by it.
        if not bars or not room.may_keep(column) or min(prices.values()) >= 0:
            continue
        variable = model.program.variable(room.most_bars(column))
        model.kept[variable] = number
        all_kept[variable] = 1
        model.program.row({variable: 1, **{load: -size for load, size in bars.items()}}, None, 0)
        for aim, price in prices.items():
            if price:
                model.aims[aim][variable] = price
    if most_new is not None and all_kept:
        model.program.row(all_kept, None, most_new)


def _heats(
    model: Model, room: Room, columns: Sequence[Column], bars_of: Sequence[Terms], cover: bool
) -> None:
    """For an order that must come from one heat: choose one, and cut its pieces from no other."""
    pieces, program = room.problem.pieces, model.program
    cut: dict[tuple[int, str], Terms] = defaultdict(dict)
    for column, bars in zip(columns, bars_of, strict=True):
        heat = room.problem.bars[column.bar].heat
        for item, count in column.counts:
            place = room.items[item].piece
            if pieces[place].order in room.problem.one_heat_orders:
                row = cut[place, heat]
                for variable, size in bars.items():
                    row[variable] = row.get(variable, 0) + count * size
    chosen: dict[tuple[str, str], int] = {}
    for (place, heat), row in cut.items():
        key = pieces[place].order, heat
        if key not in chosen:
            chosen[key] = program.variable(1)
        program.row({**row, chosen[key]: -pieces[place].count * (3 if cover else 1)}, None, 0)
    for order in sorted(room.problem.one_heat_orders):
        program.row({number: 1 for (o, _), number in chosen.items() if o == order}, None, 1)


def _promises(model: Model, room: Room, columns: Sequence[Column], bars_of: Sequence[Terms]) -> None:
    for promise in room.problem.promises:
        row: Terms = {}
        for column, bars in zip(columns, bars_of, strict=True):
            if room.problem.bars[column.bar].id == promise.bar:
                held = sum(n for item, n in column.counts if room.piece(item).id == promise.piece)
                if held:
                    row.update({variable: held * size for variable, size in bars.items()})
        model.program.row(row, promise.count, None)


def _dues(model: Model, room: Room, columns: Sequence[Column]) -> None:
    """Loads cut earliest due first are all in time when, for each due time, those due by then end by then."""
    dues = sorted({due for column in columns if (due := column.due_ms) is not None})
    for due in dues:
        row: Terms = {}
        for variable, (number, size) in model.loads.items():
            column = columns[number]
            if column.due_ms is not None and column.due_ms <= due:
                row[variable] = room.load_ms(column, size, room.problem.clock)
        model.program.row(row, None, due)


def _patterns(model: Model, room: Room, columns: Sequence[Column], bars_of: Sequence[Terms]) -> None:
    """One variable a pattern, 1 where any bar is cut by it."""
    counted = pattern_prices(room)
    if not counted:
        return
    bars_by_pattern: dict[object, Terms] = defaultdict(dict)
    most: dict[object, int] = {}
    for column, bars in zip(columns, bars_of, strict=True):
        if bars:
            pattern = room.pattern_of(column)
            bars_by_pattern[pattern].update(bars)
            most[pattern] = room.most_bars(column)
    for key, terms in bars_by_pattern.items():
        used = model.program.variable(1)
        model.program.row({**terms, used: -most[key]}, None, 0)
        for aim, price in counted.items():
            model.aims[aim][used] = price


def _changes(model: Model, room: Room, columns: Sequence[Column], bars_of: Sequence[Terms]) -> None:
    """One variable for each bar pattern of the former plan: how many of its bars are cut as it said."""
    problem = room.problem
    if Aim.CHANGES not in model.aims and problem.most_changes is None:
        return
    former = former_patterns(room)
    now: dict[object, Terms] = defaultdict(dict)
    for column, bars in zip(columns, bars_of, strict=True):
        now[room.pattern_of(column)].update(bars)
    all_kept: Terms = {}
    for pattern, times in former.items():
        same = model.program.variable(times)
        all_kept[same] = 1
        model.program.row({same: 1, **{v: -size for v, size in now[pattern].items()}}, None, 0)
    if Aim.CHANGES in model.aims:
        model.aims[Aim.CHANGES] = dict.fromkeys(all_kept, -1)
    if problem.most_changes is not None:
        model.program.row(all_kept, sum(former.values()) - problem.most_changes, None)
