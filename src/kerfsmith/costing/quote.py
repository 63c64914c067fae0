"""A quote: what is offered to whom, at what price, until when, and on what assumptions."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from kerfsmith.costing.plan_cost import PlanCost, Uncosted
from kerfsmith.costing.price import Price, price_line
from kerfsmith.costing.rates import Rates
from kerfsmith.errors import InvalidValue
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told, joined, sentence, together

EXCLUSIONS = (
    Told("work beyond sawing to length: deburring, drilling, machining, heat treatment, coating"),
    Told("packing beyond bundling, and carriage"),
    Told("taxes and duties"),
)
"""What a quote leaves out unless its terms say otherwise; the shop's to change."""


@dataclass(frozen=True, slots=True)
class QuoteTerms:
    """What a quote says beside its prices. ``day`` is the day it is written, ``valid_until`` its last day.

    ``firm`` quotes bind to the price each; others show the range in which it may come out.
    Raises InvalidValue for a quote without number or customer, or that has ended before it began.
    """

    number: str
    customer: str
    day: date
    valid_until: date
    revision: int = 1
    reference: str = ""
    firm: bool = False
    certificates: bool = True
    exclusions: tuple[Told, ...] = EXCLUSIONS
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.number.strip() or not self.customer.strip():
            raise InvalidValue("a quote has a number and a customer")
        if self.revision < 1 or self.valid_until < self.day:
            raise InvalidValue("a quote's revisions count from 1, and it ends no sooner than it begins")


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One line offered: the order line it answers, its price, and prices at other quantities (itself
    included, smallest first)."""

    line: OrderLine
    price: Price
    breaks: tuple[Price, ...] = ()

    def __post_init__(self) -> None:
        totals = [price.total.amount for price in self.breaks]
        if totals != sorted(totals):
            raise InvalidValue(f"line {self.line.id}: a larger quantity must not cost less")

    def price_of(self, quantity: int) -> Price | None:
        """The price at a quantity that was offered, None where it wasn't."""
        return next((price for price in (self.price, *self.breaks) if price.count == quantity), None)


@dataclass(frozen=True, slots=True)
class Quote:
    """An offer. ``total`` is exactly the sum of its lines, which are exactly count x price each.

    ``assumptions`` are for the customer, ``inside`` for the shop alone. Raises InvalidValue for lines in
    another currency or a quote of nothing.
    """

    terms: QuoteTerms
    currency: str
    lines: tuple[QuoteLine, ...]
    not_offered: tuple[Uncosted, ...]
    assumptions: tuple[Told, ...]
    inside: tuple[Told, ...]

    def __post_init__(self) -> None:
        if not self.lines and not self.not_offered:
            raise InvalidValue("a quote of nothing")
        Money.total((line.price.total for line in self.lines), self.currency)

    @property
    def total(self) -> Money:
        """Sum of the lines."""
        return Money.total((line.price.total for line in self.lines), self.currency)

    @property
    def cost(self) -> Money:
        """What the lines cost, unrounded."""
        return Money.total((line.price.cost.amount for line in self.lines), self.currency)


def make_quote(
    cost: PlanCost,
    rates: Rates,
    terms: QuoteTerms,
    *,
    breaks: Mapping[str, Sequence[Price]] | None = None,
    inside: Sequence[Told] = (),
) -> Quote:
    """A quote of every line that is costed; ``breaks`` maps a line to its prices by quantity.

    A line whose own quantity is among its breaks is offered at that price. Pieces that can't be cut or priced
    are told as not offered.
    """
    offered = []
    for one in cost.lines:
        prices = tuple((breaks or {}).get(one.line.id, ()))
        own = next((price for price in prices if price.count == one.pieces), None)
        line = replace(one.line, quantity=one.pieces)
        offered.append(QuoteLine(line, own or price_line(one, rates), prices))
    return Quote(
        terms=terms,
        currency=rates.currency,
        lines=tuple(offered),
        not_offered=cost.uncosted,
        assumptions=tuple(_assumptions(cost, terms)),
        inside=(*_inside(rates), *cost.doubts, *inside),
    )


def revised(quote: Quote, renewed: Quote, *, day: date, valid_until: date) -> Quote:
    """``renewed`` as the next revision of ``quote``: same number, customer and reference, one revision on."""
    terms = replace(
        renewed.terms,
        number=quote.terms.number,
        customer=quote.terms.customer,
        reference=quote.terms.reference,
        revision=quote.terms.revision + 1,
        day=day,
        valid_until=valid_until,
    )
    return replace(renewed, terms=terms)


def _assumptions(cost: PlanCost, terms: QuoteTerms) -> list[Told]:
    """What the customer is told that the prices rest on."""
    bought = any(bar.kind.value == "to buy" for line in cost.lines for bar in line.group.bars)
    grades = {line.line.grade: None for line in cost.lines}
    found = [
        _material(", ".join(grades), bought=bought),
        Told(
            "Pieces sawn to the length and tolerance stated; where none is stated, to the shop's usual one."
        ),
        Told(
            "All lines ordered together: pieces of one grade and section are cut in one run and share its "
            "bars."
        ),
    ]
    if terms.certificates:
        found.append(Told("Material certificate for each heat, and a label on each piece, are in the price."))
    if not terms.firm:
        found.append(
            Told(
                "Between … and … are the ends within which the price each may come out, from the range of "
                "the cutting times, the life of the band, scrap and the price of metal."
            )
        )
    if any(line.line.is_mitred for line in cost.lines):
        found.append(Told("Lengths of mitred pieces are from long point to long point."))
    found += [
        sentence(
            "{mark}: priced with pieces cut from {substitutes}, as you allow.",
            mark=line.line.mark,
            substitutes=together(line.substitutes),
        )
        for line in cost.lines
        if line.substitutes
    ]
    return found


def _material(grades: str, *, bought: bool) -> Told:
    if bought:
        return sentence(
            "Material {grades} in the condition usual for bar of the grade, from our stock and from bars "
            "still to be bought at today's price.",
            grades=grades,
        )
    return sentence(
        "Material {grades} in the condition usual for bar of the grade, from our stock.", grades=grades
    )


def _inside(rates: Rates) -> list[Told]:
    """What the shop should know before it sends the quote."""
    names = {
        "people_hour": Told("people's hour"),
        "attendance": Told("share of a person at a running saw"),
        "set_up_s": Told("set-up of a run"),
        "handling_per_bar": Told("handling of a bar"),
        "handling_per_line": Told("packing of a line"),
        "certificate": Told("certificate"),
        "label": Told("label"),
        "scrap": Told("share scrapped"),
        "remnant": Told("worth of remnants"),
        "metal_per_kg": Told("price of metal by weight"),
        "margin": Told("margin"),
    }
    left = [words for name, words in names.items() if not rates.is_own(name)]
    if not left:
        return []
    return [sentence("House placeholders, not yet the shop's own: {rates}.", rates=joined(", ", left))]
