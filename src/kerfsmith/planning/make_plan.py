"""The plan of the whole shop: each group's saw and bars, found one group at a time."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.cutting.setting import Reason
from kerfsmith.errors import Finding
from kerfsmith.nesting.result import Result, Status
from kerfsmith.planning.bundles import bundle_notes, bundles_used, time_words
from kerfsmith.planning.factored import says
from kerfsmith.planning.lay_group import Laid, lay_group
from kerfsmith.planning.lengths import length_notes
from kerfsmith.planning.nest_group import Effort
from kerfsmith.planning.part_lines import part_by_saw
from kerfsmith.planning.pick_saw import Trial, fitting_first, kg_per_m, try_saws
from kerfsmith.planning.plan import GroupTimes, Plan, PlanGroup, PlanStatus, Unplanned
from kerfsmith.planning.pose_group import MILLION
from kerfsmith.planning.settle_substitutes import plan_joined
from kerfsmith.planning.tasks import GroupTask as GroupTask
from kerfsmith.planning.tasks import JoinedTask, Task
from kerfsmith.planning.tasks import tasks_of as tasks_of
from kerfsmith.planning.times import alone, group_times
from kerfsmith.planning.work import Work, wanted_first
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.told import Told, joined, sentence

NO_TIME = GroupTimes(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)

GroupRunner = Callable[[Sequence[Task]], Iterable[tuple[int, PlanGroup]]]
"""Plans every task, in any order and anywhere, and yields each task's place with each of its groups."""


def in_turn(catalog: Catalog, rules: ShopRules, effort: Effort) -> GroupRunner:
    """The plainest runner: one group after the other, here."""

    def run(tasks: Sequence[Task]) -> Iterator[tuple[int, PlanGroup]]:
        for place, task in enumerate(tasks):
            for group in plan_task(task, catalog, rules, effort):
                yield place, group

    return run


def make_plan(
    tasks: Sequence[Task],
    run: GroupRunner,
    *,
    plan_id: str,
    name: str,
    seed: int,
    findings: Sequence[Finding] = (),
    on_group: Callable[[int, PlanGroup], None] | None = None,
) -> Plan:
    """Plan every group. ``on_group`` is told of each as it is finished, by its task's place."""
    groups: list[PlanGroup] = []
    for place, group in run(tasks):
        groups.append(group)
        if on_group is not None:
            on_group(place, group)
    groups.sort(key=lambda group: wanted_first(group.first_due, group.id))
    return Plan(id=plan_id, name=name, groups=tuple(groups), findings=tuple(findings), seed=seed)


def plan_task(task: Task, catalog: Catalog, rules: ShopRules, effort: Effort) -> tuple[PlanGroup, ...]:
    """The groups of a task: its one, or those between which substitutes move pieces."""
    if isinstance(task, JoinedTask):

        def plan_one(one: GroupTask) -> PlanGroup:
            return plan_group(one, catalog, rules, effort)

        return plan_joined(task, plan_one, catalog, rules, effort)
    return (plan_group(task, catalog, rules, effort),)


def plan_group(task: GroupTask, catalog: Catalog, rules: ShopRules, effort: Effort) -> PlanGroup:
    """One group: saws tried, the best taken, its bars laid; or the reason why it can't be cut.

    Raises UnknownName for a grade that isn't in the catalog.
    """
    work = task.work
    grade = catalog.find_grade(work.grade)
    trials = try_saws(work, grade, catalog, task.bars, rules)
    fitting = fitting_first(work, trials)
    if not fitting:
        return _plan_part(task, grade, trials, catalog, rules, effort)
    laid = _laid(work, fitting, rules, effort)
    if laid.result is None:
        return _cannot(work, grade, trials, laid.left_out)
    return _group(work, grade, trials, laid, laid.result)


def _plan_part(
    task: GroupTask, grade: Grade, trials: Sequence[Trial], catalog: Catalog, rules: ShopRules, effort: Effort
) -> PlanGroup:
    """What one saw can take of a group that none takes whole; one odd line doesn't spoil the others."""
    work = task.work
    parted = part_by_saw(work, grade, catalog, task.bars, rules)
    if parted.part is None:
        return _cannot(work, grade, trials, parted.left_out)
    group = plan_group(replace(task, work=parted.part), catalog, rules, effort)
    return replace(
        group,
        status=PlanStatus.SHORT if group.bars else group.status,
        pieces_wanted=work.pieces,
        unplanned=(*parted.left_out, *group.unplanned),
        first_due=work.first_due,
        tried=tuple(trial.tried() for trial in trials),
    )


def _laid(work: Work, fitting: Sequence[Trial], rules: ShopRules, effort: Effort) -> Laid:
    """The group's bars. A band chosen for bars at once gives way to the single cut's where the bars laid take
    no less time with it, since fewer of them go into loads than was foreseen."""
    laid = lay_group(work, fitting, rules, effort)
    usual = laid.trial.usual
    if usual is None or not laid.bars:
        return laid
    other = lay_group(work, [usual], rules, effort)
    saved_s = _times(other).total_s - _times(laid).total_s
    return replace(laid, trial=_with_reason(laid.trial, usual, saved_s)) if saved_s > 0 else other


def _with_reason(trial: Trial, usual: Trial, saved_s: float) -> Trial:
    """The trial with why its band isn't the usual one."""
    note = sentence(
        "the band is the one for bars at once: with {usual}, the one for a bar alone, the saw takes {time} "
        "more",
        usual=usual.settings[0].band.name,
        time=time_words(saved_s),
    )
    square, *others = trial.settings
    reasoned = replace(square, reasons=(Reason("pitch", note), *square.reasons))
    bundles = replace(trial.bundles, band_note=note)
    return replace(trial, settings=(reasoned, *others), bundles=bundles)


def _times(laid: Laid) -> GroupTimes:
    trial = laid.trial
    settings = {setting.angle_deg: setting for setting in trial.settings}
    at_once = bundles_used(trial.bundles, (bar.at_once for bar in laid.bars))
    return group_times(laid.bars, settings, trial.saw, trial.factors, at_once)


def _group(work: Work, grade: Grade, trials: Sequence[Trial], laid: Laid, result: Result) -> PlanGroup:
    best = laid.trial
    at_once = bundles_used(best.bundles, (bar.at_once for bar in laid.bars))
    times = _times(laid)
    single = _times(replace(laid, trial=best.usual or best, bars=tuple(map(alone, laid.bars))))
    return PlanGroup(
        id=work.id,
        grade=work.grade,
        section=work.section,
        saw=best.saw.id,
        saw_name=best.saw.name,
        status=_status(laid, result),
        settings=best.settings,
        bars=laid.bars,
        cost=(result.cost or 0) / MILLION,
        lower_bound=result.lower_bound / MILLION if laid.bars else 0.0,
        cost_unit=laid.cost_unit,
        bound_source=result.bound_source,
        pieces_wanted=work.pieces,
        unplanned=(*laid.left_out, *_unplanned(work, laid, result)),
        times=times,
        mass_kg_per_m=kg_per_m(work, grade),
        first_due=work.first_due,
        tried=tuple(trial.tried() for trial in trials),
        notes=(
            *laid.notes,
            *_bound_note(laid, result),
            *bundle_notes(laid.bars, best.bundles, times, single),
            *length_notes(work.lines, best.saw, best.settings[0].kerf_um),
            *map(says, best.factors),
        ),
        factors=best.factors,
        next_aims=laid.next_aims,
        bundle_settings=at_once,
    )


def _bound_note(laid: Laid, result: Result) -> Iterator[Told]:
    """What a plan that isn't proven the best is held against."""
    if laid.bars and result.cost is not None and result.lower_bound < result.cost:
        yield sentence(
            "not proven the best: this plan costs {cost} {unit}, and none costs less than {bound}, shown by "
            "{source}",
            cost=f"{result.cost / MILLION:,.2f}",
            unit=laid.cost_unit,
            bound=f"{result.lower_bound / MILLION:,.2f}",
            source=Told(result.bound_source),
        )


def _status(laid: Laid, result: Result) -> PlanStatus:
    if not laid.bars:
        return PlanStatus.OPEN if result.status is Status.UNFINISHED else PlanStatus.CANNOT
    if laid.is_short or laid.left_out:
        return PlanStatus.SHORT
    return PlanStatus.BEST if result.status is Status.OPTIMAL else PlanStatus.GOOD


def _unplanned(work: Work, laid: Laid, result: Result) -> tuple[Unplanned, ...]:
    """Lines that no bar holds although they could have been laid."""
    planned = Counter[str]()
    for bar in laid.bars:
        for piece, count in bar.each_piece():
            planned[piece.line_id] += count
    for one in laid.left_out:
        planned[one.line_id] += one.count
    told = joined("; ", (reason.says for reason in result.reasons))
    why = told or Told("time ran out before a plan was found; plan it again, with more time")
    return tuple(
        Unplanned(line.id, line.mark, line.quantity - planned[line.id], why)
        for line in work.lines
        if planned[line.id] < line.quantity
    )


def _cannot(work: Work, grade: Grade, trials: Sequence[Trial], unplanned: tuple[Unplanned, ...]) -> PlanGroup:
    """The group of which nothing can be cut here, with the reason at each line."""
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
        unplanned=unplanned,
        times=NO_TIME,
        mass_kg_per_m=kg_per_m(work, grade),
        first_due=work.first_due,
        tried=tuple(trial.tried() for trial in trials),
    )
