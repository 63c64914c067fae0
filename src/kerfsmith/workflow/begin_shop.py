"""Beginning: the demo shop at the first start, or an empty shop of one's own."""

from collections.abc import Sequence
from datetime import datetime

from kerfsmith.shop.order import Order
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import ShopRules
from kerfsmith.workflow.ports import Records


def open_demo(
    records: Records, order: Order, bars: Sequence[Bar], rules: ShopRules, *, by: str, at: datetime
) -> None:
    """Fill empty records with the demo shop's order book and rack."""
    detail = {"lines": len(order.lines), "entries": len(bars)}
    with records.change("open demo", by=by, at=at, subject="shop", detail=detail) as change:
        change.clear_shop()
        change.set_rules(rules)
        change.add_bars(bars)
        change.add_order(order)
        change.set_demo(True)


def begin_own_shop(records: Records, rules: ShopRules, *, by: str, at: datetime) -> None:
    """Empty the shop for the user's own orders and bars. The ledger stays."""
    with records.change("begin own shop", by=by, at=at, subject="shop", detail={}) as change:
        change.clear_shop()
        change.set_rules(rules)
        change.set_demo(False)
