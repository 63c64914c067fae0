"""Aim by aim over the whole list of columns: solve for the first, hold it there, go on to the next."""

from collections.abc import Sequence

from kerfsmith.nesting.engines.sawroom.answer import RoomAnswer
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.plan import chosen_of, constant, runs_of
from kerfsmith.nesting.engines.sawroom.rows import build
from kerfsmith.nesting.stop import Watch


def solve_listed(room: Room, columns: Sequence[Column], watch: Watch, seed: int) -> RoomAnswer:
    """The best plan over columns that are all there are."""
    model = build(room, columns)
    values: tuple[int, ...] | None = None
    bounds: list[int | None] = []
    proven = True
    for aim in room.problem.aims:
        answer = model.program.solve(model.aims[aim], watch, seed, values)
        if answer.value is None:
            if answer.ended == "infeasible":
                return _refuted(room, columns, watch, seed)
            return RoomAnswer(None, (answer.bound,), "every pattern")
        values = answer.values
        bound = answer.bound if proven else None
        bounds.append(None if bound is None else bound + constant(room, aim))
        proven = proven and answer.ended == "optimal"
        watch.tell(answer.value, answer.bound or 0, aim.value)
        model.program.row(model.aims[aim], None, answer.value)
    assert values is not None
    plan = chosen_of(room, model, columns, values)
    return RoomAnswer(runs_of(room, plan), tuple(bounds), "every pattern")


def _refuted(room: Room, columns: Sequence[Column], watch: Watch, seed: int) -> RoomAnswer:
    """There is no plan: find the least length that must stay uncut."""
    model = build(room, columns, uncut=True)
    lengths = {number: room.problem.pieces[place].length_um for number, place in model.uncut.items()}
    answer = model.program.solve(lengths, watch, seed)
    uncut = {
        room.problem.pieces[place].id: answer.values[number]
        for number, place in model.uncut.items()
        if answer.values and answer.values[number]
    }
    return RoomAnswer(None, (), "every pattern", True, uncut, answer.ended == "optimal")
