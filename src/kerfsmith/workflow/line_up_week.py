"""Lining the week up: the newest plan's runs laid on the saws, put forward for a person to accept."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.shop.person import Person
from kerfsmith.units.told import Told
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Look, Records
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.week_making import Proposal, WeekMade, made_week, put_forward, seen, stands
from kerfsmith.workflow.week_now import Room, week_now
from kerfsmith.workflow.week_ports import LayWeek


@dataclass(frozen=True, slots=True)
class LineUp:
    """Line the newest plan up as the week ``week_id``; what was wished of its runs still holds."""

    week_id: str


def line_up_week(
    records: Records,
    told: LineUp,
    *,
    room: Room,
    lay: LayWeek,
    options: Sequence[PlanGroup],
    by: Person,
    at: datetime,
) -> WeekMade | Refusal:
    """Put a week forward that is laid afresh. ``options`` are the plan's groups on other saws that fit.

    Refused where there is no plan, and where no week holds what is pinned.
    """

    def make(look: Look) -> Proposal | Refusal:
        at_hand = seen(records, look)
        if isinstance(at_hand, Refusal):
            return at_hand
        working = at_hand.working
        wishes = working.wishes if working is not None else ()
        now = week_now(look, at_hand.plan, room, at_hand.kept, wishes, options=tuple(options))
        # Where the week is laid afresh no order is held to: moves are told, not saved.
        laid = stands(now, lay(now.problem, None))
        if isinstance(laid, Refusal):
            return laid
        week = made_week(told.week_id, Told("lined up from the plan"), at_hand, now, laid, wishes)
        return Proposal(week, tuple(options))

    return put_forward(records, Verb.LINE_UP, make, told=told, subject=told.week_id, by=by, at=at)
