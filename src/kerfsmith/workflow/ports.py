"""What the verbs ask of the records. The adapters are in `records`; `wiring` brings the two together."""

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol, TypeVar

from kerfsmith.planning.plan import Plan
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.fault_ports import FaultBook, FaultReading
from kerfsmith.workflow.floor_ports import Crib, CribReading, Floor, FloorReading, HeatBook, Tracing
from kerfsmith.workflow.learn_ports import LearningBook, LearningReading
from kerfsmith.workflow.own_ports import OwnBook, OwnReading
from kerfsmith.workflow.people_ports import PeopleBook, PeopleReading
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.price_ports import (
    ComparisonBook,
    ComparisonReading,
    PriceBook,
    PriceReading,
    QuoteBook,
    QuoteReading,
    SawBook,
    SawReading,
)
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.week_ports import WeekBook, WeekReading

Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True)
class LedgerNote:
    """What a change writes in the ledger; ``told`` is what was asked, ``refusal`` why it was not done."""

    verb: Verb
    by: str
    at: datetime
    subject: str
    told: object
    refusal: Refusal | None = None


@dataclass(frozen=True, slots=True)
class LedgerEntry:
    """One change to the records: its number, when, who, which verb, on what, and the particulars.

    ``refused`` is the reason where it was not done.
    """

    number: int
    at: datetime
    by: str
    verb: str
    subject: str
    detail: str
    refused: str = ""


class Inbox(Protocol):
    """Events received from panels with the answers they got."""

    def answer(self, event: EventMark, answer_as: type[Answer]) -> Answer | Refusal | None:
        """The answer this event got before, None when it is new."""

    def next_number(self, panel: str) -> int:
        """The number that this panel's next event must have."""

    def keep(
        self, event: EventMark, note: LedgerNote, answer: Answer | Refusal, answer_as: type[Answer]
    ) -> None:
        """Keep an event with its answer."""


class Change(Protocol):
    """One open transaction: all of it is kept or none."""

    @property
    def inbox(self) -> Inbox:
        """Events of panels."""

    @property
    def floor(self) -> Floor:
        """Runs, bars at the saws, cuts."""

    @property
    def crib(self) -> Crib:
        """Bands and where they are mounted."""

    @property
    def heats(self) -> HeatBook:
        """Heats and certificates."""

    @property
    def people(self) -> PeopleBook:
        """People, their secrets (hashed) and sessions."""

    @property
    def learning(self) -> LearningBook:
        """What there is to learn from, and what was decided of factors."""

    @property
    def faults(self) -> FaultBook:
        """Faults at the saws."""

    @property
    def weeks(self) -> WeekBook:
        """The week and the shop's hours."""

    @property
    def prices(self) -> PriceBook:
        """Rates."""

    @property
    def quotes(self) -> QuoteBook:
        """Quotes."""

    @property
    def saw_sheets(self) -> SawBook:
        """The shop's saw sheets."""

    @property
    def own(self) -> OwnBook:
        """Sections the shop has drawn, and its own names of grades."""

    @property
    def comparisons(self) -> ComparisonBook:
        """Which-saw comparisons."""

    def part(self) -> AbstractContextManager[None]:
        """A part of the change, undone alone when an exception leaves it.

        Raises RuleBroken where a constraint of the records refuses what was done in it.
        """

    def note(self, note: LedgerNote, event: EventMark | None) -> None:
        """Write the ledger entry of this change."""

    def rules(self) -> ShopRules:
        """The shop's rules."""

    def is_demo(self) -> bool:
        """Whether the shop in the records is the demo."""

    def add_order(self, order: Order) -> None:
        """Keep an order with its lines."""

    def has_order(self, order_id: str) -> bool:
        """Whether an order is on the book."""

    def priced_bars(self) -> bool:
        """Whether any bar that is left on the rack has a price."""

    def put_substitutes(self, order_id: str, line: OrderLine) -> None:
        """Keep what a line on the book may be cut from instead."""

    def drop_order(self, order_id: str) -> None:
        """Take an order with its lines off the book; plans made from it stay."""

    def add_bars(self, bars: Sequence[Bar]) -> None:
        """Put bars on the rack; an id that is on the rack already gets the new figures."""

    def clear_rack(self) -> None:
        """Take everything off the rack."""

    def save_plan(self, plan: Plan, order_ids: Sequence[str]) -> None:
        """Keep a finished plan."""

    def clear_shop(self) -> None:
        """Take away all orders, bars, plans, the demo's bands and what its saws did. Ledger and people stay.

        Raises RuleBroken for a shop of one's own in which something has been cut.
        """

    def set_rules(self, rules: ShopRules) -> None:
        """Keep the shop's rules."""

    def set_demo(self, is_demo: bool) -> None:
        """Say whether the shop in the records is the demo."""


class Look(Protocol):
    """The records at one moment, for reading what belongs together."""

    @property
    def floor(self) -> FloorReading:
        """Runs, bars at the saws, cuts."""

    @property
    def crib(self) -> CribReading:
        """Bands and where they are mounted."""

    @property
    def people(self) -> PeopleReading:
        """People and sessions."""

    @property
    def trace(self) -> Tracing:
        """From pieces back and from heats on."""

    @property
    def learning(self) -> LearningReading:
        """What there is to learn from, and what was decided of factors."""

    @property
    def faults(self) -> FaultReading:
        """Faults at the saws."""

    @property
    def weeks(self) -> WeekReading:
        """The week and the shop's hours."""

    @property
    def prices(self) -> PriceReading:
        """Rates, and what was cut."""

    @property
    def quotes(self) -> QuoteReading:
        """Quotes."""

    @property
    def saw_sheets(self) -> SawReading:
        """The shop's saw sheets."""

    @property
    def own(self) -> OwnReading:
        """Sections the shop has drawn, and its own names of grades."""

    @property
    def comparisons(self) -> ComparisonReading:
        """Which-saw comparisons."""

    def rules(self) -> ShopRules:
        """The shop's rules."""


class Records(Protocol):
    """What is kept, to be read at any time and changed one verb at a time."""

    def perform(self, act: Callable[[Change], Answer]) -> Answer:
        """Do ``act`` in one transaction.

        It is done again from its beginning when another writer got in between, so it must do nothing that
        can't be done twice.
        """

    def look(self) -> AbstractContextManager[Look]:
        """Read several things as they are at one moment."""

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

    def file(self, digest: str) -> bytes | None:
        """Content of a file on record by its SHA-256, None where there is none."""
