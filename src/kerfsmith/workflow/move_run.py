"""Moving a run by hand: to another place in its saw's row, or to another saw that fits."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.scheduling.solve import as_ordered
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Look, Records
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.week_making import (
    Order,
    Proposal,
    WeekMade,
    made_week,
    opened_now,
    order_now,
    put_forward,
    seen,
    stands,
)
from kerfsmith.workflow.week_now import Room, WeekNow, week_now


@dataclass(frozen=True, slots=True)
class MoveRun:
    """Put ``run`` on ``saw`` as number ``place`` of its row, counted from 0 over all that is to come."""

    week_id: str
    run: str
    saw: str
    place: int


def move_run(records: Records, told: MoveRun, *, room: Room, by: Person, at: datetime) -> WeekMade | Refusal:
    """Put the week forward with one run where a person wants it; everything else keeps its order.

    Refused: a run that has begun, a saw that can't take it, a place before what has begun, and an order in
    which a pinned start is missed.
    """

    def make(look: Look) -> Proposal | Refusal:
        at_hand = seen(records, look)
        if isinstance(at_hand, Refusal):
            return at_hand
        working = at_hand.working
        if working is None:
            return Refusal("no-week", "there is no week to be changed", "Line the plan up first")
        now = week_now(look, at_hand.plan, room, at_hand.kept, working.wishes)
        order = order_now(now.problem, working.week.sequences)
        refusal = refuse_move(now, told)
        if refusal is not None:
            return refusal
        opened = opened_now(now, working)
        laid = stands(now, as_ordered(now.problem, moved_to(now, order, told), opened))
        if isinstance(laid, Refusal):
            return laid
        label = now.problem.run(told.run).label or told.run
        why = sentence("{label} moved by hand", label=label)
        return Proposal(made_week(told.week_id, why, at_hand, now, laid, working.wishes))

    return put_forward(records, Verb.MOVE_RUN, make, told=told, subject=told.run[:200], by=by, at=at)


def refuse_move(now: WeekNow, told: MoveRun) -> Refusal | None:
    """Why the run can't go there, None where it can."""
    run = next((run for run in now.problem.runs if run.id == told.run), None)
    if run is None:
        return Refusal("unknown-run", "the run is not in the week any more", "Look at the week anew")
    label = run.label or run.id
    if run.pin is not None and run.pin.rank is not None:
        return Refusal(
            "begun", sentence("{label} has begun; what has begun stays", label=label), "Move another run"
        )
    if run.pin is not None and run.pin.saw != told.saw:
        return Refusal(
            "pinned", sentence("{label} is pinned to another saw", label=label), "Set it free first"
        )
    if all(option.saw != told.saw for option in run.options):
        saw = next((one.name for one in now.problem.saws if one.id == told.saw), told.saw)
        return Refusal(
            "no-fit",
            sentence("{label} can't go on {saw}", label=label, saw=saw),
            "Choose a saw that takes it",
        )
    return None


def moved_to(now: WeekNow, order: Order, told: MoveRun) -> dict[str, tuple[str, ...]]:
    """The order with the run in its new place, never before what has begun there."""
    rows = {saw: [name for name in names if name != told.run] for saw, names in order.items()}
    row = rows[told.saw]
    head = sum(
        1
        for run in now.problem.runs
        if run.pin is not None and run.pin.rank is not None and run.pin.saw == told.saw
    )
    row.insert(max(head, min(told.place, len(row))), told.run)
    return {saw: tuple(names) for saw, names in rows.items()}
