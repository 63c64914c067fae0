"""Refusing a saw to a run: the engine finds it another place."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.scheduling.kept import Wish, Wished
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Look, Records
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.week_making import Proposal, WeekMade, from_now, put_forward, seen
from kerfsmith.workflow.week_now import Room
from kerfsmith.workflow.week_ports import LayWeek


@dataclass(frozen=True, slots=True)
class RefusePlace:
    """``run`` is not to be cut on ``saw``."""

    week_id: str
    run: str
    saw: str


def refuse_place(
    records: Records, told: RefusePlace, *, room: Room, lay: LayWeek, by: Person, at: datetime
) -> WeekMade | Refusal:
    """Put a week forward in which the run is on another saw.

    Refused where no other saw takes it, and where it has begun.
    """

    def make(look: Look) -> Proposal | Refusal:
        at_hand = seen(records, look)
        if isinstance(at_hand, Refusal):
            return at_hand
        working = at_hand.working
        run = next((one for one in working.problem.runs if one.id == told.run), None) if working else None
        if working is None or run is None:
            return Refusal("unknown-run", "the run is not in the week", "Look at the week anew")
        label = run.label or run.id
        if run.pin is not None and run.pin.rank is not None:
            return Refusal(
                "begun", sentence("{label} has begun; what has begun stays", label=label), "Move another run"
            )
        if all(option.saw == told.saw for option in run.options):
            return Refusal(
                "no-fit", sentence("no other saw takes {label}", label=label), "Move it later instead"
            )
        wishes = working.wishing(Wish(told.run, told.saw, Wished.NOT_HERE))
        why = sentence(
            "{label} not on {saw}", label=label, saw=working.problem.saw(told.saw).name or told.saw
        )
        return from_now(
            look, at_hand, room, week_id=told.week_id, why=why, lay=lay, wishes=wishes, most_moves=None
        )

    return put_forward(records, Verb.REFUSE_PLACE, make, told=told, subject=told.run[:200], by=by, at=at)
