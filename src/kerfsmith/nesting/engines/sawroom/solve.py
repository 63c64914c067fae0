"""The saw-room engine's way in: the whole list where it is short, else columns as they are needed."""

from dataclasses import dataclass, replace

from kerfsmith.nesting.engines.sawroom.answer import RoomAnswer
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.greedy import greedy_plan
from kerfsmith.nesting.engines.sawroom.listed import solve_listed
from kerfsmith.nesting.engines.sawroom.listing import TooManyColumnsError, all_columns
from kerfsmith.nesting.engines.sawroom.plan import runs_of
from kerfsmith.nesting.engines.sawroom.stages import WITHIN, Stages
from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.result import Result, Run
from kerfsmith.nesting.stop import Watch, Work

FULL_LIST = 1_500
"""Most columns for which the whole list goes into one program."""


@dataclass(frozen=True, slots=True)
class RoomEffort:
    """``work``: seconds of work counted (None: as many as the clock has). ``known``: a plan for the first
    aims, which are then held as it has them."""

    work: float | None = None
    known: Result | None = None


WHOLE_EFFORT = RoomEffort()


def solve_room(
    problem: Problem,
    watch: Watch,
    seed: int,
    full_list: int = FULL_LIST,
    within: int = WITHIN,
    effort: RoomEffort = WHOLE_EFFORT,
) -> RoomAnswer:
    """The best plan for the problem's aims in their order, with a bound for each.

    Up to ``full_list`` columns are solved as one list; beyond that they are found as needed, and up to
    ``within`` of them listed to close a gap. The search goes by work counted; ``watch`` is its guard."""
    work = Work(watch)
    counted = work.watch(watch.left if effort.work is None else effort.work)
    room = Room(problem)
    answer = _solved(room, counted, seed, full_list, within, effort.known)
    return replace(_or_greedy(room, answer, seed), cut_short=work.cut_short)


def _or_greedy(room: Room, answer: RoomAnswer, seed: int) -> RoomAnswer:
    """The answer; in place of no plan, or of one that a search cut off left worse, the greedy one."""
    if answer.refuted or (answer.runs is not None and _is_proven(room, answer)):
        return answer
    chosen = greedy_plan(room, seed)
    if chosen is None:
        return answer
    runs = runs_of(room, chosen)
    if answer.runs is not None and _worth(room, answer.runs) <= _worth(room, runs):
        return answer
    # A bound of a later aim holds for an earlier one as it was.
    first = answer.bounds[:1] or (None,)
    later = (None,) * (len(room.problem.aims) - 1)
    return RoomAnswer(runs, (*first, *later), answer.source)


def _is_proven(room: Room, answer: RoomAnswer) -> bool:
    """Whether no plan does better on the first aim."""
    assert answer.runs is not None
    return answer.bounds[0] is not None and answer.bounds[0] >= _worth(room, answer.runs)[0]


def _worth(room: Room, runs: tuple[Run, ...]) -> list[int]:
    reached = totals(room.problem, runs)
    return [reached[aim] for aim in room.problem.aims]


def _solved(
    room: Room, watch: Watch, seed: int, full_list: int, within: int, known: Result | None
) -> RoomAnswer:
    try:
        columns: list[Column] | None = all_columns(room, full_list)
    except TooManyColumnsError:
        columns = None
    if columns is None:
        return Stages(room, watch, seed, within, known).solve()
    return solve_listed(room, columns, watch, seed)
