"""Keeping a quote: its first revision, or a further one in place of the last."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from kerfsmith.costing.kept_quote import KeptQuote, QuoteState, Settlement
from kerfsmith.costing.quote import Quote, revised
from kerfsmith.shop.person import Person
from kerfsmith.units.money import Money
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class QuoteKept:
    """What was kept."""

    number: str
    revision: int
    customer: str
    total: Money
    lines: int
    valid_until: date


def keep_quote(
    records: Records,
    quote: Quote,
    *,
    by: Person,
    at: datetime,
    renews: str = "",
    numbered: bool = True,
    from_order: str = "",
) -> QuoteKept | Refusal:
    """Keep ``quote`` as it is for good.

    ``renews`` is the number of the quote whose next revision it is: it gets that number, customer and
    reference, and the revision before it is replaced. Else it is a quote of its own: with the number it has,
    or a free one where it isn't ``numbered``. ``from_order`` is the order on the book that it prices.
    Refused for a number that is taken, a quote without a line, and a quote that was accepted.
    """

    def body(change: Change) -> QuoteKept:
        if not quote.lines:
            raise Refused("nothing-offered", "no line of it can be cut and priced", "Look at the reasons")
        made = _next(change, quote, renews, at, by) if renews else _first(change, quote, numbered)
        change.quotes.keep(KeptQuote(made, at, by.name, from_order))
        return _kept(made)

    subject = renews or (quote.terms.number if numbered else "quote")
    return act(
        records,
        Verb.KEEP_QUOTE,
        body,
        answer_as=QuoteKept,
        told=_kept(quote),
        subject=subject,
        by=by,
        at=at,
    )


def _first(change: Change, quote: Quote, numbered: bool) -> Quote:
    terms = quote.terms
    number = terms.number if numbered else change.quotes.free_number(terms.day)
    if change.quotes.revisions(number):
        raise Refused(
            "number-taken",
            sentence("there is a quote {number} already", number=number),
            "Give it another number",
        )
    return replace(quote, terms=replace(terms, number=number, revision=1))


def _next(change: Change, quote: Quote, renews: str, at: datetime, by: Person) -> Quote:
    last = change.quotes.quote(renews)
    if last is None:
        raise Refused(
            "unknown-quote",
            sentence("there is no quote {renews}", renews=renews),
            "Look at the list of quotes",
        )
    if last.settlement is not None and last.settlement.state is QuoteState.ACCEPTED:
        raise Refused(
            "accepted", sentence("quote {renews} was accepted", renews=renews), "Make a quote of its own"
        )
    if last.settlement is None:
        change.quotes.settle(renews, last.quote.terms.revision, Settlement(QuoteState.REPLACED, at, by.name))
    return revised(last.quote, quote, day=quote.terms.day, valid_until=quote.terms.valid_until)


def _kept(quote: Quote) -> QuoteKept:
    terms = quote.terms
    return QuoteKept(
        terms.number, terms.revision, terms.customer, quote.total, len(quote.lines), terms.valid_until
    )
