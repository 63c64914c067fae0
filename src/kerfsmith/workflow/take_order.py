"""Taking an order: the lines that could be read go on the book."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.order import Order
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class OrderTaken:
    """How much went on the book, and where it came from."""

    source: str
    lines: int
    pieces: int


def take_order(
    records: Records, order: Order, *, by: Person, at: datetime, source: str
) -> OrderTaken | Refusal:
    """Put ``order`` on the book. ``source`` says where it came from, for the ledger."""
    taken = OrderTaken(source, len(order.lines), order.pieces)

    def body(change: Change) -> OrderTaken:
        change.add_order(order)
        return taken

    return act(
        records, Verb.TAKE_ORDER, body, answer_as=OrderTaken, told=taken, subject=order.id, by=by, at=at
    )


@dataclass(frozen=True, slots=True)
class OrderDropped:
    """The order that was taken off the book."""

    order_id: str


def drop_order(records: Records, order_id: str, *, by: Person, at: datetime) -> OrderDropped | Refusal:
    """Take an order off the book; plans made from it stay. Refused while a run cuts pieces of it."""
    dropped = OrderDropped(order_id)

    def body(change: Change) -> OrderDropped:
        runs = change.floor.open_runs_of_order(order_id)
        if runs:
            raise Refused(
                "in-work",
                sentence("pieces of it are in run {runs}", runs=", ".join(runs)),
                "Finish the run first",
            )
        change.drop_order(order_id)
        return dropped

    return act(
        records, Verb.DROP_ORDER, body, answer_as=OrderDropped, told=dropped, subject=order_id, by=by, at=at
    )
