"""Scrapping what is left of a bar."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.cut_log import ScrapReason
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.shop.person import Person
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_in_hand, keep_bar
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class ScrapRemnant:
    """What is left of a finished bar goes to the scrap."""

    bar_id: str
    reason: ScrapReason = ScrapReason.NOT_WORTH_KEEPING
    note: str = ""


def scrap_remnant(
    records: Records, told: ScrapRemnant, *, by: Person, at: datetime, event: EventMark | None = None
) -> BarAtSaw | Refusal:
    """Close a finished bar without keeping its remnant. Refused: a bar still being cut."""

    def body(change: Change) -> BarAtSaw:
        _, at_saw = bar_in_hand(change.floor, told.bar_id)
        return keep_bar(change.floor, at_saw, BarState.SCRAPPED, by=by, at=at)

    return act(
        records,
        Verb.SCRAP_REMNANT,
        body,
        answer_as=BarAtSaw,
        told=told,
        subject=told.bar_id,
        by=by,
        at=at,
        event=event,
    )
