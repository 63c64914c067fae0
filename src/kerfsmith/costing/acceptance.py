"""An accepted quote becomes an order: every line as it was offered, nothing typed again."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from kerfsmith.costing.quote import Quote
from kerfsmith.errors import InvalidValue
from kerfsmith.shop.order import Order
from kerfsmith.units.money import Money
from kerfsmith.units.told import sentence


@dataclass(frozen=True, slots=True)
class NotAccepted:
    """Why an acceptance doesn't make an order, and what to do instead; ``code`` is for programs."""

    code: str
    reason: str
    remedy: str


def accept(
    quote: Quote,
    *,
    day: date,
    order_id: str,
    latest_revision: int | None = None,
    quantities: Mapping[str, int] | None = None,
) -> Order | NotAccepted:
    """The order that an accepted quote becomes, line for line: grade, section, lengths, ends, tolerance, due
    date and notes as quoted, nothing typed again.

    ``quantities`` takes another offered quantity of a line, or 0 to leave it out. It becomes no order after
    its last day, when a later revision is out, or at a quantity that wasn't offered.
    """
    terms = quote.terms
    if day > terms.valid_until:
        return NotAccepted(
            "quote-ended",
            sentence(
                "quote {number} ended on {valid_until}",
                number=terms.number,
                valid_until=terms.valid_until.isoformat(),
            ),
            "Make a further revision of it at today's rates, and have that accepted",
        )
    if latest_revision is not None and terms.revision != latest_revision:
        return NotAccepted(
            "quote-replaced",
            sentence(
                "revision {latest_revision} of quote {number} is out; this is {revision}",
                latest_revision=latest_revision,
                number=terms.number,
                revision=terms.revision,
            ),
            "Take the newest revision",
        )
    lines = []
    for number, offered in enumerate(quote.lines, start=1):
        wanted = (quantities or {}).get(offered.line.id, offered.line.quantity)
        if not wanted:
            continue
        if offered.price_of(wanted) is None:
            return NotAccepted(
                "quantity-not-offered",
                sentence("{mark}: {wanted} pieces weren't offered", mark=offered.line.mark, wanted=wanted),
                "Make a further revision with that quantity among its break points",
            )
        lines.append(
            replace(
                offered.line,
                id=f"{order_id}/{number}",
                quantity=wanted,
                order=terms.reference or f"quote {terms.number}.{terms.revision}",
                customer=terms.customer,
                row=None,
            )
        )
    if not lines:
        return NotAccepted(
            "nothing-taken",
            sentence("quote {number}: no line was taken", number=terms.number),
            "Take one line or more",
        )
    return Order(order_id, f"{terms.customer}, quote {terms.number} revision {terms.revision}", tuple(lines))


def value_of(quote: Quote, quantities: Mapping[str, int]) -> Money:
    """What the lines come to at the quantities taken. Raises InvalidValue for one that wasn't offered."""
    total = Money.zero(quote.currency)
    for offered in quote.lines:
        wanted = quantities.get(offered.line.id, offered.line.quantity)
        price = offered.price_of(wanted) if wanted else None
        if wanted and price is None:
            raise InvalidValue(f"{offered.line.mark}: {wanted} pieces weren't offered")
        total = total + price.total if price is not None else total
    return total
