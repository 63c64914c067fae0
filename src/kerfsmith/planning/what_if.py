"""What each rule costs: a group nested again with one thing more or one thing less, and the difference."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.nesting.check import check
from kerfsmith.nesting.problem import Piece, Problem
from kerfsmith.nesting.result import Result, Status
from kerfsmith.nesting.rules import LEAVES, Rule, rules_of, without
from kerfsmith.nesting.solve import solve
from kerfsmith.planning.lay_bars import MILLION, Bench, charge, piece_kinds, pose
from kerfsmith.planning.lay_group import Effort, bar_to_buy, part_lines
from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.pick_saw import try_saws
from kerfsmith.planning.work import Work
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.told import Told, joined

ONE_HEAT_EACH = "one heat for each order"
"""The wish that every order's pieces come from one heat: not a rule of the plan, but often asked for."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One change to a group's rules and what it would do.

    ``taken_away`` tells a rule of the plan left out from a wish laid on it. ``bars`` and ``cost`` are the
    changed plan's less the plan's (below zero: it would save), in bars and in ``cost_unit``; None where the
    change leaves no plan, with ``reason``. ``is_proven`` is whether both are the best possible.
    """

    change: str
    taken_away: bool
    bars: int | None
    cost: float | None
    cost_unit: str
    is_proven: bool
    reason: Told = Told()  # noqa: RUF009 - a sentence is as immutable as its text


def what_if(
    task: GroupTask, saw_id: str, catalog: Catalog, rules: ShopRules, effort: Effort
) -> tuple[WhatIf, ...]:
    """Each rule of the group on the saw ``saw_id`` taken away in turn, then one heat an order laid on it.

    Where the rack is short the bars to be bought are there, as in the plan. Nothing comes back for a saw that
    doesn't take the group. Raises UnknownName for a grade that isn't in the catalog.
    """
    work = task.work
    trials = try_saws(work, catalog.find_grade(work.grade), catalog, task.bars, rules.factors)
    trial = next((trial for trial in trials if trial.fits and trial.saw.id == saw_id), None)
    if trial is None:
        return ()
    bought = bar_to_buy(work, trial, rules)
    lines, _ = part_lines(work, trial, (*trial.bars, bought))
    if not lines:
        return ()
    sound = Work(work.grade, work.section, tuple(lines))
    square = trial.settings[0]
    bench = Bench(trial.saw, square.kerf_um, square.lie)
    bars, unit, problem, plan = _nested(sound, trial.bars, bench, rules, effort)
    if plan.status is Status.INFEASIBLE:
        bars, unit, problem, plan = _nested(sound, (*bars, bought), bench, rules, effort)
    return tuple(
        _compared(change, taken_away, plan, _solved(changed, effort), unit)
        for change, taken_away, changed in _changes(problem, sound)
    )


def _nested(
    work: Work, bars: tuple[Bar, ...], bench: Bench, rules: ShopRules, effort: Effort
) -> tuple[tuple[Bar, ...], str, Problem, Result]:
    costing = charge(bars, rules)
    problem = pose(work, bars, bench, costing)
    return bars, costing.unit, problem, _solved(problem, effort)


def _changes(problem: Problem, work: Work) -> Iterator[tuple[str, bool, Problem]]:
    for rule in rules_of(problem):
        yield _words(rule), True, without(problem, rule)
    orders = {line.order for line in work.lines}
    if len({bar.heat for bar in problem.bars if bar.heat}) > 1:
        yield ONE_HEAT_EACH, False, _by_order(problem, work, orders)


def _words(rule: Rule) -> str:
    return f"without {rule.value}" if rule in LEAVES else f"without the {rule.value}"


def _by_order(problem: Problem, work: Work, orders: set[str]) -> Problem:
    """The problem with each order's pieces kept apart and each order held to one heat."""
    kinds = piece_kinds(work)
    pieces: list[Piece] = []
    for piece in problem.pieces:
        for order in sorted(orders):
            count = sum(line.quantity for line in kinds[piece.id] if line.order == order)
            if count:
                pieces.append(
                    replace(piece, id=f"{piece.id} of {order or 'no order'}", count=count, order=order)
                )
    return replace(problem, pieces=tuple(pieces), one_heat_orders=frozenset(orders))


def _solved(problem: Problem, effort: Effort) -> Result:
    result = solve(
        problem, seconds=effort.seconds, seed=effort.seed, now=effort.now, should_stop=effort.should_stop
    )
    assert not check(problem, result)
    return result


def _compared(change: str, taken_away: bool, plan: Result, other: Result, unit: str) -> WhatIf:
    if plan.cost is None or other.cost is None:
        told = joined("; ", (one.says for one in other.reasons))
        reason = told or Told("no plan was found in the time given")
        return WhatIf(change, taken_away, None, None, unit, other.status is Status.INFEASIBLE, reason)
    proven = plan.status is Status.OPTIMAL and other.status is Status.OPTIMAL
    cost = (other.cost - plan.cost) / MILLION
    return WhatIf(change, taken_away, other.bars_used - plan.bars_used, cost, unit, proven)
