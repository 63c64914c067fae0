"""The plan that there is without any search: bars filled one after the other, whatever the clock says."""

from collections.abc import Iterable
from random import Random

from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.filling import Filling, Loads, given_up
from kerfsmith.nesting.engines.sawroom.plan import Chosen, chosen_of
from kerfsmith.nesting.engines.sawroom.rows import build, hinted
from kerfsmith.nesting.stop import Watch, Work

HEAT_TRIES = 12
"""First plans with heats chosen by chance."""

MIXING_S = 1.0
"""Work [s] granted to mixing a filling's columns where its loads as they are break a rule."""


def fillings(room: Room, seed: int) -> Iterable[Loads]:
    """Bars filled by one rule, and where orders want one heat by heats chosen by chance too."""
    chances = [Random(seed + number) for number in range(HEAT_TRIES)]
    for chance in (None, *(chances if room.problem.one_heat_orders else ())):
        loads = Filling(room, chance).fill()
        if loads is not None:
            yield loads


def columns_for(room: Room, loads: Loads) -> dict[Column, None]:
    """The columns of a filling, and these with what is due given up as late."""
    columns = {column: None for column, _ in loads}
    for column in list(columns):
        columns |= dict.fromkeys(given_up(room, column))
    return columns


def greedy_plan(room: Room, seed: int) -> tuple[Chosen, ...] | None:
    """The first filling that keeps every rule, its loads as they are or mixed; None where none does.

    No clock and no wish to stop is asked: a set amount of work at most goes into it.
    """
    for loads in fillings(room, seed):
        plan = _kept(room, loads, seed, as_filled=True) or _kept(room, loads, seed, as_filled=False)
        if plan is not None:
            return plan
    return None


def _kept(room: Room, loads: Loads, seed: int, as_filled: bool) -> tuple[Chosen, ...] | None:
    """A plan of a filling's columns that keeps every rule, ``as_filled``: of just its loads."""
    columns = list(columns_for(room, loads))
    model = build(room, columns)
    hint = hinted(model, columns, loads)
    if as_filled:
        if not hint:
            return None
        for variable, times in hint.items():
            model.program.row({variable: 1}, times, times)
    work = Work(Watch(lambda: 0.0, 0.0, 60.0))
    aim = model.aims[room.problem.aims[0]]
    answer = model.program.solve(aim, work.watch(MIXING_S), seed, hint=hint)
    return tuple(chosen_of(room, model, columns, answer.values)) if answer.values else None
