"""What the pages of quotes and rates need from behind them; the wiring implements it."""

from dataclasses import dataclass
from datetime import date
from typing import Protocol

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.kept_quote import KeptQuote, QuoteHead
from kerfsmith.costing.rates import Rates
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.person import Person
from kerfsmith.web.backstage import Paper
from kerfsmith.workflow.accept_quote import AcceptQuote, DeclineQuote, QuoteAccepted
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class QuoteSource:
    """Where the lines of a quote come from: an order on the book, a file that is held, or the last revision
    of a quote, whose next one it becomes. One of the three is named."""

    order_id: str = ""
    upload_id: str = ""
    renews: str = ""


@dataclass(frozen=True, slots=True)
class QuoteWish:
    """A quote as it is asked for. An empty ``number`` gets the next free one; ``quantities`` are break points
    that every line is priced at beside its own."""

    source: QuoteSource
    customer: str
    valid_until: date
    number: str = ""
    reference: str = ""
    firm: bool = False
    certificates: bool = True
    quantities: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class QuoteLines:
    """The lines that a source has, with what they are called there; ``last`` is the revision renewed."""

    name: str
    lines: tuple[OrderLine, ...]
    last: KeptQuote | None = None


class QuoteStage(Protocol):
    """Everything behind the pages of quotes and rates."""

    def today(self) -> date: ...

    def rates(self) -> Rates:
        """What the shop reckons with."""

    def saws(self) -> tuple[SawSheet, ...]:
        """The saws of the shop, each of which has an hour's rate."""

    def bands(self) -> tuple[Band, ...]:
        """The bands that can be bought, each of which has a price."""

    def set_rates(self, rates: Rates, *, by: Person) -> Rates | Refusal:
        """Keep the rates."""

    def quotes(self) -> tuple[QuoteHead, ...]:
        """The newest revision of each quote, newest first."""

    def quote(self, number: str, revision: int | None = None) -> KeptQuote | None:
        """One revision of a quote, the newest where none is named."""

    def revisions(self, number: str) -> tuple[QuoteHead, ...]:
        """All revisions of a quote."""

    def orders(self) -> tuple[Order, ...]:
        """Orders on the book, any of which can be priced."""

    def lines_of(self, source: QuoteSource) -> QuoteLines | None:
        """The lines to be priced, None where the source is gone."""

    def begin(self, wish: QuoteWish, *, by: Person) -> str | Refusal:
        """Begin to plan and price; the id of what is underway."""

    def accept(self, told: AcceptQuote, *, by: Person) -> QuoteAccepted | Refusal:
        """Make an order of a quote."""

    def decline(self, told: DeclineQuote, *, by: Person) -> DeclineQuote | Refusal:
        """Close a quote without an order."""

    def pdf(self, number: str, revision: int, paper: Paper, *, inside: bool) -> bytes | None:
        """The quote on paper, ``inside`` for the shop alone. None: there is no such quote."""
