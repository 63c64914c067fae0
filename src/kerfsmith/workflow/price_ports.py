"""What the verbs of prices, saw sheets and comparisons ask of the records."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol

from kerfsmith.costing.kept_quote import KeptQuote, QuoteHead, Settlement
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.which_saw.told import ComparisonTold
from kerfsmith.shop.kept_saw import KeptSaw
from kerfsmith.shop.order import OrderLine


class QuoteReading(Protocol):
    """Quotes, to be read."""

    def heads(self) -> tuple[QuoteHead, ...]:
        """The newest revision of each quote, newest first."""

    def quote(self, number: str, revision: int | None = None) -> KeptQuote | None:
        """One revision of a quote, the newest where none is named."""

    def revisions(self, number: str) -> tuple[QuoteHead, ...]:
        """All revisions of a quote, first one first."""

    def free_number(self, day: date) -> str:
        """A number that no quote has, counted within the year."""


class QuoteBook(QuoteReading, Protocol):
    """Quotes. One that was kept is never changed, and settled once."""

    def keep(self, kept: KeptQuote) -> None:
        """Keep a new revision."""

    def settle(self, number: str, revision: int, settlement: Settlement) -> None:
        """Say what became of a revision."""


class SawReading(Protocol):
    """The shop's saw sheets, to be read."""

    def saws(self) -> tuple[KeptSaw, ...] | None:
        """Every sheet in the order in which they were first kept; None where the shop never kept any."""


class SawBook(SawReading, Protocol):
    """The shop's saw sheets."""

    def keep(self, saw: KeptSaw) -> None:
        """Keep a sheet, in place of the one of the same id."""

    def keep_only(self, saws: Sequence[KeptSaw]) -> None:
        """Keep these and no others; none is a shop that has no saw yet."""


@dataclass(frozen=True, slots=True)
class KeptComparison:
    """A which-saw comparison as it came out; ``asked`` says of what, in words."""

    id: str
    name: str
    customer: str
    made_at: datetime
    made_by: str
    told: ComparisonTold


@dataclass(frozen=True, slots=True)
class ComparisonHead:
    """A comparison without its figures, for a list."""

    id: str
    name: str
    customer: str
    made_at: datetime
    made_by: str


class ComparisonReading(Protocol):
    """Which-saw comparisons, to be read."""

    def heads(self) -> tuple[ComparisonHead, ...]:
        """All of them, newest first."""

    def comparison(self, comparison_id: str) -> KeptComparison | None:
        """One of them."""


class ComparisonBook(ComparisonReading, Protocol):
    """Which-saw comparisons."""

    def keep(self, kept: KeptComparison) -> None:
        """Keep one."""

    def drop(self, comparison_id: str) -> bool:
        """Take one away; whether it was there."""


class PriceReading(Protocol):
    """Rates, and what was cut, to be read."""

    def rates(self) -> Rates:
        """The shop's rates in the shop's currency; the house's where none were set."""

    def cut_between(self, first: date, last: date) -> tuple[OrderLine, ...]:
        """Good pieces cut from ``first`` to ``last``, both counted, as the lines they were cut for."""


class PriceBook(PriceReading, Protocol):
    """Rates."""

    def set_rates(self, rates: Rates) -> None:
        """Keep the rates; their currency becomes the shop's."""
