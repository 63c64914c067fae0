"""The room's rules between bars, as rows of a program in whole numbers over columns."""

from collections import Counter, defaultdict
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.mip import Program
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.limits import MOST_RUN, former_patterns, pattern_prices
from kerfsmith.nesting.engines.sawroom.lots import Key, LotRow, Lots

Terms = dict[int, int]
ALL_SIZES = range(1 << 31)


@dataclass(slots=True)
class Model:
    """The program and what its variables stand for.

    ``loads[number]`` is a column, the bars on one load of it and how many such loads one unit stands for:
    more than one where all that are cut by a pattern are taken together (those of ``whole``).
    ``kept[number]`` is a column of whose bars' leftovers this many are kept, ``always_kept`` those of which
    all are. ``aims`` gives each aim's terms."""

    program: Program = field(default_factory=Program)
    loads: dict[int, tuple[int, int, int]] = field(default_factory=dict)
    kept: dict[int, int] = field(default_factory=dict)
    aims: dict[Aim, Terms] = field(default_factory=dict)
    uncut: dict[int, int] = field(default_factory=dict)
    whole: set[int] = field(default_factory=set)
    always_kept: set[int] = field(default_factory=set)


def build(
    room: Room,
    columns: Sequence[Column],
    uncut: bool = False,
    cover: bool = False,
    sizes: Sequence[Container[int]] | None = None,
    lots: Lots | None = None,
) -> Model:
    """The program for these columns; a plan needs no others when the columns are all there are.

    With ``uncut`` pieces may be left out; with ``cover`` more of them may be cut than are wanted. ``sizes``
    are those of lots that each column may be in (None: any), ``lots`` further rows of them.
    """
    model = Model()
    model.aims = {aim: {} for aim in room.problem.aims}
    alone = [False] * len(columns) if sizes is None else _alone(room, columns)
    bars_of = [
        _load_variables(
            model, room, number, column, alone[number], ALL_SIZES if sizes is None else sizes[number]
        )
        for number, column in enumerate(columns)
    ]
    _demand(model, room, columns, bars_of, uncut, cover)
    _supply(model, room, columns, bars_of)
    _kept(model, room, columns, bars_of)
    _heats(model, room, columns, bars_of, cover)
    _promises(model, room, columns, bars_of)
    _dues(model, room, columns)
    _patterns(model, room, columns, bars_of, alone)
    if lots is not None:
        _lots(model, room, columns, lots)
    _changes(model, room, columns, bars_of)
    return model


def counted(model: Model, room: Room, columns: Sequence[Column], key: Key) -> Terms | None:
    """The number of bars taken of one kind ("supply"), of its leftovers kept ("kept"), or what a row of lots
    counts: None where the program doesn't know the size of each lot."""
    kind, bar = key
    if isinstance(bar, LotRow):
        if room.counts_runs and len(model.whole) < len(model.loads):
            return None
        lots = Lots()
        lots.add(bar, 0)
        return _lot_terms(model, room, columns, lots)[key]
    if kind == "supply":
        return {v: size * n for v, (number, size, n) in model.loads.items() if columns[number].bar == bar}
    return {v: 1 for v, number in model.kept.items() if columns[number].bar == bar} | {
        v: size * n
        for v, (number, size, n) in model.loads.items()
        if number in model.always_kept and columns[number].bar == bar
    }


def hinted(
    model: Model, columns: Sequence[Column], loads: Mapping[tuple[Column, int], int]
) -> dict[int, int]:
    """The variables' values for these loads; empty where the program has no such load."""
    left = dict(loads)
    values: dict[int, int] = {}
    for variable, (number, size, times) in reversed(model.loads.items()):
        have = left.get((columns[number], size), 0)
        if times == 1 and variable not in model.whole:
            values[variable], left[columns[number], size] = have, 0
        else:
            values[variable] = int(have == times)
            left[columns[number], size] = 0 if have == times else have
    return {} if any(left.values()) else values


def _alone(room: Room, columns: Sequence[Column]) -> list[bool]:
    """Whether each column is the only one of its pattern, and all bars of it can be taken together."""
    if not room.counts_runs:
        return [False] * len(columns)
    patterns = [room.pattern_of(column) for column in columns]
    times = Counter(patterns)
    return [
        times[pattern] == 1 and room.most_bars(column) <= MOST_RUN
        for pattern, column in zip(patterns, columns, strict=True)
    ]


def _load_variables(
    model: Model, room: Room, number: int, column: Column, alone: bool, sizes: Container[int]
) -> Terms:
    """Variables for loads of each size; returned as the sum of bars they hold."""
    most = room.most_bars(column)
    bars: Terms = {}
    if alone:
        ways = [(1, run, 1) for run in range(1, most + 1) if run in sizes]
    else:
        ways = [
            (size, 1, most // size)
            for size in room.bundle_sizes(room.problem.bars[column.bar])
            if size <= most and (room.counts_runs or size in sizes)
        ]
    patterns = pattern_prices(room) if alone else {}
    for size, run, upper in ways:
        variable = model.program.variable(upper)
        model.loads[variable] = number, size, run
        if alone:
            model.whole.add(variable)
        bars[variable] = size * run
        for aim, terms in model.aims.items():
            price = room.price(column, size, aim) * run + patterns.get(aim, 0)
            if price:
                terms[variable] = price
    if len(bars) > 1 and alone:
        model.program.row(dict.fromkeys(bars, 1), None, 1)
    return bars


def _lots(model: Model, room: Room, columns: Sequence[Column], lots: Lots) -> None:
    """Rows of lots found before: a help to the solver, no rule of their own."""
    for key, row in _lot_terms(model, room, columns, lots).items():
        model.program.row(row, lots.known[key], None)


def _lot_terms(model: Model, room: Room, columns: Sequence[Column], lots: Lots) -> dict[Key, Terms]:
    """What each variable counts in the rows of lots."""
    rows: dict[Key, Terms] = {key: {} for key in lots.known}
    for variable, (number, size, run) in model.loads.items():
        column = columns[number]
        lot = size if not room.counts_runs else run if variable in model.whole else 0
        held = ((room.items[item].piece, count) for item, count in column.counts)
        for key, value in lots.entries(column.bar, lot, held).items():
            if key in rows:
                rows[key][variable] = value
    return rows


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
        if room.keeps_always(column):
            model.always_kept.add(number)
            for aim, price in prices.items():
                terms = model.aims[aim]
                for load, size in bars.items():
                    terms[load] = terms.get(load, 0) + size * price
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
        for variable, (number, size, run) in model.loads.items():
            column = columns[number]
            if column.due_ms is not None and column.due_ms <= due:
                row[variable] = run * room.load_ms(column, size, room.problem.clock)
        model.program.row(row, None, due)


def _patterns(
    model: Model, room: Room, columns: Sequence[Column], bars_of: Sequence[Terms], alone: Sequence[bool]
) -> None:
    """One variable a pattern, 1 where any bar is cut by it, unless its loads are taken together."""
    counted = pattern_prices(room)
    if not counted:
        return
    bars_by_pattern: dict[object, Terms] = defaultdict(dict)
    most: dict[object, int] = {}
    for column, bars, together in zip(columns, bars_of, alone, strict=True):
        if bars and not together:
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
