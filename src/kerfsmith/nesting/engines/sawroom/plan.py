"""From loads of columns to the runs of a plan, in the order they are to be cut."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.layout import place
from kerfsmith.nesting.engines.sawroom.rows import Model
from kerfsmith.nesting.problem import Piece, Placed
from kerfsmith.nesting.recount import cut_leans, walk
from kerfsmith.nesting.result import Run


@dataclass(frozen=True, slots=True)
class Chosen:
    """A column, the bars on each of its loads, and how many of its bars' leftovers are kept."""

    column: Column
    loads: tuple[int, ...]
    kept: int


def constant(room: Room, aim: Aim) -> int:
    """What an aim counts beside loads and leftovers: all bars of the former plan, of which those kept are
    taken."""
    return sum(before.times for before in room.problem.former) if aim is Aim.CHANGES else 0


def chosen_of(
    room: Room, model: Model, columns: Sequence[Column], values: Sequence[int]
) -> tuple[Chosen, ...]:
    """The columns a solution uses. Leftovers no aim speaks of are kept as far as they may be."""
    loads: dict[int, list[int]] = {}
    for variable, (number, size, run) in model.loads.items():
        loads.setdefault(number, []).extend([size] * (run * values[variable]))
    kept = {number: values[variable] for variable, number in model.kept.items()}
    most_new = room.problem.leftovers.most_new
    free = sum(map(sum, loads.values())) if most_new is None else most_new - sum(kept.values())
    found = []
    for number, sizes in loads.items():
        if sizes:
            column = columns[number]
            more = 0
            if number in model.always_kept:
                more = sum(sizes)
            elif room.may_keep(column) and not any(room.price_of_keeping(column, aim) for aim in model.aims):
                more = min(free, sum(sizes))
            free -= more
            sizes.sort(reverse=True)
            found.append(Chosen(column, tuple(sizes), kept.get(number, 0) + more))
    return tuple(found)


def chosen_from(room: Room, runs: Sequence[Run]) -> tuple[Chosen, ...] | None:
    """The columns of a plan known beforehand; None where the room has no such column, as for pieces given up
    as late."""
    items = {room.piece(item).id: item for item in range(len(room.items)) if not room.items[item].late}
    bars = {bar.id: number for number, bar in enumerate(room.problem.bars)}
    found: dict[Column, Chosen] = {}
    for run in runs:
        if any(name not in items for name in run.counts):
            return None
        counts = {items[name]: count for name, count in run.counts.items()}
        slanting = cut_leans(room.problem, run.placed, run.ends_in_vise)
        likeliest = [
            column
            for column in room.columns_of(bars[run.bar], counts)
            if (column.in_vise, column.remnant_um, column.cuts)
            == (run.ends_in_vise, run.remnant_um, run.cuts)
            and all(
                slanting[lean] == number
                for lean, number in zip(room.layouts.timed, column.end[2:], strict=True)
            )
        ]
        if not likeliest:
            return None
        before = found.get(likeliest[0], Chosen(likeliest[0], (), 0))
        loads = tuple(sorted((*before.loads, *run.loads), reverse=True))
        found[likeliest[0]] = Chosen(likeliest[0], loads, before.kept + run.kept)
    return tuple(found.values())


def runs_of(room: Room, chosen: Sequence[Chosen]) -> tuple[Run, ...]:
    """The runs of a plan: what is due first is cut first, then bar by bar as the problem lists them."""
    endless = 1 + max((one.column.due_ms or 0 for one in chosen), default=0)
    ordered = sorted(
        chosen,
        key=lambda one: (
            endless if one.column.due_ms is None else one.column.due_ms,
            one.column.bar,
            one.column.counts,
        ),
    )
    return tuple(_run(room, one) for one in ordered)


def _run(room: Room, one: Chosen) -> Run:
    column = one.column
    loads = one.loads
    if not room.time_matters and room.problem.bundle_most > 1:
        loads = _bundled(sum(loads), room.problem.bundle_most)
    kept = one.kept
    placed = lay_out(room, column)
    bar = room.problem.bars[column.bar].id
    return Run(bar, loads, placed, column.remnant_um, column.cuts, kept, column.in_vise)


def _bundled(bars: int, most: int) -> tuple[int, ...]:
    """As few loads as will do, the full ones first."""
    return (most,) * (bars // most) + ((bars % most,) if bars % most else ())


def lay_out(room: Room, column: Column) -> tuple[Placed, ...]:
    """The pieces of a column in their order on the bar, the longest first where shapes are alike."""
    stock = room.problem.bars[column.bar]
    pieces = _fresh_pieces(room, column)
    fresh = tuple(len(pieces.get(shape, ())) for shape in range(len(room.layouts.shapes)))
    order = room.layouts.order(stock, fresh, column.in_vise, column.end)
    placed = place(stock, order, pieces)
    if not column.in_vise:
        return placed
    spare = stock.length_um - walk(room.problem, placed).bottom_um
    stretched = list(placed)
    for index in reversed(range(len(stock.begun), len(placed))):
        more = min(spare, room.problem.piece_by_id[placed[index].piece].over_um)
        stretched[index] = replace(placed[index], over_um=more)
        spare -= more
    return tuple(stretched)


def _fresh_pieces(room: Room, column: Column) -> dict[int, list[Piece]]:
    """The pieces of a column that aren't cut yet, by shape, the longest first."""
    begun: Mapping[int, int] = room.begun(room.problem.bars[column.bar])
    left = dict(begun)
    pieces: dict[int, list[Piece]] = {}
    for item, count in column.counts:
        piece = room.items[item].piece
        done = min(count, left.get(piece, 0))
        left[piece] = left.get(piece, 0) - done
        pieces.setdefault(room.shape_of[item], []).extend([room.problem.pieces[piece]] * (count - done))
    for alike in pieces.values():
        alike.sort(key=lambda piece: (-piece.length_um, piece.id))
    return pieces
