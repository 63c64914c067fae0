"""Solving a problem that asks for nothing but lengths, through the strongest engine for its pure form."""

from collections.abc import Iterable
from dataclasses import replace

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.answer import Ended, PureAnswer, PurePattern
from kerfsmith.nesting.engines.columns.instance import ColumnsInstance, ColumnsResult, Item, Kind
from kerfsmith.nesting.engines.columns.run import LATE
from kerfsmith.nesting.engines.columns.solve import solve_columns
from kerfsmith.nesting.engines.plain.arcflow import solve_arcflow
from kerfsmith.nesting.problem import Placed, Problem
from kerfsmith.nesting.reasons import short_of_bars
from kerfsmith.nesting.recount import close, walk
from kerfsmith.nesting.reduce import PureForm, PureKind, reachable_ends, reduce
from kerfsmith.nesting.result import AimValue, Result, Run, Status
from kerfsmith.nesting.stop import Watch, Work

PROGRAM_S = 1e-3
"""Work of one linear program of the engine by columns, the pricing that goes with it included [s]."""

WIDE_WORK_S, SHORTAGE_WORK_S = 20.0, 10.0
"""Most work [s] on the relaxed form where a bar's exact end matters, and on finding out how little must stay
uncut once there can be no plan. Counted, so that a slow machine comes to the same.
"""


def solve_pure(problem: Problem, watch: Watch, seed: int) -> Result:
    """The cheapest plan of a problem for which `is_pure` holds and every piece fits some bar."""
    form = reduce(problem)
    kinds = reachable_ends(form) if any(kind.exact for kind in form.kinds) else form.kinds
    form = replace(form, kinds=kinds or form.kinds)
    answer, engine = _solve_form(form, watch, seed)
    if answer.ended == "infeasible":
        return _infeasible(problem, form, answer, watch, seed)
    return _result(problem, form, answer, engine, watch)


def _solve_form(form: PureForm, watch: Watch, seed: int) -> tuple[PureAnswer, str]:
    """Solve by columns; where a bar's exact end matters, between a relaxed and a strict form of it."""
    if not any(kind.exact for kind in form.kinds):
        return _columns(form, [kind.capacity for kind in form.kinds], watch, seed), "columns"
    # Every load up to the exact end, those just short of it included: its cost is a bound, perhaps a plan.
    half = _part(watch, WIDE_WORK_S, 0.5)
    wide = _columns(form, [kind.exact or kind.capacity for kind in form.kinds], half, seed)
    if wide.ended == "infeasible" or (wide.patterns and _is_cuttable(form, wide.patterns)):
        return wide, "columns"
    # No exact ends at all: its plan can be cut, though it may cost more. Its bound holds for no other form.
    plan = _columns(form, [kind.capacity for kind in form.kinds], watch, seed)
    bound, source, engine = wide.bound, wide.source, "columns"
    if plan.cost != bound and not watch.is_over:
        flow = solve_arcflow(form, watch, seed)
        if flow is not None and flow.ended == "infeasible":
            return flow, "arc flow"
        if flow is not None and flow.bound > bound:
            bound, source = flow.bound, flow.source
        if flow is not None and flow.cost is not None and (plan.cost is None or flow.cost < plan.cost):
            plan, engine = flow, "arc flow"
    late = wide.cut_short or plan.cut_short
    if plan.cost is None:
        return PureAnswer("open", (), None, bound, source, late), engine
    ended: Ended = "optimal" if bound >= plan.cost else "feasible"
    return PureAnswer(ended, plan.patterns, plan.cost, bound, source, late), engine


def _is_cuttable(form: PureForm, patterns: Iterable[PurePattern]) -> bool:
    return all(form.kinds[pattern.kind].takes(form.load(dict(pattern.counts))) for pattern in patterns)


def _columns(form: PureForm, capacities: list[int], watch: Watch, seed: int) -> PureAnswer:
    instance = ColumnsInstance(
        tuple(Kind(room, kind.supply, kind.cost) for room, kind in zip(capacities, form.kinds, strict=True)),
        tuple(Item(size, demand) for size, demand in zip(form.sizes, form.demands, strict=True)),
    )
    found = _run_columns(instance, watch, seed)
    late = found.counters.get(LATE, 0) > 0 or (watch.work is not None and watch.work.cut_short)
    return replace(_answer(found), cut_short=late)


def _run_columns(instance: ColumnsInstance, watch: Watch, seed: int) -> ColumnsResult:
    found = solve_columns(
        instance,
        seconds=watch.by_clock.left,
        seed=seed,
        should_stop=watch.should_stop,
        now=watch.by_clock.now,
        on_progress=lambda bound, best: watch.tell(best, bound, "nesting by columns"),
        max_work=None if watch.work is None else max(1, int(watch.left / PROGRAM_S)),
    )
    watch.count(PROGRAM_S * found.counters.get("work", 0))
    if found.counters.get(LATE, 0):
        watch.was_late()
    return found


def _part(watch: Watch, work_s: float, share: float = 1.0) -> Watch:
    """A watch for a part of the search: so much work, and at most a share of what the clock has left."""
    return Work(watch).watch(work_s, share) if watch.work is None else watch.for_part(work_s)


def _answer(found: ColumnsResult) -> PureAnswer:
    patterns = tuple(
        PurePattern(use.kind, tuple(sorted(use.counts.items())), use.times) for use in found.patterns
    )
    ended: Ended = "open" if found.status == "unknown" else found.status
    return PureAnswer(ended, patterns, found.cost, found.lower_bound, found.bound_from)


def _result(problem: Problem, form: PureForm, answer: PureAnswer, engine: str, watch: Watch) -> Result:
    if answer.cost is None:
        return Result(
            Status.UNFINISHED, None, answer.bound, answer.source, (), watch.spent, engine
        )  # fmt: skip
    status = Status.OPTIMAL if answer.bound >= answer.cost else Status.FEASIBLE
    runs = _few_kept(problem, [_run(problem, form, pattern) for pattern in _merged(answer.patterns)])
    aims = (AimValue(Aim.COST, answer.cost, answer.bound),)
    late = answer.cut_short or (status is Status.FEASIBLE and watch.spent >= watch.seconds)
    return Result(
        status, answer.cost, answer.bound, answer.source, runs, watch.spent, engine, aims, cut_short=late
    )


def _few_kept(problem: Problem, runs: list[Run]) -> tuple[Run, ...]:
    """The runs with no more leftovers kept than may be, the longest of them; the rest is scrap."""
    left = problem.leftovers.most_new
    if left is None:
        return tuple(runs)
    for place in sorted(range(len(runs)), key=lambda place: -runs[place].remnant_um):
        kept = min(left, runs[place].kept)
        runs[place] = replace(runs[place], kept=kept)
        left -= kept
    return tuple(runs)


def _merged(patterns: Iterable[PurePattern]) -> list[PurePattern]:
    times: dict[tuple[int, tuple[tuple[int, int], ...]], int] = {}
    for pattern in patterns:
        key = pattern.kind, pattern.counts
        times[key] = times.get(key, 0) + pattern.times
    return [PurePattern(kind, counts, number) for (kind, counts), number in times.items()]


def _run(problem: Problem, form: PureForm, pattern: PurePattern) -> Run:
    bar = problem.bar_by_id[form.bar_ids[pattern.kind]]
    pieces = [
        problem.piece_by_id[form.piece_ids[item]] for item, count in pattern.counts for _ in range(count)
    ]
    pieces.sort(key=lambda piece: (-piece.length_um, piece.id))
    placed = tuple(Placed(piece.id) for piece in pieces)
    walked = walk(problem, placed)
    loads = (1,) * pattern.times
    if problem.grip_um == 0 and walked.bottom_um == bar.length_um:
        return Run(bar.id, loads, placed, 0, walked.cuts, ends_in_vise=True)
    ended = close(problem, bar, walked)
    kept = pattern.times if problem.leftovers.may_keep(ended.remnant_um) else 0
    return Run(bar.id, loads, placed, ended.remnant_um, ended.cuts, kept=kept)


def _infeasible(problem: Problem, form: PureForm, answer: PureAnswer, watch: Watch, seed: int) -> Result:
    """Add for each piece a bar of just its size, at the price of its length: the least length uncut is the
    least cost.
    """
    virtual = tuple(
        PureKind(size, None, demand, problem.piece_by_id[name].length_um)
        for size, demand, name in zip(form.sizes, form.demands, form.piece_ids, strict=True)
    )
    free = tuple(replace(kind, cost=0) for kind in form.kinds)
    wider = replace(form, kinds=free + virtual)
    found, _ = _solve_form(wider, _part(watch, SHORTAGE_WORK_S), seed)
    uncut: dict[str, int] = {}
    for pattern in found.patterns:
        if pattern.kind >= len(free):
            for item, count in pattern.counts:
                name = form.piece_ids[item]
                uncut[name] = uncut.get(name, 0) + count * pattern.times
    if not uncut:
        uncut = dict(zip(form.piece_ids, form.demands, strict=True))
    reasons = short_of_bars(problem, uncut, found.ended == "optimal")
    return Result(
        Status.INFEASIBLE, None, answer.bound, answer.source, (), watch.spent, "columns", reasons=reasons
    )
