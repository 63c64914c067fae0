"""One group nested by the shop's rules: material first and proven, then what else the shop wants of it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from kerfsmith.errors import KerfsmithError
from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.check import check
from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.result import AimValue, Result, Status
from kerfsmith.nesting.solve import solve
from kerfsmith.planning.loads import COUNTS_LOADS, in_loads
from kerfsmith.planning.plan import PlannedAim
from kerfsmith.planning.pose_group import MILLION, Bench, charge, piece_kinds, pose
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import NextAim, ShopRules
from kerfsmith.units.told import Told

POLISH_WORK = 2.0
"""Most work, in seconds of a plain machine, for what decides between plans of the same cost."""

POLISH_GUARD = 10.0
"""So many times as long the clock lets it go on: it ends the choice on a very slow machine only."""

CUT_SHORT = Told(
    "the clock ended the choice between plans of the same cost: on a quicker machine it may be another"
)

DUE_LET_GO = Told("the rack is too short to keep what is due first on bars of its own")
DUE_NOT_FOUND = Told(
    "in the time there was no plan was found that keeps what is due first on bars of its own"
)

SEARCH_CUT_SHORT = Told(
    "the clock ended the search: with more time, or on a quicker machine, it may find another plan"
)

MS_PER_HOUR = 3_600_000

AIM_OF = {
    NextAim.REMNANT_WORTH: Aim.NET_MATERIAL,
    NextAim.FEW_REMNANTS: Aim.REMNANTS,
    NextAim.FEW_PATTERNS: Aim.PATTERNS,
    NextAim.FEW_CUTS: Aim.CUTS,
    NextAim.FEW_LOADS: Aim.LOADS,
    NextAim.SAW_HOURS: Aim.SAW_TIME,
}


@dataclass(frozen=True, slots=True)
class Effort:
    """How long and by what clock to look for the best bars of a group.

    ``now`` returns seconds of any steady clock; ``should_stop`` is asked often and ends the search with the
    best plan so far.
    """

    seconds: float
    seed: int
    now: Callable[[], float]
    should_stop: Callable[[], bool]


class UnsoundPlanError(KerfsmithError):
    """The nesting referee refused what an engine found: a fault of the program, not of the input."""


@dataclass(frozen=True, slots=True)
class Nested:
    """A group as a problem, its plan, the lines behind each kind of piece, the unit of cost, and notes."""

    problem: Problem
    result: Result
    kinds: Mapping[str, list[OrderLine]]
    unit: str
    notes: tuple[Told, ...] = ()


def nest_group(work: Work, bars: Sequence[Bar], bench: Bench, rules: ShopRules, effort: Effort) -> Nested:
    """The best bars of a group by the shop's rules.

    Where the days pieces are due can't be kept together on these bars, they are let go and a note says so.
    Raises UnsoundPlanError where the nesting referee refuses a plan.
    """
    costing = charge(bars, rules)
    due_bars, late = _due_bars(work, bars, bench, rules, effort) if rules.keep_due_order else ({}, False)
    problem = pose(work, bars, bench, costing, rules, due_bars)
    result = solved(problem, effort)
    notes: tuple[Told, ...] = ()
    if due_bars and result.cost is None:
        free = pose(work, bars, bench, costing, rules)
        other = solved(free, effort)
        late = late or result.cut_short
        if other.cost is not None:
            notes = (DUE_LET_GO if result.status is Status.INFEASIBLE else DUE_NOT_FOUND,)
            problem, result, due_bars = free, other, {}
    late = late or result.cut_short
    if result.cost is not None and rules.next_aims:
        problem, result = _polished(problem, result, bench, rules, effort)
        notes += (CUT_SHORT,) if result.cut_short and not late else ()
    notes += (SEARCH_CUT_SHORT,) if late and result.cost is not None else ()
    if bench.at_once and result.cost is not None:
        problem, result = in_loads(problem, result, bench.at_once)
        # Proven is the cost; the referee would ask a proof for every aim.
        _refuse_unsound(problem, replace(result, status=Status.FEASIBLE))
    kinds = piece_kinds(work, rules, by_day=bool(due_bars))
    return Nested(problem, result, kinds, costing.unit, notes)


def _due_bars(
    work: Work, bars: Sequence[Bar], bench: Bench, rules: ShopRules, effort: Effort
) -> tuple[dict[date, int], bool]:
    """On how many bars the pieces due by each day lie when nothing later is cut beside them, and whether the
    clock ended a search for it.

    Day by day, each with the days before it kept; the last day of all binds nothing.
    """
    days = sorted({line.due for line in work.lines if line.due is not None})
    if all(line.due is not None for line in work.lines):
        days = days[:-1]
    found: dict[date, int] = {}
    late = False
    for day in days:
        lines = tuple(line for line in work.lines if line.due is not None and line.due <= day)
        part = Work(work.grade, work.section, lines)
        problem = pose(part, bars, bench, charge(bars, rules), rules, found)
        result = solved(problem, replace(effort, seconds=effort.seconds / (1 + len(days))))
        late = late or result.cut_short
        if result.cost is None:
            break
        found[day] = result.bars_used
    return found, late


def solved(
    problem: Problem, effort: Effort, work: float | None = None, known: Result | None = None
) -> Result:
    """The problem's plan, passed by the nesting referee. ``work``, ``known``: see :func:`solve`.

    Raises UnsoundPlanError otherwise: a plan that the referee refuses must never reach a saw.
    """
    result = solve(
        problem,
        seconds=effort.seconds,
        seed=effort.seed,
        now=effort.now,
        should_stop=effort.should_stop,
        work=work,
        known=known,
    )
    _refuse_unsound(problem, result)
    return result


def _refuse_unsound(problem: Problem, result: Result) -> None:
    wrong = check(problem, result)
    if wrong:
        raise UnsoundPlanError("; ".join(fault.says for fault in wrong))


def chosen_further(problem: Problem, result: Result, effort: Effort) -> Result:
    """The plan best by the problem's aims behind the first, which is held as ``result`` has it.

    A set amount of work ends the choice, so that it is the same on every machine.
    """
    work = min(POLISH_WORK, effort.seconds)
    return solved(problem, replace(effort, seconds=POLISH_GUARD * work), work, result)


def _polished(
    problem: Problem, result: Result, bench: Bench, rules: ShopRules, effort: Effort
) -> tuple[Problem, Result]:
    """Of all plans that cost the same, one that is best by the shop's next aims, as far as a set amount of
    work goes.

    The cost and its proof stay those of ``result``.
    """
    aims = (Aim.COST, *(AIM_OF[aim] for aim in rules.next_aims))
    most = max(bench.at_once, default=1) if (COUNTS_LOADS | {Aim.SAW_TIME}) & set(aims) else 1
    further = replace(problem, aims=aims, bundle_most=most)
    found = chosen_further(further, result, effort)
    if found.cost is None or found.cost > (result.cost or 0):
        return problem, replace(result, cut_short=result.cut_short or found.cut_short)
    if found.cost < (result.cost or 0):
        result = found
    proven = found.lower_bound if found.lower_bound > result.lower_bound else result.lower_bound
    cost = AimValue(Aim.COST, found.cost, min(proven, found.cost))
    status = Status.OPTIMAL if cost.is_proven else Status.FEASIBLE
    return further, replace(
        found,
        status=status,
        lower_bound=min(proven, found.cost),
        bound_source=result.bound_source,
        aims=(cost, *found.aims[1:]),
    )


def next_aims(nested: Nested, rules: ShopRules) -> tuple[PlannedAim, ...]:
    """What the plan reaches of the shop's next aims, and what is proven to be the best."""
    if nested.result.cost is None:
        return ()
    values = totals(nested.problem, nested.result.runs)
    bounds = {reached.aim: reached.bound for reached in nested.result.aims}
    cost = nested.result.cost
    return tuple(
        _planned_aim(aim, values[AIM_OF[aim]], bounds.get(AIM_OF[aim]), cost) for aim in rules.next_aims
    )


def _planned_aim(aim: NextAim, value: int, bound: int | None, cost: int) -> PlannedAim:
    if aim is NextAim.SAW_HOURS:
        return PlannedAim(aim, value / MS_PER_HOUR, None if bound is None else bound / MS_PER_HOUR)
    if aim is not NextAim.REMNANT_WORTH:
        return PlannedAim(aim, value, bound)
    # Net material is cost less worth, so the worth's bound lies above it.
    best = None if bound is None else (cost - bound) / MILLION
    return PlannedAim(aim, (cost - value) / MILLION, best)
