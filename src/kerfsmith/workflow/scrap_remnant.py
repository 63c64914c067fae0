"""Scrapping what is left of a bar."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.cut_log import ScrapReason
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_at_work
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


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
        floor = change.floor
        _, at_saw = bar_at_work(floor, told.bar_id)
        bar = at_saw.bar
        if bar.state is not BarState.FINISHED:
            raise Refused(
                "bar-not-finished",
                sentence("bar {label} is still being cut", label=bar.label),
                "Finish it first",
            )
        floor.set_bar(
            bar.id,
            state=BarState.SCRAPPED,
            length_um=bar.length_um,
            left_um=bar.left_um,
            by=by.name,
            at=at,
        )
        scrapped = floor.bar(bar.id)
        assert scrapped is not None, "scrapped just now"
        return scrapped

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
