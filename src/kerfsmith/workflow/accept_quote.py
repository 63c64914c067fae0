"""A quote is accepted and becomes an order, or it is declined."""

from dataclasses import dataclass
from datetime import date, datetime

from kerfsmith.costing.acceptance import NotAccepted, accept, value_of
from kerfsmith.costing.kept_quote import KeptQuote, QuoteState, Settlement
from kerfsmith.costing.quote import Quote
from kerfsmith.shop.person import Person
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told, sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class AcceptQuote:
    """``quantities`` takes another offered quantity of a line (its id and how many), or 0 to leave it out."""

    number: str
    revision: int
    order_id: str
    day: date
    quantities: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class QuoteAccepted:
    """The order that the quote became. ``was_on_book``: the order it was made from, nothing added to it."""

    number: str
    revision: int
    order_id: str
    lines: int
    pieces: int
    value: Money
    was_on_book: bool = False


def accept_quote(records: Records, told: AcceptQuote, *, by: Person, at: datetime) -> QuoteAccepted | Refusal:
    """Put the lines of a quote on the book as they were offered, nothing typed again.

    A quote made from an order that is on the book still is that order's price: nothing is put there twice.
    Refused after the quote's last day, for a revision that isn't the last, for one that is settled, and at a
    quantity that wasn't offered; each with what to do instead.
    """

    def body(change: Change) -> QuoteAccepted:
        kept = _open(change, told.number, told.revision)
        quantities = dict(told.quantities)
        found = accept(
            kept.quote,
            day=told.day,
            order_id=told.order_id,
            latest_revision=change.quotes.revisions(told.number)[-1].revision,
            quantities=quantities,
        )
        if isinstance(found, NotAccepted):
            raise Refused(found.code, found.reason, found.remedy)
        on_book = bool(kept.from_order) and change.has_order(kept.from_order)
        if on_book and not _as_quoted(kept.quote, quantities):
            raise Refused(
                "order-on-book",
                sentence(
                    "the order that quote {number} prices is on the book with other quantities",
                    number=told.number,
                ),
                "Take that order off the book, then accept the quote at the quantities wanted",
            )
        order_id = kept.from_order if on_book else told.order_id
        if not on_book:
            change.add_order(found)
        change.quotes.settle(
            told.number, told.revision, Settlement(QuoteState.ACCEPTED, at, by.name, order_id)
        )
        value = value_of(kept.quote, quantities)
        return QuoteAccepted(
            told.number, told.revision, order_id, len(found.lines), found.pieces, value, on_book
        )

    return act(
        records,
        Verb.ACCEPT_QUOTE,
        body,
        answer_as=QuoteAccepted,
        told=told,
        subject=told.number,
        by=by,
        at=at,
    )


@dataclass(frozen=True, slots=True)
class DeclineQuote:
    """The customer doesn't take it, or the shop withdraws it."""

    number: str
    revision: int
    why: str = ""


def decline_quote(
    records: Records, told: DeclineQuote, *, by: Person, at: datetime
) -> DeclineQuote | Refusal:
    """Close a quote without an order. A further revision can still be made of it."""

    def body(change: Change) -> DeclineQuote:
        _open(change, told.number, told.revision)
        change.quotes.settle(told.number, told.revision, Settlement(QuoteState.DECLINED, at, by.name))
        return told

    return act(
        records,
        Verb.DECLINE_QUOTE,
        body,
        answer_as=DeclineQuote,
        told=told,
        subject=told.number,
        by=by,
        at=at,
    )


def _open(change: Change, number: str, revision: int) -> KeptQuote:
    """A quote that isn't settled yet. Raises Refused."""
    kept = change.quotes.quote(number, revision)
    if kept is None:
        raise Refused(
            "unknown-quote",
            sentence("there is no quote {number} revision {revision}", number=number, revision=revision),
            "Look at the list",
        )
    if kept.settlement is not None:
        state = kept.settlement.state
        remedy = {
            QuoteState.ACCEPTED: sentence("It is order {order_id}", order_id=kept.settlement.order_id),
            QuoteState.REPLACED: Told("Take its newest revision"),
            QuoteState.DECLINED: Told("Make a further revision of it"),
        }[state]
        raise Refused(
            f"quote-{state.value}",
            sentence(
                "quote {number} revision {revision} is {state}",
                number=number,
                revision=revision,
                state=state,
            ),
            remedy,
        )
    return kept


def _as_quoted(quote: Quote, quantities: dict[str, int]) -> bool:
    return all(quantities.get(one.line.id, one.line.quantity) == one.line.quantity for one in quote.lines)
