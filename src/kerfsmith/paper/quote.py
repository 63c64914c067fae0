"""A quote on paper: the customer's copy, and the shop's own sheet on which every line unfolds."""

from collections.abc import Iterator
from dataclasses import asdict
from decimal import Decimal

from kerfsmith.costing.price import Price
from kerfsmith.costing.quote import Quote, QuoteLine
from kerfsmith.costing.reckoning import Basis, Cost, Reckoning
from kerfsmith.costing.shown import apportioned, rounded
from kerfsmith.errors import InvalidValue
from kerfsmith.paper.quote_page import BreakRow, QuotePage, QuoteRow, ReckoningRow, Unfolded
from kerfsmith.paper.typeset import typeset
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.length import Measure
from kerfsmith.units.money import Money
from kerfsmith.units.show import show_length, show_money
from kerfsmith.units.told import in_measure

DECIMALS = Decimal("0.0001")


def quote_pdf(quote: Quote, *, shop: str, measure: Measure, paper: str, inside: bool = False) -> bytes:
    """The quote as PDF, dated with its own day: the same quote gives the same bytes.

    Raises InvalidValue where the paper is neither a4 nor us-letter.
    """
    if paper not in ("a4", "us-letter"):
        raise InvalidValue(f"paper is a4 or us-letter, not {paper!r}")
    page = quote_page(quote, shop=shop, measure=measure, inside=inside)
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
        total=_amount(quote.total),
        not_offered=tuple(
            f"{left.count} × {left.line.mark} ({left.line.grade}, {left.line.section.name}, "
            f"{show_length(left.line.length_um, measure)}): {in_measure(left.reason, measure)}"
            for left in quote.not_offered
        ),
        assumptions=quote.assumptions,
        exclusions=terms.exclusions,
        notes=terms.notes,
        inside=quote.inside if inside else (),
        unfolded=tuple(_unfolded(number, line) for number, line in enumerate(quote.lines, 1))
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
        each=_amount(price.each),
        between="" if firm else _between(price),
        total=_amount(price.total),
        breaks=tuple(
            BreakRow(
                str(one.count),
                _amount(one.each),
                "" if firm else _between(one),
                _amount(one.total),
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


def _between(price: Price) -> str:
    return f"between {_amount(price.each_span.low)} and {_amount(price.each_span.high)}"


def _amount(money: Money) -> str:
    """The amount without its currency, which the heading names."""
    return show_money(rounded(money)).rsplit(" ", 1)[0]


def _unfolded(number: int, offered: QuoteLine) -> Unfolded:
    price = offered.price
    span, far = price.reckoning.span, price.reckoning.extremes
    return Unfolded(
        title=f"{number}  {offered.line.mark}",
        price=f"{price.count} × {_amount(price.each)} = {_amount(price.total)}",
        shares=tuple(
            dict.fromkeys(
                leaf.how.share_text
                for leaf in price.reckoning.leaves()
                if leaf.how is not None and leaf.how.share_text
            )
        ),
        rows=tuple(_rows(price.reckoning, rounded(price.total), 0)),
        causes=tuple(
            (sway.cause.value, _signed(-sway.down, price), _signed(sway.up, price))
            for sway in price.reckoning.sways
        ),
        ends=f"together between {_amount(span.low)} and {_amount(span.high)}; "
        f"all at their ends at once between {_amount(far.low)} and {_amount(far.high)}",
    )


def _signed(amount: Decimal, price: Price) -> str:
    text = _amount(Money(amount, price.total.currency))
    return text.replace("-", "−") if amount < 0 else f"+{text}"


def _rows(cost: Cost, shown: Money, depth: int) -> Iterator[ReckoningRow]:
    """The parts under a cost, each made to fit the sum above it (largest remainder)."""
    amounts = apportioned(shown, [part.amount for part in cost.parts])
    for part, amount in zip(cost.parts, amounts, strict=True):
        how = _how(part.how) if part.how is not None else ""
        basis = "; ".join(_based(one) for one in part.how.basis) if part.how is not None else ""
        name = "cost" if depth == 0 and part.parts else part.name
        yield ReckoningRow(depth, name, how, basis, _amount(amount).replace("-", "−"))
        if part.parts:
            yield from _rows(part, amount, depth + 1)


def _based(basis: Basis) -> str:
    """A basis in words; what the shop hasn't set itself is told as the house's."""
    return f"{basis.text} (house figure)" if basis.source == "house" else basis.text


def _how(how: Reckoning) -> str:
    text = f"{_figure(how.quantity)} {how.unit} × {_figure(how.rate.amount)}"
    return text if how.share == 1 else f"{text} × {how.share:.1%}"


def _figure(value: Decimal) -> str:
    """To four places at most."""
    text = f"{value.quantize(DECIMALS):f}".rstrip("0").rstrip(".")
    return text.replace("-", "−") if text not in ("", "-0") else "0"
