"""Pinning a run where it stands, and setting it free. Nothing moves by that; later weeks keep to it."""

from dataclasses import dataclass, replace
from datetime import datetime

from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.kept import KeptWeek, Wish, Wished
from kerfsmith.scheduling.problem import Pin
from kerfsmith.scheduling.replan import pinned
from kerfsmith.shop.person import Person
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused
from kerfsmith.workflow.week_ports import WeekState


@dataclass(frozen=True, slots=True)
class PinRun:
    """``run`` stays on its saw, with ``at_its_time`` at its time too."""

    week_id: str
    run: str
    at_its_time: bool = False


@dataclass(frozen=True, slots=True)
class FreeRun:
    """``run`` may go anywhere again: no pin, no saw refused."""

    week_id: str
    run: str


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is wished of a run now."""

    run: str
    wishes: tuple[Wish, ...]


def pin_run(records: Records, told: PinRun, *, by: Person, at: datetime) -> Wishes | Refusal:
    """Pin a run where the week has it. Refused for one that has begun, which stays anyway."""

    def body(change: Change) -> Wishes:
        state, week = _working(change)
        placement = next((one for one in week.week.placements if one.run == told.run), None)
        if placement is None:
            raise Refused("unknown-run", "the run is not in the week any more", "Look at the week anew")
        pin = week.problem.run(told.run).pin
        if pin is not None and pin.rank is not None:
            raise Refused("begun", "the run has begun; what has begun stays")
        start = week.start_of(placement) if told.at_its_time else None
        wished = Wished.TIME if told.at_its_time else Wished.SAW
        wishes = week.wishing(Wish(told.run, placement.saw, wished, start))
        new_pin = Pin(placement.saw, placement.start if told.at_its_time else None)
        return _rewrite(change, state, week, told.week_id, told.run, wishes, new_pin, by=by, at=at)

    return act(records, Verb.PIN_RUN, body, answer_as=Wishes, told=told, subject=told.run[:200], by=by, at=at)


def free_run(records: Records, told: FreeRun, *, by: Person, at: datetime) -> Wishes | Refusal:
    """Set a run free. A saw that was refused to it counts again when the week is next made."""

    def body(change: Change) -> Wishes:
        state, week = _working(change)
        if not week.wishes_for(told.run):
            raise Refused("free", "the run is free already")
        wishes = tuple(wish for wish in week.wishes if wish.run != told.run)
        return _rewrite(change, state, week, told.week_id, told.run, wishes, None, by=by, at=at)

    return act(
        records, Verb.FREE_RUN, body, answer_as=Wishes, told=told, subject=told.run[:200], by=by, at=at
    )


def _working(change: Change) -> tuple[WeekState, KeptWeek]:
    proposed, kept = change.weeks.proposed(), change.weeks.kept()
    if proposed is not None:
        return WeekState.PROPOSED, proposed
    if kept is None:
        raise Refused("no-week", "there is no week", "Line the plan up first")
    return WeekState.KEPT, kept


def _rewrite(
    change: Change,
    state: WeekState,
    week: KeptWeek,
    week_id: str,
    run: str,
    wishes: tuple[Wish, ...],
    pin: Pin | None,
    *,
    by: Person,
    at: datetime,
) -> Wishes:
    """The same week with other wishes takes the place of ``week``."""
    known = any(one.id == run for one in week.problem.runs)
    problem = pinned(week.problem, run, pin) if known else week.problem
    wrong = faults(problem, week.week)
    assert not wrong, f"a pin where the run stands can't break the week: {wrong[:3]}"
    former = WeekState.PAST if state is WeekState.KEPT else WeekState.REFUSED
    base = week.base if state is WeekState.PROPOSED else week.id
    change.weeks.settle(week.id, former, by=by.name, at=at)
    changed = replace(week.with_wishes(wishes, problem), id=week_id, base=base)
    change.weeks.add(changed, state, by=by.name, at=at)
    return Wishes(run, changed.wishes_for(run))
