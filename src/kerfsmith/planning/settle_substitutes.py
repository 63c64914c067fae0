"""Groups whose pieces may be cut from more than one grade or section: which is taken, and what that saves.

The choice is made once for all of them together; then each group is planned as always, and what comes out is
held against the plan of what was ordered. A substitute is taken only where more can be cut or it costs less,
band changes of the runs reckoned in.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

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
    scales = _Scales(weigh(stations, rules), catalog, rules)
    choice = choose(task, stations, scales.weighing, rules, effort) if stations else None
    chosen = _planned(task, choice, plan_one)
    candidates = [as_ordered, chosen or as_ordered]
    wanted = {work.id for work in task.works}
    if {group.id for group in candidates[1] if group.bars} - wanted:
        # It takes a run that nobody ordered: what can be had without one is weighed too.
        near = [station for station in stations if station.material.key in wanted]
        other = choose(task, near, scales.weighing, rules, effort) if near else None
        candidates.append(_planned(task, other, plan_one) or as_ordered)
    groups = min(candidates, key=scales.rank)
    price = _price(groups, as_ordered, scales, _is_proven(task, stations, scales, choice, groups))
    refused = None
    if chosen and scales.of_bars(chosen) < scales.of_bars(groups):
        refused = _price(chosen, groups, scales, is_proven=False)
    told = {line.id: line for work in task.works for line in work.lines}
    groups = tuple(
        replace(group, substituted=_substituted(group, told), substitutes_price=price) for group in groups
    )
    return tuple(
        replace(group, notes=(*told_of(group, groups, tuple(told.values()), price, refused), *group.notes))
        for group in groups
    )


def _planned(task: JoinedTask, choice: Choice | None, plan_one: PlanOne) -> Groups | None:
    """The groups planned by a choice; None where it moves no piece."""
    if choice is None or not _moves(task, choice):
        return None
    return tuple(plan_one(one) for one in _tasks(task, choice))


@dataclass(frozen=True, slots=True)
class _Scales:
    """What plans of joined groups are weighed by; less is better everywhere."""

    weighing: Weighing
    catalog: Catalog
    rules: ShopRules

    def rank(self, groups: Groups) -> tuple[int, int, int]:
        """Pieces that can't be cut; then bars and band changes, together in money, else one after the
        other."""
        left_out, bars = self.of_bars(groups)
        set_up = self.set_up(groups)
        if set_up is not None:
            return left_out, bars + set_up, 0
        return left_out, bars, len(_bands(groups))

    def of_bars(self, groups: Groups) -> tuple[int, int]:
        """Pieces that can't be cut, then what the bars weigh [millionths]."""
        return _left_out(groups), sum(_cost(bar, self.weighing) for group in groups for bar in group.bars)

    def set_up(self, groups: Groups) -> int | None:
        """What the saws' time costs to put each run's band on, once where runs share saw and band
        [millionths]; None where bars or saws have no prices."""
        saws = [self.catalog.find_saw(saw) for saw, _ in _bands(groups)]
        if self.weighing.unit != self.rules.currency or any(saw.rate_per_hour <= 0 for saw in saws):
            return None
        return round(MILLION * sum(saw.cycle.band_change_s / 3600 * saw.rate_per_hour for saw in saws))


def _bands(groups: Groups) -> list[tuple[str, str]]:
    """The saws and bands that the groups' runs take."""
    return sorted({(group.saw, group.settings[0].band.id) for group in groups if group.bars})


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


def _left_out(groups: Groups) -> int:
    return sum(group.pieces_wanted - group.pieces_planned for group in groups)


def _cost(bar: PlannedBar, weighing: Weighing) -> int:
    return bar.times * weighing.cost_of.get(bar.bar_id, 0)


def _is_proven(
    task: JoinedTask, stations: Sequence[Station], scales: _Scales, choice: Choice | None, groups: Groups
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
        and scales.of_bars(groups)[1] <= choice.bound
    )


def _price(groups: Groups, as_ordered: Groups, scales: _Scales, is_proven: bool) -> SubstitutesPrice:
    def less(count: Callable[[PlanGroup], int]) -> int:
        return sum(map(count, as_ordered)) - sum(map(count, groups))

    both = (*groups, *as_ordered)
    bought = any(group.bars_to_buy for group in both)
    before, after = scales.set_up(as_ordered), scales.set_up(groups)
    return SubstitutesPrice(
        group_ids=tuple(dict.fromkeys(group.id for group in both)),
        pieces=_left_out(as_ordered) - _left_out(groups),
        to_buy=less(lambda group: group.bars_to_buy),
        bars=less(lambda group: group.bars_used),
        cost=(scales.of_bars(as_ordered)[1] - scales.of_bars(groups)[1]) / MILLION,
        cost_unit=scales.weighing.unit + (f", bought bars x{scales.rules.buying_weight}" if bought else ""),
        is_proven=is_proven,
        runs=less(lambda group: bool(group.bars)),
        set_up=0.0 if before is None or after is None else (before - after) / MILLION,
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
