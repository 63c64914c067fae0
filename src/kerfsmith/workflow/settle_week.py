"""Accepting the week that is put forward, or refusing it: a person decides."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused
from kerfsmith.workflow.week_ports import WeekState


@dataclass(frozen=True, slots=True)
class Settle:
    """The week that is accepted or refused."""

    week_id: str


@dataclass(frozen=True, slots=True)
class Settled:
    """What became of it; ``swapped`` are groups of the plan that went to another saw with it."""

    week_id: str
    state: WeekState
    swapped: tuple[str, ...] = ()


def accept_week(records: Records, told: Settle, *, by: Person, at: datetime) -> Settled | Refusal:
    """Put the proposed week in force. Groups that it lays on other saws go there in the plan too.

    Refused: a week that is no longer the one put forward, or whose runs were released to another saw
    meanwhile.
    """

    def body(change: Change) -> Settled:
        week = _proposed(change, told.week_id)
        kept = change.weeks.kept()
        if (kept.id if kept is not None else "") != week.base:
            raise Refused("week-changed", "another week was accepted meanwhile", "Look at it and try again")
        swapped = _swap_groups(change, week)
        if kept is not None:
            change.weeks.settle(kept.id, WeekState.PAST, by=by.name, at=at)
        change.weeks.settle(week.id, WeekState.KEPT, by=by.name, at=at)
        return Settled(week.id, WeekState.KEPT, swapped)

    return act(
        records, Verb.ACCEPT_WEEK, body, answer_as=Settled, told=told, subject=told.week_id, by=by, at=at
    )


def refuse_week(records: Records, told: Settle, *, by: Person, at: datetime) -> Settled | Refusal:
    """Turn the proposed week down; the one in force stays."""

    def body(change: Change) -> Settled:
        week = _proposed(change, told.week_id)
        change.weeks.settle(week.id, WeekState.REFUSED, by=by.name, at=at)
        return Settled(week.id, WeekState.REFUSED)

    return act(
        records, Verb.REFUSE_WEEK, body, answer_as=Settled, told=told, subject=told.week_id, by=by, at=at
    )


def _proposed(change: Change, week_id: str) -> KeptWeek:
    week = change.weeks.proposed()
    if week is None or week.id != week_id:
        raise Refused("week-changed", "this week is no longer the one put forward", "Look at the week anew")
    return week


def _swap_groups(change: Change, week: KeptWeek) -> tuple[str, ...]:
    swapped = []
    options = {(one.id, one.saw): one for one in change.weeks.options(week.plan_id)}
    for one in week.week.placements:
        group = change.floor.plan_group(week.plan_id, one.run)
        if group is None or group.saw == one.saw:
            continue
        label = week.problem.run(one.run).label or one.run
        if change.floor.run_of_group(week.plan_id, one.run) is not None:
            raise Refused(
                "released",
                sentence(
                    "{label} was released to {saw_name} meanwhile", label=label, saw_name=group.saw_name
                ),
                "Replan the week",
            )
        option = options.get((one.run, one.saw))
        if option is None:
            raise Refused(
                "no-option",
                sentence("{label} was never planned for that saw", label=label),
                "Line the week up anew",
            )
        change.floor.hold_rack(group.grade, group.section.key)
        change.weeks.swap(week.plan_id, option)
        swapped.append(one.run)
    return tuple(swapped)
