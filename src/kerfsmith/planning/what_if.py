"""What each rule costs: a group nested again with one thing more or one thing less, and the difference."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.nesting.result import Result, Status
from kerfsmith.nesting.rules import LEAVES, Rule, rules_of, without
from kerfsmith.planning.lay_group import bar_to_buy, part_lines
from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.nest_group import Effort, Nested, nest_group, solved
from kerfsmith.planning.pick_saw import try_saws
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.planning.pose_group import MILLION, Bench
from kerfsmith.planning.work import Work
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.told import Told, how_many, joined, sentence

ONE_HEAT_EACH = Told("one heat for each order")
"""The wish that every order's pieces come from one heat, where it isn't the shop's rule."""

DUE_KEPT = Told("what is due first kept on bars of its own")
"""The wish that later work never pushes earlier work onto more bars, where it isn't the shop's rule."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One change to a group's rules and what it would do.

    ``taken_away`` tells a rule of the plan left out from a wish laid on it. ``bars`` and ``cost`` are the
    changed plan's less the plan's (below zero: it would save), in bars and in ``cost_unit``; None where the
    change leaves no plan, with ``reason``. ``to_buy`` is how many more bars must be bought for a wish,
    ``hours`` how many more the saw takes, where it is these that change. ``is_proven`` is whether both are
    the best possible.
    """

    change: Told
    taken_away: bool
    bars: int | None
    cost: float | None
    cost_unit: str
    is_proven: bool
    reason: Told = Told()  # noqa: RUF009 - a sentence is as immutable as its text
    to_buy: int = 0
    hours: float = 0.0


def what_if(
    task: GroupTask, saw_id: str, catalog: Catalog, rules: ShopRules, effort: Effort
) -> tuple[WhatIf, ...]:
    """Each rule of the group on the saw ``saw_id`` taken away in turn, then one heat an order laid on it.

    Where the rack is short the bars to be bought are there, as in the plan. Nothing comes back for a saw that
    doesn't take the group. Raises UnknownName for a grade that isn't in the catalog.
    """
    work = task.work
    trials = try_saws(work, catalog.find_grade(work.grade), catalog, task.bars, rules)
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
    # Only the material is weighed here: what decides between plans of the same cost costs nothing.
    rules = replace(rules, next_aims=())
    bars = trial.bars
    plan = nest_group(sound, bars, bench, rules, effort)
    if plan.result.status is Status.INFEASIBLE:
        bars = (*bars, bought)
        plan = nest_group(sound, bars, bench, rules, effort)
    answers = _without_rules(plan, effort)
    return (*answers, *_with_wishes(plan, sound, (bars, bought), bench, rules, effort))


def without_substitutes(group: PlanGroup) -> tuple[WhatIf, ...]:
    """What the substitutes save the group and those chosen with it, as its plan says; nothing without any."""
    price = group.substitutes_price
    if price is None:
        return ()
    words = _words(Rule.SUBSTITUTES)
    if price.pieces > 0:
        reason = how_many("1 piece could not be cut", "{count} pieces could not be cut", price.pieces)
        return (WhatIf(words, True, None, None, price.cost_unit, price.is_proven, reason),)
    answer = WhatIf(words, True, price.bars, price.cost, price.cost_unit, price.is_proven)
    return (replace(answer, to_buy=price.to_buy),)


def _without_rules(plan: Nested, effort: Effort) -> tuple[WhatIf, ...]:
    """Each rule of the problem taken away."""
    return tuple(
        _compared(_words(rule), True, plan.result, solved(without(plan.problem, rule), effort), plan.unit)
        for rule in rules_of(plan.problem)
    )


def _with_wishes(
    plan: Nested,
    work: Work,
    stock: tuple[tuple[Bar, ...], Bar],
    bench: Bench,
    rules: ShopRules,
    effort: Effort,
) -> Iterator[WhatIf]:
    """Each wish laid on; ``stock``: the bars there are, and the bar to be bought where they don't suffice."""
    bars, bought = stock
    heats = {bar.heat for bar in plan.problem.bars if bar.heat}
    wishes: list[tuple[Told, ShopRules]] = []
    if len(heats) > 1 and not rules.one_heat_an_order:
        wishes.append((ONE_HEAT_EACH, replace(rules, one_heat_an_order=True)))
    if len({line.due for line in work.lines}) > 1 and not rules.keep_due_order:
        wishes.append((DUE_KEPT, replace(rules, keep_due_order=True)))
    for words, wish in wishes:
        nested = nest_group(work, bars, bench, wish, effort)
        if nested.result.status is Status.INFEASIBLE and bought not in bars:
            nested = nest_group(work, (*bars, bought), bench, wish, effort)
        before, after = _bought(plan.result, bought), _bought(nested.result, bought)
        answer = _compared(words, False, plan.result, nested.result, nested.unit)
        yield replace(answer, to_buy=after - before)


def _bought(result: Result, bought: Bar) -> int:
    return sum(run.times for run in result.runs if run.bar == bought.id)


def _words(rule: Rule) -> Told:
    if rule is Rule.DUE:
        return sentence("without {rule}", rule=DUE_KEPT)
    return (
        sentence("without {rule}", rule=rule) if rule in LEAVES else sentence("without the {rule}", rule=rule)
    )


def _compared(change: Told, taken_away: bool, plan: Result, other: Result, unit: str) -> WhatIf:
    if plan.cost is None or other.cost is None:
        told = joined("; ", (one.says for one in other.reasons))
        reason = told or Told("no plan was found in the time given")
        return WhatIf(change, taken_away, None, None, unit, other.status is Status.INFEASIBLE, reason=reason)
    proven = plan.status is Status.OPTIMAL and other.status is Status.OPTIMAL
    cost = (other.cost - plan.cost) / MILLION
    return WhatIf(change, taken_away, other.bars_used - plan.bars_used, cost, unit, proven)
