"""Putting a remnant away: it goes on the rack under its own label, with its heat and its length."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from kerfsmith.shop.loaded_bar import LoadedBar
from kerfsmith.shop.person import Person
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.run import Run
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_in_hand
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import Floor
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused

_PRICE_STEP = Decimal("0.0001")


@dataclass(frozen=True, slots=True)
class PutAway:
    """What is left of a finished bar lies at ``place`` with ``label`` on it."""

    bar_id: str
    label: str
    place: str


def put_away(
    records: Records, told: PutAway, *, by: Person, at: datetime, event: EventMark | None = None
) -> Bar | Refusal:
    """Put a remnant on the rack. Refused: a bar still being cut, or a label that any bar has or had."""

    def body(change: Change) -> Bar:
        floor = change.floor
        run, at_saw = bar_in_hand(floor, told.bar_id)
        bar = at_saw.bar
        label = told.label.strip()
        if not label or len(label) > 120:
            raise Refused("no-label", "a remnant needs a label of at most 120 characters", "Print it a label")
        if floor.rack_entry(label) is not None:
            raise Refused(
                "label-taken",
                sentence("another bar has or had the label {label}", label=label),
                "Use a new label",
            )
        remnant = _remnant(floor, run, bar, label, told.place.strip())
        floor.put_remnant(bar.id, remnant, by=by.name, at=at)
        return remnant

    return act(
        records,
        Verb.PUT_AWAY,
        body,
        answer_as=Bar,
        told=told,
        subject=told.bar_id,
        by=by,
        at=at,
        event=event,
    )


def _remnant(floor: Floor, run: Run, bar: LoadedBar, label: str, place: str) -> Bar:
    entry = floor.rack_entry(bar.label)
    whole = entry.bar.price if entry is not None else None
    price = None if whole is None else (whole * bar.left_um / bar.labelled_um).quantize(_PRICE_STEP)
    return Bar(
        id=label,
        grade=run.grade,
        section=run.section,
        length_um=bar.left_um,
        count=1,
        heat=bar.heat,
        place=place,
        price=price,
        kind=BarKind.REMNANT,
        end_is_good=entry is not None and entry.bar.end_is_good,
    )
