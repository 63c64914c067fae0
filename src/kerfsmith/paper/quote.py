"""A quote on paper: the customer's copy, and the shop's own sheet on which every line unfolds."""

from collections.abc import Iterator
from dataclasses import asdict

from kerfsmith.costing.quote import Quote, QuoteLine
from kerfsmith.costing.unfolded import amount_words, between_words, unfold
from kerfsmith.errors import InvalidValue
from kerfsmith.paper.quote_page import BreakRow, QuotePage, QuoteRow
from kerfsmith.paper.typeset import typeset
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.length import Measure
from kerfsmith.units.show import show_length
from kerfsmith.units.told import NOTHING, each_said, in_measure


def quote_pdf(quote: Quote, *, shop: str, measure: Measure, paper: str, inside: bool = False) -> bytes:
    """The quote as PDF, dated with its own day: the same quote gives the same bytes.

    Raises InvalidValue where the paper is neither a4 nor us-letter.
    """
    if paper not in ("a4", "us-letter"):
        raise InvalidValue(f"paper is a4 or us-letter, not {paper!r}")
    page = each_said(
        quote_page(quote, shop=shop, measure=measure, inside=inside), lambda text: text.in_measure(measure)
    )
    title = f"{page.heading} {page.number}, revision {page.revision}"
    return typeset("quote.typ", {"quote": asdict(page), "paper": paper}, title, quote.terms.day)


def quote_page(quote: Quote, *, shop: str, measure: Measure, inside: bool = False) -> QuotePage:
    """Everything that stands on the quote. The customer's copy has no cost, margin or doubt on it."""
    terms = quote.terms
    return QuotePage(
        shop=shop,
        heading="Reckoning of quote" if inside else "Quote",
        number=terms.number,
        revision=str(terms.revision),
        customer=terms.customer,
        reference=terms.reference,
        day=terms.day.isoformat(),
        valid_until=terms.valid_until.isoformat(),
        kind="firm price" if terms.firm else "estimate: each price with the ends it may come out between",
        currency=quote.currency,
        rows=tuple(
            _row(number, line, measure, firm=terms.firm and not inside)
            for number, line in enumerate(quote.lines, start=1)
        ),
        total=amount_words(quote.total),
        not_offered=tuple(
            f"{left.count} × {left.line.mark} ({left.line.grade}, {left.line.section.name}, "
            f"{show_length(left.line.length_um, measure)}): {in_measure(left.reason, measure)}"
            for left in quote.not_offered
        ),
        assumptions=quote.assumptions,
        exclusions=terms.exclusions,
        notes=terms.notes,
        inside=quote.inside if inside else (),
        unfolded=tuple(
            unfold(f"{number}  {line.line.mark}", line.price) for number, line in enumerate(quote.lines, 1)
        )
        if inside
        else (),
    )


def _row(number: int, offered: QuoteLine, measure: Measure, *, firm: bool) -> QuoteRow:
    line, price = offered.line, offered.price
    return QuoteRow(
        place=str(number),
        mark=line.mark,
        work=f"{line.grade} · {line.section.name}",
        length=show_length(line.length_um, measure),
        remark="; ".join(_remarks(line, measure)),
        due=line.due.isoformat() if line.due else "",
        count=str(price.count),
        each=amount_words(price.each),
        between=NOTHING if firm else between_words(price),
        total=amount_words(price.total),
        breaks=tuple(
            BreakRow(
                str(one.count),
                amount_words(one.each),
                NOTHING if firm else between_words(one),
                amount_words(one.total),
                one.count == price.count,
            )
            for one in offered.breaks
        ),
    )


def _remarks(line: OrderLine, measure: Measure) -> Iterator[str]:
    if line.is_mitred:
        yield f"ends {line.angle_a_deg:g}° and {line.angle_b_deg:g}°"
    if line.plus_um is not None and line.minus_um is not None:
        plus, minus = (show_length(one, measure, decimals=2) for one in (line.plus_um, line.minus_um))
        yield f"±{plus}" if line.plus_um == line.minus_um else f"+{plus} −{minus}"
    if line.order:
        yield line.order
    if line.notes:
        yield line.notes
