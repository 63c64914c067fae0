"""Replanning the week: after a stop, a new order or whatever else has changed, moving as little as asked."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.shop.person import Person
from kerfsmith.units.told import Told, sentence
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Look, Records
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.week_making import Proposal, WeekMade, from_now, put_forward, seen
from kerfsmith.workflow.week_now import Room
from kerfsmith.workflow.week_ports import LayWeek


@dataclass(frozen=True, slots=True)
class Replan:
    """Make the week anew as things stand; at most so many runs leave their place (None: as it takes)."""

    week_id: str
    most_moves: int | None = None


def replan_week(
    records: Records,
    told: Replan,
    *,
    room: Room,
    lay: LayWeek,
    options: Sequence[PlanGroup] | None = None,
    by: Person,
    at: datetime,
) -> WeekMade | Refusal:
    """Put a week forward from now on: what has begun stays, stops and new work are in it.

    ``options`` are the groups of a plan that was never lined up, on other saws that fit.
    """

    def make(look: Look) -> Proposal | Refusal:
        at_hand = seen(records, look)
        if isinstance(at_hand, Refusal):
            return at_hand
        if at_hand.working is None:
            return Refusal("no-week", "there is no week to be changed", "Line the plan up first")
        return from_now(
            look,
            at_hand,
            room,
            week_id=told.week_id,
            why=_why(told.most_moves),
            lay=lay,
            wishes=at_hand.working.wishes,
            most_moves=told.most_moves,
            options=None if options is None else tuple(options),
        )

    return put_forward(records, Verb.REPLAN_WEEK, make, told=told, subject=told.week_id, by=by, at=at)


def _why(most_moves: int | None) -> Told:
    match most_moves:
        case None:
            return Told("made anew as things stand, moving whatever it takes")
        case 0:
            return Told("made anew as things stand, nothing moved")
        case 1:
            return Told("made anew as things stand, one run moved at most")
        case many:
            return sentence("made anew as things stand, {many} runs moved at most", many=many)
