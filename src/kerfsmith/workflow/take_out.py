"""Taking a bar out of a load: it is bad, or has more to be cut than the others."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_in_saw
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class TakeOut:
    """The bar no longer lies with the others of its load. ``why`` is kept in the ledger."""

    bar_id: str
    why: str = ""


def take_out(
    records: Records, told: TakeOut, *, by: Person, at: datetime, event: EventMark | None = None
) -> BarAtSaw | Refusal:
    """Let a bar leave its load with what is left of it: it is cut on alone, or finished.

    The next cut goes through the others. Refused: a bar that lies in no load.
    """

    def body(change: Change) -> BarAtSaw:
        floor = change.floor
        _, at_saw = bar_in_saw(floor, told.bar_id)
        if not at_saw.bar.load_id:
            raise Refused(
                "not-in-load",
                sentence("bar {label} lies in no load", label=at_saw.bar.label),
                "Finish it, or cut it on",
            )
        floor.leave_load(told.bar_id)
        taken = floor.bar(told.bar_id)
        assert taken is not None, "taken out just now"
        return taken

    return act(
        records,
        Verb.TAKE_OUT,
        body,
        answer_as=BarAtSaw,
        told=told,
        subject=told.bar_id,
        by=by,
        at=at,
        event=event,
    )
