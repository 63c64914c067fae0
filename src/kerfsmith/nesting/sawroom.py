"""Solving a problem with a saw room's own rules, and saying which rule stands in the way when there is no
plan."""

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.answer import RoomAnswer
from kerfsmith.nesting.engines.sawroom.solve import solve_room
from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.reasons import short_of_bars
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.result import AimValue, Reason, Result, Status, Want
from kerfsmith.nesting.rules import LEAVES, Rule, rules_of, without
from kerfsmith.nesting.stop import Watch

RULE_SECONDS = 2.0
"""Most time spent on finding out whether there is a plan without one rule."""

LOSSES = frozenset({Rule.GRIP, Rule.FACING})
"""Rules the saw itself makes: nobody is told that he could do without them."""


def solve_sawroom(problem: Problem, watch: Watch, seed: int) -> Result:
    """Best plan for the problem's aims in their order, with a bound for each."""
    answer = solve_room(problem, watch, seed)
    if answer.runs is None:
        return _without_plan(problem, answer, watch, seed)
    reached = totals(problem, answer.runs)
    aims = tuple(
        AimValue(aim, reached[aim], None if bound is None else min(bound, reached[aim]))
        for aim, bound in zip(problem.aims, answer.bounds, strict=True)
    )
    status = Status.OPTIMAL if all(aim.is_proven for aim in aims) else Status.FEASIBLE
    bound = max(0, aims[0].bound or 0) if aims[0].aim is Aim.COST else 0
    return Result(status, reached[Aim.COST], bound, answer.source, answer.runs, watch.spent, "saw room", aims)


def _without_plan(problem: Problem, answer: RoomAnswer, watch: Watch, seed: int) -> Result:
    if not answer.refuted:
        return Result(Status.UNFINISHED, None, 0, answer.source, (), watch.spent, "saw room")
    reasons = short_of_bars(problem, answer.uncut, answer.uncut_is_least) if answer.uncut else ()
    reasons += tuple(
        Reason(Want.RULES, "", 0, 0, f"{rule.value}: with it there is no plan, without it there is one")
        for rule in rules_of(problem)
        if rule not in LEAVES | LOSSES and _has_plan(without(problem, rule), watch, seed)
    )
    if not reasons:
        reasons = (Reason(Want.RULES, "", 0, 0, "no plan keeps all the rules together"),)
    return Result(Status.INFEASIBLE, None, 0, answer.source, (), watch.spent, "saw room", reasons=reasons)


def _has_plan(problem: Problem, watch: Watch, seed: int) -> bool:
    return solve_room(problem, watch.for_part(RULE_SECONDS), seed).runs is not None
