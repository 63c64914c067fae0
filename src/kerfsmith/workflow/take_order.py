"""Taking an order: the lines that could be read go on the book."""

from datetime import datetime

from kerfsmith.shop.order import Order
from kerfsmith.workflow.ports import Records


def take_order(records: Records, order: Order, *, by: str, at: datetime, source: str) -> None:
    """Put ``order`` on the book. ``source`` says where it came from, for the ledger."""
    detail = {"source": source, "lines": len(order.lines), "pieces": order.pieces}
    with records.change("take order", by=by, at=at, subject=order.id, detail=detail) as change:
        change.add_order(order)


def drop_order(records: Records, order_id: str, *, by: str, at: datetime) -> None:
    """Take an order off the book; plans made from it stay."""
    with records.change("drop order", by=by, at=at, subject=order_id, detail={}) as change:
        change.drop_order(order_id)
