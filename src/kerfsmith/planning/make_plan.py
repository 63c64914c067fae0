"""The plan of the whole shop: each group's saw and bars, found one group at a time."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.errors import Finding
from kerfsmith.nesting.result import Result, Status
from kerfsmith.nesting.solve import solve
from kerfsmith.planning.lay_bars import MILLION, charge, pose, read_back
from kerfsmith.planning.pick_saw import Trial, kg_per_m, try_saws
from kerfsmith.planning.plan import GroupTimes, Plan, PlanGroup, PlannedBar, PlanStatus, Unplanned
from kerfsmith.planning.times import group_times
from kerfsmith.planning.work import Work, group_work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind, Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import um_to_mm

NO_TIME = GroupTimes(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


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


@dataclass(frozen=True, slots=True)
class GroupTask:
    """One group to be planned, with the bars on the rack that are of its grade and section."""

    work: Work
    bars: tuple[Bar, ...]


GroupRunner = Callable[[Sequence[GroupTask]], Iterable[tuple[int, PlanGroup]]]
"""Plans every task, in any order and anywhere, and yields each task's place with its group."""


def in_turn(catalog: Catalog, rules: ShopRules, effort: Effort) -> GroupRunner:
    """The plainest runner: one group after the other, here."""

    def run(tasks: Sequence[GroupTask]) -> Iterator[tuple[int, PlanGroup]]:
        for place, task in enumerate(tasks):
            yield place, plan_group(task, catalog, rules, effort)

    return run


def tasks_of(lines: Iterable[OrderLine], rack: Rack) -> tuple[GroupTask, ...]:
    """The groups to be planned, in the order in which each is first wanted."""
    return tuple(GroupTask(work, rack.holding(work.grade, work.section)) for work in group_work(lines))


def make_plan(
    tasks: Sequence[GroupTask],
    run: GroupRunner,
    *,
    plan_id: str,
    name: str,
    seed: int,
    findings: Sequence[Finding] = (),
    on_group: Callable[[int, PlanGroup], None] | None = None,
) -> Plan:
    """Plan every group. ``on_group`` is told of each as it is finished, by its place among the tasks."""
    groups: dict[int, PlanGroup] = {}
    for place, group in run(tasks):
        groups[place] = group
        if on_group is not None:
            on_group(place, group)
    ordered = tuple(groups[place] for place in sorted(groups))
    return Plan(id=plan_id, name=name, groups=ordered, findings=tuple(findings), seed=seed)


@dataclass(frozen=True, slots=True)
class _Laid:
    """What the nesting found for one trial, and how its cost is to be read."""

    result: Result
    bars: tuple[PlannedBar, ...]
    cost_unit: str
    is_short: bool
    notes: tuple[str, ...]


def plan_group(task: GroupTask, catalog: Catalog, rules: ShopRules, effort: Effort) -> PlanGroup:
    """One group: saws tried, the best taken, its bars laid; or the reason why it can't be cut.

    Raises UnknownName for a grade that isn't in the catalog.
    """
    work = task.work
    grade = catalog.find_grade(work.grade)
    trials = try_saws(work, grade, catalog, task.bars)
    fitting = [trial for trial in trials if trial.fits]
    if not fitting:
        return _cannot(work, grade, trials)
    return _group(work, grade, trials, *_lay_where_bars_suffice(work, fitting, rules, effort))


def _lay_where_bars_suffice(
    work: Work, fitting: Sequence[Trial], rules: ShopRules, effort: Effort
) -> tuple[Trial, _Laid]:
    """The cheapest saw whose bars suffice; where none's do, the cheapest saw, with bars to be bought.

    Saws differ in the bars they can be loaded with, by length and mass.
    """
    first = _lay(work, fitting[0], rules, effort)
    laid = first
    for trial in fitting[1:]:
        if not laid.is_short:
            break
        if trial.bars != fitting[0].bars:
            laid = _lay(work, trial, rules, effort)
            if not laid.is_short:
                return trial, laid
    return fitting[0], first


def _lay(work: Work, trial: Trial, rules: ShopRules, effort: Effort) -> _Laid:
    """Bars off the rack; where the rack is short, with bars still to be bought beside it."""
    laid = _nest(work, trial, trial.bars, rules, effort)
    if laid.result.status is not Status.INFEASIBLE:
        return laid
    bought = _to_buy(work, trial, rules)
    again = _nest(work, trial, (*trial.bars, bought), rules, effort)
    says = tuple(reason.says for reason in laid.result.reasons)
    missing = sum(bar.times for bar in again.bars if bar.kind is BarKind.TO_BUY)
    advice = f"to be bought: {missing} x {um_to_mm(bought.length_um):g} mm" if missing else ""
    return replace(again, is_short=True, notes=tuple(note for note in (*says, advice) if note))


def _nest(work: Work, trial: Trial, bars: Sequence[Bar], rules: ShopRules, effort: Effort) -> _Laid:
    kerf_um = trial.settings[0].kerf_um
    costing = charge(bars, rules)
    result = solve(
        pose(work, bars, trial.saw, kerf_um, costing),
        seconds=effort.seconds,
        seed=effort.seed,
        now=effort.now,
        should_stop=effort.should_stop,
    )
    return _Laid(result, read_back(result, work, bars, trial.saw, kerf_um, rules), costing.unit, False, ())


def _to_buy(work: Work, trial: Trial, rules: ShopRules) -> Bar:
    """The bar in which more of this section is bought: as long as the longest on the rack, else the usual."""
    stock = [bar for bar in trial.bars if bar.kind is not BarKind.REMNANT]
    longest = max(stock, key=lambda bar: bar.length_um, default=None)
    return Bar(
        id=f"buy {work.grade} {work.section.name}",
        grade=work.grade,
        section=work.section,
        length_um=longest.length_um if longest else rules.stock_length_um,
        count=None,
        price=longest.price if longest else None,
        kind=BarKind.TO_BUY,
    )


def _group(work: Work, grade: Grade, trials: Sequence[Trial], best: Trial, laid: _Laid) -> PlanGroup:
    settings = {setting.angle_deg: setting for setting in best.settings}
    return PlanGroup(
        id=work.id,
        grade=work.grade,
        section=work.section,
        saw=best.saw.id,
        saw_name=best.saw.name,
        status=_status(laid),
        settings=best.settings,
        bars=laid.bars,
        cost=(laid.result.cost or 0) / MILLION,
        lower_bound=laid.result.lower_bound / MILLION,
        cost_unit=laid.cost_unit,
        bound_source=laid.result.bound_source,
        pieces_wanted=work.pieces,
        unplanned=_unplanned(work, laid),
        times=group_times(laid.bars, settings, best.saw),
        mass_kg_per_m=kg_per_m(work, grade),
        first_due=work.first_due,
        tried=tuple(trial.tried() for trial in trials),
        notes=laid.notes,
    )


def _status(laid: _Laid) -> PlanStatus:
    if not laid.bars:
        return PlanStatus.CANNOT
    if laid.is_short:
        return PlanStatus.SHORT
    return PlanStatus.BEST if laid.result.status is Status.OPTIMAL else PlanStatus.GOOD


def _unplanned(work: Work, laid: _Laid) -> tuple[Unplanned, ...]:
    planned = Counter[str]()
    for bar in laid.bars:
        for piece in bar.pieces:
            planned[piece.line_id] += bar.times
    why = "; ".join(reason.says for reason in laid.result.reasons) or "time ran out before a plan was found"
    return tuple(
        Unplanned(line.id, line.mark, line.quantity - planned[line.id], why)
        for line in work.lines
        if planned[line.id] < line.quantity
    )


def _cannot(work: Work, grade: Grade, trials: Sequence[Trial]) -> PlanGroup:
    """The group that no saw of the shop takes, with the misfits of the saw that comes nearest."""
    nearest = min(trials, key=lambda trial: len(trial.misfits), default=None)
    why = "; ".join(misfit.text for misfit in nearest.misfits) if nearest else "the shop has no saw"
    return PlanGroup(
        id=work.id,
        grade=work.grade,
        section=work.section,
        saw="",
        saw_name="",
        status=PlanStatus.CANNOT,
        settings=(),
        bars=(),
        cost=0.0,
        lower_bound=0.0,
        cost_unit="",
        bound_source="",
        pieces_wanted=work.pieces,
        unplanned=tuple(Unplanned(line.id, line.mark, line.quantity, why) for line in work.lines),
        times=NO_TIME,
        mass_kg_per_m=kg_per_m(work, grade),
        first_due=work.first_due,
        tried=tuple(trial.tried() for trial in trials),
    )
