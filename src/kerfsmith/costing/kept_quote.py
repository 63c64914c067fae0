"""A quote as the shop keeps it: frozen as it was made, and what became of it."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from kerfsmith.costing.quote import Quote
from kerfsmith.errors import InvalidValue
from kerfsmith.units.money import Money


class QuoteState(StrEnum):
    """Where a quote stands. ENDED is an open one after its last day; only the others are on record."""

    OPEN = "open"
    ENDED = "ended"
    ACCEPTED = "accepted"
    DECLINED = "declined"
    REPLACED = "replaced"


SETTLED = (QuoteState.ACCEPTED, QuoteState.DECLINED, QuoteState.REPLACED)


@dataclass(frozen=True, slots=True)
class Settlement:
    """What became of a quote, once and for good. ``order_id`` is the order that an accepted one became.

    Raises InvalidValue for a state in which nothing is settled, or an accepted one without its order.
    """

    state: QuoteState
    at: datetime
    by: str
    order_id: str = ""

    def __post_init__(self) -> None:
        if self.state not in SETTLED or (self.state is QuoteState.ACCEPTED) != bool(self.order_id):
            raise InvalidValue("a quote is accepted with its order, or declined, or replaced")


@dataclass(frozen=True, slots=True)
class KeptQuote:
    """One revision of a quote. ``from_order`` is the order on the book that it prices, "" for none."""

    quote: Quote
    made_at: datetime
    made_by: str
    from_order: str = ""
    settlement: Settlement | None = None

    def state(self, day: date) -> QuoteState:
        """Where it stands on a day."""
        return state_of(self.settlement, self.quote.terms.valid_until, day)


@dataclass(frozen=True, slots=True)
class QuoteHead:
    """A quote without its lines, for a list."""

    number: str
    revision: int
    customer: str
    reference: str
    day: date
    valid_until: date
    lines: int
    total: Money
    made_by: str
    settlement: Settlement | None = None

    def state(self, day: date) -> QuoteState:
        """Where it stands on a day."""
        return state_of(self.settlement, self.valid_until, day)


def state_of(settlement: Settlement | None, valid_until: date, day: date) -> QuoteState:
    """The state on ``day``: what it was settled as, else open until its last day is over."""
    if settlement is not None:
        return settlement.state
    return QuoteState.OPEN if day <= valid_until else QuoteState.ENDED
