"""Stocking the rack: bars and remnants that have arrived or been counted."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.person import Person
from kerfsmith.shop.rack import Bar
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class RackStocked:
    """How many entries went on the rack, and where they came from."""

    source: str
    entries: int
    afresh: bool


def stock_rack(
    records: Records, bars: Sequence[Bar], *, by: Person, at: datetime, source: str, afresh: bool = False
) -> RackStocked | Refusal:
    """Put ``bars`` on the rack; ``afresh`` clears it first, as after a stock-take.

    Refused by the records where a label that a bar was already cut under would become another bar.
    """
    stocked = RackStocked(source, len(bars), afresh)

    def body(change: Change) -> RackStocked:
        if afresh:
            change.clear_rack()
        change.add_bars(bars)
        return stocked

    return act(
        records, Verb.STOCK_RACK, body, answer_as=RackStocked, told=stocked, subject="rack", by=by, at=at
    )
