"""Solving a problem with a saw room's own rules, and saying which rule stands in the way when there is no
plan."""

from fractions import Fraction
from math import ceil

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.ends import bottom_length
from kerfsmith.nesting.engines.sawroom.answer import RoomAnswer
from kerfsmith.nesting.engines.sawroom.pricing import kerfs_of
from kerfsmith.nesting.engines.sawroom.solve import FULL_LIST, WHOLE_EFFORT, RoomEffort, solve_room
from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.reasons import short_of_bars
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.result import AimValue, Reason, Result, Status, Want
from kerfsmith.nesting.rules import LEAVES, Rule, rules_of, without
from kerfsmith.nesting.stop import Watch
from kerfsmith.units.told import Told, sentence

RULE_SECONDS = 2.0
"""Most work spent on finding out whether there is a plan without one rule."""

KNOWN_LIST = 200
"""Most columns that all go into one program where a plan is known: of more, only those that a better plan
could use."""

LOSSES = frozenset({Rule.GRIP, Rule.FACING})
"""Rules the saw itself makes: nobody is told that he could do without them."""


def solve_sawroom(problem: Problem, watch: Watch, seed: int, effort: RoomEffort = WHOLE_EFFORT) -> Result:
    """Best plan for the problem's aims in their order, with a bound for each."""
    full_list = FULL_LIST if effort.known is None else KNOWN_LIST
    answer = solve_room(problem, watch, seed, full_list, effort=effort)
    if answer.runs is None:
        return _without_plan(problem, answer, watch, seed)
    reached = totals(problem, answer.runs)
    aims = tuple(
        AimValue(aim, reached[aim], None if bound is None else min(bound, reached[aim]))
        for aim, bound in zip(problem.aims, answer.bounds, strict=True)
    )
    status = Status.OPTIMAL if all(aim.is_proven for aim in aims) else Status.FEASIBLE
    bound, source = material_bound(problem), "length of material"
    if aims[0].aim is Aim.COST and (aims[0].bound or 0) >= bound:
        bound, source = aims[0].bound or 0, answer.source
    cost, cut_short = reached[Aim.COST], answer.cut_short
    return Result(
        status, cost, bound, source, answer.runs, watch.spent, "saw room", aims, cut_short=cut_short
    )


def material_bound(problem: Problem) -> int:
    """What bars cost at least for the length of all pieces, the cheapest metre first [millionths].

    Each piece takes at least the mean of its two edges and half the kerfs of its two faces, of which a plain
    one may be saved on a bar that ends in the vise. Lengths are doubled, since a mean may end in a half."""
    need = 0
    for piece in problem.pieces:
        bottom = bottom_length(piece.length_um, piece.left_um, piece.right_um)
        mean = 2 * bottom + piece.right_um - piece.left_um
        need += piece.count * (mean + kerfs_of(problem, piece))
    rooms = []
    for bar in problem.bars:
        room = bar.length_um if bar.begun else bar.length_um - problem.front_trim_um
        if problem.grip_um and not bar.end_is_good:
            room -= problem.grip_um
        else:
            room += problem.kerf_um
        if room > 0:
            rooms.append((Fraction(bar.cost, 2 * room), 2 * room, bar))
    cost = Fraction(0)
    for price, room, bar in sorted(rooms, key=lambda one: (one[0], one[2].id)):
        taken = need if bar.count is None else min(need, bar.count * room)
        cost += price * taken
        need -= taken
    return ceil(cost)


def _without_plan(problem: Problem, answer: RoomAnswer, watch: Watch, seed: int) -> Result:
    if not answer.refuted:
        bound = material_bound(problem)
        return Result(Status.UNFINISHED, None, bound, "length of material", (), watch.spent, "saw room")
    reasons = short_of_bars(problem, answer.uncut, answer.uncut_is_least) if answer.uncut else ()
    reasons += tuple(
        Reason(
            Want.RULES,
            "",
            0,
            0,
            sentence("{rule}: with it there is no plan, without it there is one", rule=rule),
        )
        for rule in rules_of(problem)
        if rule not in LEAVES | LOSSES and _has_plan(without(problem, rule), watch, seed)
    )
    if not reasons:
        reasons = (Reason(Want.RULES, "", 0, 0, Told("no plan keeps all the rules together")),)
    return Result(Status.INFEASIBLE, None, 0, answer.source, (), watch.spent, "saw room", reasons=reasons)


def _has_plan(problem: Problem, watch: Watch, seed: int) -> bool:
    return solve_room(problem, watch, seed, effort=RoomEffort(RULE_SECONDS)).runs is not None
