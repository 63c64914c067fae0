"""What the verbs ask of the records. The adapters are in `records`; `wiring` brings the two together."""

from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from kerfsmith.planning.plan import Plan
from kerfsmith.shop.order import Order
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules


@dataclass(frozen=True, slots=True)
class LedgerEntry:
    """One change to the records: its number, when, who, which verb, on what, and the particulars."""

    number: int
    at: datetime
    by: str
    verb: str
    subject: str
    detail: str


class Change(Protocol):
    """One open transaction: all of it is kept or none."""

    def add_order(self, order: Order) -> None:
        """Keep an order with its lines."""

    def drop_order(self, order_id: str) -> None:
        """Take an order with its lines off the book; plans made from it stay."""

    def add_bars(self, bars: Sequence[Bar]) -> None:
        """Put bars on the rack; an id that is on the rack already gets the new figures."""

    def clear_rack(self) -> None:
        """Take everything off the rack."""

    def save_plan(self, plan: Plan, order_ids: Sequence[str]) -> None:
        """Keep a finished plan."""

    def clear_shop(self) -> None:
        """Take away all orders, bars and plans. The ledger stays."""

    def set_rules(self, rules: ShopRules) -> None:
        """Keep the shop's rules."""

    def set_demo(self, is_demo: bool) -> None:
        """Say whether the shop in the records is the demo."""


class Records(Protocol):
    """What is kept, to be read at any time and changed one verb at a time."""

    def change(
        self, verb: str, *, by: str, at: datetime, subject: str, detail: Mapping[str, object]
    ) -> AbstractContextManager[Change]:
        """Open the one transaction of a verb; its ledger entry is written inside it."""

    def orders(self) -> tuple[Order, ...]:
        """All orders on the book, oldest first."""

    def rack(self) -> Rack:
        """All bars on the rack."""

    def rules(self) -> ShopRules:
        """The shop's rules."""

    def is_demo(self) -> bool:
        """Whether the shop in the records is the demo."""

    def latest_plan(self) -> Plan | None:
        """The plan made last, or None."""

    def ledger(self, limit: int = 100) -> tuple[LedgerEntry, ...]:
        """The newest entries first."""
