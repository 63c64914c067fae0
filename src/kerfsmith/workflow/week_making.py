"""How a week is made that is put forward: from the records as they stand, laid by an engine or by hand."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.kept import KeptWeek, Wish
from kerfsmith.scheduling.problem import Aim, Problem
from kerfsmith.scheduling.result import AimValue, Week
from kerfsmith.scheduling.solve import as_ordered
from kerfsmith.shop.person import Person
from kerfsmith.units.told import Told, joined
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.ports import Change, Look, Records
from kerfsmith.workflow.refusal import Refusal, Refused
from kerfsmith.workflow.week_now import Room, WeekNow, opened_of, week_now
from kerfsmith.workflow.week_ports import LayWeek, WeekReading, WeekState

Order = Mapping[str, Sequence[str]]
"""Saw -> its runs."""


@dataclass(frozen=True, slots=True)
class WeekMade:
    """A week that was put forward, in short; the ledger's entry and the verb's answer."""

    week_id: str
    base: str
    why: Told
    runs: int
    aims: tuple[AimValue, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """The weeks as they were when a person said what he wants."""

    plan: Plan
    kept: KeptWeek | None
    proposed: KeptWeek | None

    @property
    def working(self) -> KeptWeek | None:
        """The week that is being worked at: what is put forward, else what is in force."""
        return self.proposed or self.kept


def seen(records: Records, look: Look) -> Seen | Refusal:
    """The plan and its weeks. A refusal where there is no plan."""
    plan = records.latest_plan()
    if plan is None:
        return Refusal("no-plan", "there is no plan to line up", "Plan the orders first")
    kept, proposed = look.weeks.kept(), look.weeks.proposed()
    return Seen(plan, kept, proposed if proposed is not None and proposed.plan_id == plan.id else None)


def order_now(problem: Problem, order: Order) -> dict[str, tuple[str, ...]]:
    """An order that names every run of ``problem`` once, those that have begun first, the rest as it was.

    A run that its saw no longer takes, or that is new, goes to the end of the first saw that takes it.
    """
    rows: dict[str, list[str]] = {saw.id: [] for saw in problem.saws}
    ranked = sorted(
        (run for run in problem.runs if run.pin is not None and run.pin.rank is not None),
        key=lambda run: run.pin.rank if run.pin is not None and run.pin.rank is not None else 0,
    )
    for run in ranked:
        if run.pin is not None:
            rows[run.pin.saw].append(run.id)
    placed = {run.id for run in ranked}
    taking = {run.id: [option.saw for option in run.open_options] for run in problem.runs}
    for saw, names in order.items():
        for name in names:
            if name not in placed and saw in taking.get(name, ()):
                rows[saw].append(name)
                placed.add(name)
    for run in sorted(problem.runs, key=lambda run: (run.due is None, run.due or 0, run.id)):
        if run.id not in placed:
            rows[taking[run.id][0]].append(run.id)
    return {saw: tuple(names) for saw, names in rows.items()}


def opened_now(now: WeekNow, week: KeptWeek) -> dict[str, tuple[int, ...]]:
    """The overtime that ``week`` asks for, among the windows of the saws as they are now."""
    found: dict[str, tuple[int, ...]] = {}
    for saw in now.problem.saws:
        asked = opened_of(week, saw.id)
        windows = saw.calendar.windows
        found[saw.id] = tuple(k for k in saw.calendar.overtime if now.clock.moment(windows[k].start) in asked)
    return found


def before_of(now: WeekNow, kept: KeptWeek | None) -> tuple[AimValue, ...]:
    """What the order in force would reach from now on; nothing where it no longer holds or there is none."""
    if kept is None:
        return ()
    order = order_now(now.problem, kept.week.sequences)
    return as_ordered(now.problem, order, opened_now(now, kept)).aims


def stands(now: WeekNow, laid: Week) -> Week | Refusal:
    """The week, looked at by the referee; a refusal with its reasons where none was found."""
    if not laid.placements and now.problem.runs:
        return Refusal("no-week", joined("; ", laid.reasons), "Take a pin out, or give the saws more hours")
    wrong = faults(now.problem, laid)
    assert not wrong, f"an engine's week was refused: {wrong[:3]}"
    return laid


@dataclass(frozen=True, slots=True)
class Proposal:
    """A week to be put forward, and the other saws for the plan's groups that come with it (None: known)."""

    week: KeptWeek
    options: tuple[PlanGroup, ...] | None = None


def put_forward(
    records: Records,
    verb: Verb,
    make: Callable[[Look], Proposal | Refusal],
    *,
    told: object,
    subject: str,
    by: Person,
    at: datetime,
) -> WeekMade | Refusal:
    """Make a week outside of any transaction, then keep it as what is put forward, in one with its entry."""
    made: Proposal | Refusal | None = None
    over: KeptWeek | None = None
    if may(by.role, verb):
        with records.look() as look:
            over = look.weeks.proposed()
            made = make(look)

    def body(change: Change) -> WeekMade:
        if not isinstance(made, Proposal):
            assert isinstance(made, Refusal), "who may not is refused before"
            raise Refused(made.code, made.reason, made.remedy)
        week = made.week
        _same_base(change.weeks, week)
        former = change.weeks.proposed()
        if (former.id if former is not None else "") != (over.id if over is not None else ""):
            raise Refused(
                "week-changed", "somebody has changed the week meanwhile", "Look at it and try again"
            )
        if former is not None:
            change.weeks.settle(former.id, WeekState.REFUSED, by=by.name, at=at)
        if made.options is not None:
            change.weeks.keep_options(week.plan_id, made.options)
        change.weeks.add(week, WeekState.PROPOSED, by=by.name, at=at)
        return WeekMade(week.id, week.base, week.why, len(week.week.placements), week.week.aims)

    return act(records, verb, body, answer_as=WeekMade, told=told, subject=subject, by=by, at=at)


def _same_base(weeks: WeekReading, week: KeptWeek) -> None:
    kept = weeks.kept()
    if (kept.id if kept is not None else "") != week.base:
        raise Refused("week-changed", "another week was accepted meanwhile", "Look at it and try again")


def made_week(
    week_id: str, why: Told, at_hand: Seen, now: WeekNow, laid: Week, wishes: Sequence[Wish]
) -> KeptWeek:
    """The week to be put forward."""
    base = at_hand.kept
    return KeptWeek(
        id=week_id,
        plan_id=at_hand.plan.id,
        base=base.id if base is not None else "",
        why=why,
        clock=now.clock,
        now=now.now,
        problem=now.problem,
        week=laid,
        wishes=tuple(wishes),
        left_out=now.left_out,
        begun=now.begun,
        before=before_of(now, base),
        standing=now.standing,
    )


def moved_by_people(problem: Problem, at_hand: Seen) -> int:
    """Runs that people have taken from their place themselves: they are not counted against an engine.

    Those moved in what is put forward already, and those that may no longer be where they were.
    """
    by_hand = at_hand.proposed.week.value(Aim.MOVES) if at_hand.proposed is not None else None
    forced = sum(
        1
        for run in problem.runs
        for saw, names in problem.previous.items()
        if run.id in names and all(option.saw != saw for option in run.open_options)
    )
    return (by_hand or 0) + forced


def from_now(
    look: Look,
    at_hand: Seen,
    room: Room,
    *,
    week_id: str,
    why: Told,
    lay: LayWeek,
    wishes: Sequence[Wish],
    most_moves: int | None,
    options: tuple[PlanGroup, ...] | None = None,
) -> Proposal | Refusal:
    """What an engine makes of the week from now on, beginning from the order that is being worked at.

    ``options`` are the plan's groups on other saws where none are on record.
    """
    now = week_now(look, at_hand.plan, room, at_hand.kept, wishes, options=options)
    if most_moves is not None and at_hand.kept is not None:
        allowed = most_moves + moved_by_people(now.problem, at_hand)
        now = replace(now, problem=replace(now.problem, most_moves=allowed))
    working = at_hand.working
    start = order_now(now.problem, working.week.sequences) if working is not None else None
    laid = stands(now, lay(now.problem, start))
    if isinstance(laid, Refusal):
        return laid
    return Proposal(made_week(week_id, why, at_hand, now, laid, wishes), options)
