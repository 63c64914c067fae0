"""Groups whose pieces may be cut from more than one grade or section: which is taken, and what that saves.

The choice is made once for all of them together; then each group is planned as always, and what comes out is
held against the plan of what was ordered. A substitute is taken only where more can be cut or it costs less.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.planning.joint_choice import Choice, Station, Weighing, choose, is_exact, stations_of, weigh
from kerfsmith.planning.nest_group import Effort
from kerfsmith.planning.plan import PlanGroup, PlannedBar
from kerfsmith.planning.pose_group import MILLION
from kerfsmith.planning.substituted import Substituted, SubstitutesPrice
from kerfsmith.planning.tasks import GroupTask, JoinedTask
from kerfsmith.planning.tell_substitutes import told_of
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rules import ShopRules

Groups = tuple[PlanGroup, ...]
PlanOne = Callable[[GroupTask], PlanGroup]
"""Plans one group as always."""


def plan_joined(
    task: JoinedTask, plan_one: PlanOne, catalog: Catalog, rules: ShopRules, effort: Effort
) -> Groups:
    """The groups of a joined task, their pieces cut from what serves best of all that their lines allow.

    Raises UnknownName for a grade that isn't in the catalog.
    """
    as_ordered = tuple(plan_one(one) for one in task.tasks)
    stations = stations_of(task, catalog, rules)
    weighing = weigh(stations, rules)
    choice = choose(task, stations, weighing, rules, effort) if stations else None
    groups = as_ordered
    if choice is not None and _moves(task, choice):
        chosen = tuple(plan_one(one) for one in _tasks(task, choice))
        if _rank(chosen, weighing) < _rank(as_ordered, weighing):
            groups = chosen
    price = _price(groups, as_ordered, weighing, rules, _is_proven(task, stations, weighing, choice, groups))
    told = {line.id: line for work in task.works for line in work.lines}
    groups = tuple(
        replace(group, substituted=_substituted(group, told), substitutes_price=price) for group in groups
    )
    return tuple(
        replace(group, notes=(*told_of(group, groups, tuple(told.values()), price), *group.notes))
        for group in groups
    )


def _moves(task: JoinedTask, choice: Choice) -> bool:
    """Whether any piece comes from something else than what is ordered."""
    return any(
        material != line.material
        for work in task.works
        for line in work.lines
        for material in choice.counts.get(line.id, {})
    )


def _tasks(task: JoinedTask, choice: Choice) -> tuple[GroupTask, ...]:
    """The groups by what each piece is cut from."""
    lines: dict[str, list[OrderLine]] = {}
    for work in task.works:
        for line in work.lines:
            for material, count in choice.counts.get(line.id, {line.material: line.quantity}).items():
                lines.setdefault(material.key, []).append(line.cut_from(material, count))
    return tuple(
        GroupTask(
            Work(source.material.grade, source.material.section, tuple(lines[source.material.key])),
            source.bars,
        )
        for source in task.sources
        if source.material.key in lines
    )


def _rank(groups: Groups, weighing: Weighing) -> tuple[int, int]:
    """Less is better: pieces that can't be cut, then what the bars weigh."""
    return _left_out(groups), sum(_cost(bar, weighing) for group in groups for bar in group.bars)


def _left_out(groups: Groups) -> int:
    return sum(group.pieces_wanted - group.pieces_planned for group in groups)


def _cost(bar: PlannedBar, weighing: Weighing) -> int:
    return bar.times * weighing.cost_of.get(bar.bar_id, 0)


def _is_proven(
    task: JoinedTask, stations: Sequence[Station], weighing: Weighing, choice: Choice | None, groups: Groups
) -> bool:
    """Whether no choice costs less: nothing is left out that could be laid, the saws are those reckoned with,
    and the bars reach the bound."""
    if choice is None or not is_exact(task, stations):
        return False
    laid = sum(sum(counts.values()) for counts in choice.counts.values())
    saws = {station.material.key: station.trial.saw.id for station in stations}
    as_reckoned = all(group.saw == saws.get(group.id) for group in groups if group.bars)
    return (
        as_reckoned
        and laid == sum(group.pieces_planned for group in groups)
        and _rank(groups, weighing)[1] <= choice.bound
    )


def _price(
    groups: Groups, as_ordered: Groups, weighing: Weighing, rules: ShopRules, is_proven: bool
) -> SubstitutesPrice:
    def less(count: Callable[[PlanGroup], int]) -> int:
        return sum(map(count, as_ordered)) - sum(map(count, groups))

    both = (*groups, *as_ordered)
    bought = any(group.bars_to_buy for group in both)
    return SubstitutesPrice(
        group_ids=tuple(dict.fromkeys(group.id for group in both)),
        pieces=_left_out(as_ordered) - _left_out(groups),
        to_buy=less(lambda group: group.bars_to_buy),
        bars=less(lambda group: group.bars_used),
        cost=(_rank(as_ordered, weighing)[1] - _rank(groups, weighing)[1]) / MILLION,
        cost_unit=weighing.unit + (f", bought bars x{rules.buying_weight}" if bought else ""),
        is_proven=is_proven,
        runs=less(lambda group: bool(group.bars)),
    )


def _substituted(group: PlanGroup, ordered: dict[str, OrderLine]) -> tuple[Substituted, ...]:
    """The pieces on the group's bars for which something else was ordered."""
    counted: Counter[tuple[str, str]] = Counter()
    for bar in group.bars:
        for piece, count in bar.each_piece():
            counted[piece.line_id, piece.mark] += count
    return tuple(
        Substituted(line_id, mark, count, ordered[line_id].material)
        for (line_id, mark), count in sorted(counted.items())
        if ordered[line_id].material != group.material
    )
