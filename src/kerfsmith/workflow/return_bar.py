"""Returning a bar: it was loaded and nothing cut from it, so it goes back to its place."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.loaded_bar import BarState, Parts
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_in_saw, keep_bar
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class ReturnBar:
    """The bar goes back to the rack uncut."""

    bar_id: str
    note: str = ""


def return_bar(
    records: Records, told: ReturnBar, *, by: Person, at: datetime, event: EventMark | None = None
) -> BarAtSaw | Refusal:
    """Put a loaded bar back under its label. Refused once something has been cut from it."""

    def body(change: Change) -> BarAtSaw:
        floor = change.floor
        _, at_saw = bar_in_saw(floor, told.bar_id)
        bar = at_saw.bar
        if bar.parts != Parts():
            raise Refused(
                "bar-cut",
                sentence("bar {label} has been cut", label=bar.label),
                "Finish it and put its remnant away",
            )
        floor.give_back(bar.label)
        if bar.load_id:
            floor.leave_load(bar.id)
        return keep_bar(floor, at_saw, BarState.RETURNED, by=by, at=at)

    return act(
        records,
        Verb.RETURN_BAR,
        body,
        answer_as=BarAtSaw,
        told=told,
        subject=told.bar_id,
        by=by,
        at=at,
        event=event,
    )
