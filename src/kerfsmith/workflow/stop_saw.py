"""Stopping a saw with a reason, and resuming."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.person import Person
from kerfsmith.shop.saw_stop import Stop, StopReason
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class StopSaw:
    """The saw stands, for this reason."""

    stop_id: str
    saw: str
    reason: StopReason
    run_id: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class ResumeSaw:
    """The saw runs again."""

    saw: str
    note: str = ""


def stop_saw(
    records: Records, told: StopSaw, *, by: Person, at: datetime, event: EventMark | None = None
) -> Stop | Refusal:
    """Record that a saw stands. Refused when it is recorded as standing already."""

    def body(change: Change) -> Stop:
        floor = change.floor
        floor.hold_saw(told.saw)
        floor.enter_saw(told.saw, told.saw)
        standing = floor.open_stop(told.saw)
        if standing is not None:
            raise Refused(
                "stopped",
                sentence("the saw already stands: {reason}", reason=standing.reason),
                "Resume it first",
            )
        stop = Stop(told.stop_id, told.saw, told.run_id, told.reason, told.note, at, by.name)
        floor.begin_stop(stop)
        return stop

    return act(
        records,
        Verb.STOP_SAW,
        body,
        answer_as=Stop,
        told=told,
        subject=told.saw,
        by=by,
        at=at,
        event=event,
    )


def resume_saw(
    records: Records, told: ResumeSaw, *, by: Person, at: datetime, event: EventMark | None = None
) -> Stop | Refusal:
    """Record that a saw runs again; the stop with its end. Refused when it isn't recorded as standing."""

    def body(change: Change) -> Stop:
        floor = change.floor
        floor.hold_saw(told.saw)
        standing = floor.open_stop(told.saw)
        if standing is None:
            raise Refused("not-stopped", "the saw is not recorded as standing")
        # Clocks of two panels may differ: a stop never ends before it began.
        floor.end_stop(standing.id, by=by.name, at=max(at, standing.began_at))
        return next(stop for stop in floor.stops(told.saw) if stop.id == standing.id)

    return act(
        records,
        Verb.RESUME_SAW,
        body,
        answer_as=Stop,
        told=told,
        subject=told.saw,
        by=by,
        at=at,
        event=event,
    )
