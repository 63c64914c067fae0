"""Plans that cut too much, found more easily, and trimmed to what is wanted."""

from collections.abc import Iterable, Mapping, Sequence

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.filling import Loads
from kerfsmith.nesting.engines.sawroom.rows import build
from kerfsmith.nesting.stop import Watch


def cover(
    room: Room, columns: Iterable[Column], aim: Aim, held: Mapping[Aim, int], watch: Watch, seed: int
) -> Loads | None:
    """Loads that give at least what is wanted, best for the aim, with what is too much taken off again.

    None where there are none or they can't be trimmed. Whether the trimmed loads keep every rule is for the
    caller to try: they may need more loads, or leave a promise short."""
    listed = list(columns)
    model = build(room, listed, cover=True)
    for earlier, value in held.items():
        model.program.row(model.aims[earlier], None, value)
    answer = model.program.solve(model.aims[aim], watch, seed)
    if answer.value is None:
        return None
    loads = [
        (listed[number], size)
        for variable, (number, size, run) in model.loads.items()
        for _ in range(run * answer.values[variable])
    ]
    return trimmed(room, loads)


def trimmed(room: Room, loads: Sequence[tuple[Column, int]]) -> Loads | None:
    """The loads with surplus pieces taken off; a load is split where only some of its bars are trimmed."""
    surplus = [-piece.count for piece in room.problem.pieces]
    for column, bars in loads:
        for item, count in column.counts:
            surplus[room.items[item].piece] += count * bars
    found: Loads = {}
    for column, bars in loads:
        for counts, number in _parts(room, column, bars, surplus):
            best = _laid(room, column, counts)
            if best is None:
                return None
            found[best, number] = found.get((best, number), 0) + 1
    return found if not any(surplus) else None


def _parts(room: Room, column: Column, bars: int, surplus: list[int]) -> Iterable[tuple[dict[int, int], int]]:
    """Take off what one load can spare: for all its bars, or for some of them as a load of their own."""
    counts = dict(column.counts)
    begun = room.begun(room.problem.bars[column.bar])
    for item in list(counts):
        place = room.items[item].piece
        spare = min(counts[item] - begun.get(place, 0), surplus[place] // bars)
        if spare > 0:
            counts[item] -= spare
            surplus[place] -= spare * bars
    some = dict(counts)
    fewer = 0
    for item in counts:
        place = room.items[item].piece
        if 0 < surplus[place] < bars and counts[item] > begun.get(place, 0) and fewer in (0, surplus[place]):
            fewer = surplus[place]
            some[item] -= 1
            surplus[place] = 0
    parts = [(some, fewer), (counts, bars - fewer)] if fewer else [(counts, bars)]
    for laid, number in parts:
        left = {item: count for item, count in laid.items() if count}
        if left:
            yield left, number


def _laid(room: Room, column: Column, counts: dict[int, int]) -> Column | None:
    """The layout of these items most like the column's own: the same where nothing was taken off."""
    layouts = list(room.columns_of(column.bar, counts))
    if column in layouts:
        return column
    return max(layouts, key=lambda one: (one.remnant_um, -one.cuts), default=None)
