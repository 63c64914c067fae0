"""Measuring a bar in the saw: what is left of it is found to be other than reckoned."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.person import Person
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_in_saw, keep_bar
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class MeasureBar:
    """``left_um`` are left of the bar, by the rule."""

    bar_id: str
    left_um: int


MOST_OVER_LABEL = 20
"""A bar is at most a twentieth longer than it was booked in; more is a slip of a key (house rule)."""


def measure_bar(
    records: Records, told: MeasureBar, *, by: Person, at: datetime, event: EventMark | None = None
) -> BarAtSaw | Refusal:
    """Set a bar's length to what was cut from it and what is left; the label's length stays on record."""

    def body(change: Change) -> BarAtSaw:
        _, at_saw = bar_in_saw(change.floor, told.bar_id)
        if told.left_um < 0:
            raise Refused("no-length", "no less than nothing can be left", "Key the measured length again")
        bar = at_saw.bar
        most_um = bar.length_um + bar.length_um // MOST_OVER_LABEL
        if bar.parts.total_um + told.left_um > most_um:
            raise Refused(
                "too-long",
                "with what is cut from it the bar would be more than a twentieth longer than its label says",
                "Key the measured length again, or load the bar under its right label",
            )
        return keep_bar(change.floor, at_saw, bar.state, told.left_um, by=by, at=at)

    return act(
        records,
        Verb.MEASURE_BAR,
        body,
        answer_as=BarAtSaw,
        told=told,
        subject=told.bar_id,
        by=by,
        at=at,
        event=event,
    )
