"""Beginning: the demo shop at the first start, or an empty shop of one's own; and the shop's rules."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import Person
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import ShopRules
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused
from kerfsmith.workflow.set_rates import keep_currency


@dataclass(frozen=True, slots=True)
class ShopBegun:
    """What the shop begins with."""

    lines: int
    entries: int


def open_demo(
    records: Records, order: Order, bars: Sequence[Bar], rules: ShopRules, *, by: Person, at: datetime
) -> ShopBegun | Refusal:
    """Fill empty records with the demo shop's order book and rack."""
    begun = ShopBegun(len(order.lines), len(bars))

    def body(change: Change) -> ShopBegun:
        change.clear_shop()
        change.set_rules(rules)
        change.add_bars(bars)
        change.add_order(order)
        change.set_demo(True)
        return begun

    return act(records, Verb.OPEN_DEMO, body, answer_as=ShopBegun, told=begun, subject="shop", by=by, at=at)


def begin_own_shop(
    records: Records, rules: ShopRules, *, by: Person, at: datetime, saws: Sequence[SawSheet] = ()
) -> ShopBegun | Refusal:
    """Empty the demo for the user's own orders and bars. Ledger, people and the bands they took in stay.

    ``saws`` are those it begins with, the demo's where that was chosen; else it has none until its own are
    kept. Refused in a shop of one's own: what was cut there is never taken away.
    """

    def body(change: Change) -> ShopBegun:
        if not change.is_demo():
            raise Refused("own-shop", "this is the shop's own book already, not the demo")
        change.clear_shop()
        change.set_rules(rules)
        change.saw_sheets.keep_only([KeptSaw(sheet, SawStanding.OWN, at, by.name) for sheet in saws])
        change.set_demo(False)
        return ShopBegun(0, 0)

    return act(
        records, Verb.BEGIN_OWN_SHOP, body, answer_as=ShopBegun, told=rules, subject="shop", by=by, at=at
    )


def set_rules(records: Records, rules: ShopRules, *, by: Person, at: datetime) -> ShopRules | Refusal:
    """Change what the shop decides for itself; another currency only while no bar on the rack has a price."""

    def body(change: Change) -> ShopRules:
        keep_currency(change, rules.currency)
        change.set_rules(rules)
        return rules

    return act(records, Verb.SET_RULES, body, answer_as=ShopRules, told=rules, subject="shop", by=by, at=at)
