"""The saw-room engine's way in: the whole list where it is short, else columns as they are needed."""

from kerfsmith.nesting.engines.sawroom.answer import RoomAnswer
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.listed import solve_listed
from kerfsmith.nesting.engines.sawroom.listing import TooManyColumnsError, all_columns
from kerfsmith.nesting.engines.sawroom.stages import WITHIN, Stages
from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.stop import Watch

FULL_LIST = 1_500
"""Most columns for which the whole list goes into one program."""


def solve_room(
    problem: Problem, watch: Watch, seed: int, full_list: int = FULL_LIST, within: int = WITHIN
) -> RoomAnswer:
    """The best plan for the problem's aims in their order, with a bound for each.

    Up to ``full_list`` columns are solved as one list; beyond that they are found as needed, and up to
    ``within`` of them listed to close a gap."""
    room = Room(problem)
    try:
        columns: list[Column] | None = all_columns(room, full_list)
    except TooManyColumnsError:
        columns = None
    if columns is None:
        return Stages(room, watch, seed, within).solve()
    return solve_listed(room, columns, watch, seed)
