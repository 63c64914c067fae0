"""What the pages of quotes show."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from kerfsmith.costing.kept_quote import KeptQuote, QuoteHead, QuoteState
from kerfsmith.costing.price import Price
from kerfsmith.costing.quote import QuoteLine
from kerfsmith.costing.unfolded import Unfolded, amount_words, between_words, unfold
from kerfsmith.errors import Finding
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import Person, Role
from kerfsmith.units.show import show_money
from kerfsmith.units.told import Told
from kerfsmith.web.findings import FindingRow, finding_rows
from kerfsmith.web.pages.orders.view import LineRow, line_row
from kerfsmith.web.quote_stage import QuoteLines, QuoteSource
from kerfsmith.web.reading import Reading
from kerfsmith.web.sheet import glyph, link
from kerfsmith.web.words import say, say_many
from kerfsmith.workflow.permissions import Verb, may

_MARKS = {
    QuoteState.OPEN: "waiting",
    QuoteState.ENDED: "short",
    QuoteState.ACCEPTED: "done",
    QuoteState.DECLINED: "cannot",
    QuoteState.REPLACED: "busy",
}


@dataclass(frozen=True, slots=True)
class HeadRow:
    """One quote in a list."""

    number: str
    href: str
    revision: str
    customer: str
    reference: str
    lines: str
    total: str
    until: str
    mark: Markup
    state: str
    is_ended: bool


@dataclass(frozen=True, slots=True)
class QuotesPage:
    """All quotes; ``may_make`` is whether the reader makes any."""

    quotes: tuple[HeadRow, ...]
    may_make: bool


@dataclass(frozen=True, slots=True)
class BreakRow:
    """A price at one quantity."""

    count: str
    each: str
    between: Told
    total: str
    is_asked: bool


@dataclass(frozen=True, slots=True)
class LineCard:
    """One line offered. ``unfolded`` is None for who may not see cost and margin."""

    key: str
    id: str
    line: LineRow
    count: str
    each: str
    between: Told
    total: str
    breaks: tuple[BreakRow, ...]
    unfolded: Unfolded | None


@dataclass(frozen=True, slots=True)
class QuotePage:
    """One revision of a quote. ``inside`` is what the shop alone should know, "" parts for who may not."""

    number: str
    revision: int
    customer: str
    reference: str
    day: str
    until: str
    currency: str
    kind: str
    state: str
    mark: Markup
    is_open: bool
    is_ended: bool
    settled: str
    order_href: str
    lines: tuple[LineCard, ...]
    total: str
    cost: str
    margin: str
    not_offered: tuple[str, ...]
    assumptions: tuple[Told, ...]
    exclusions: tuple[Told, ...]
    notes: tuple[str, ...]
    inside: tuple[Told, ...]
    revisions: tuple[HeadRow, ...]
    href: str
    pdf: str
    inside_pdf: str
    may_settle: bool
    sees_cost: bool
    problem: str


@dataclass(frozen=True, slots=True)
class NewPage:
    """A quote being asked for: where its lines come from, then what it says."""

    problem: str
    orders: tuple[tuple[str, str], ...]
    rows: tuple[int, ...]
    source: QuoteSource | None
    source_name: str
    lines: tuple[LineRow, ...]
    findings: tuple[FindingRow, ...]
    customer: str
    reference: str
    until: str
    renews: str


def sees_cost(reader: Person) -> bool:
    """Whether the reader sees costs and margin: those who plan and price."""
    return reader.role in (Role.PLANNER, Role.LEAD)


def head_row(head: QuoteHead, today: date) -> HeadRow:
    """One quote in a list."""
    state = head.state(today)
    return HeadRow(
        number=head.number,
        href=link("quotes", head.number) + f"?revision={head.revision}",
        revision=str(head.revision),
        customer=head.customer,
        reference=head.reference,
        lines=str(head.lines),
        total=show_money(head.total),
        until=head.valid_until.isoformat(),
        mark=glyph(_MARKS[state]),
        state=say(state.value),
        is_ended=state is QuoteState.ENDED,
    )


def quote_page(
    kept: KeptQuote,
    revisions: Sequence[QuoteHead],
    reader: Person,
    today: date,
    reading: Reading,
    problem: str = "",
) -> QuotePage:
    """A quote as ``reader`` may see it."""
    quote, terms, state = kept.quote, kept.quote.terms, kept.state(today)
    inside = sees_cost(reader)
    href = link("quotes", terms.number)
    settled = kept.settlement
    margin = quote.total - quote.cost
    return QuotePage(
        number=terms.number,
        revision=terms.revision,
        customer=terms.customer,
        reference=terms.reference,
        day=terms.day.isoformat(),
        until=terms.valid_until.isoformat(),
        currency=quote.currency,
        kind=say("firm price")
        if terms.firm
        else say("estimate: each price with the ends it may come out between"),
        state=say(state.value),
        mark=glyph(_MARKS[state]),
        is_open=state is QuoteState.OPEN,
        is_ended=state is QuoteState.ENDED,
        settled=say("by {name} on {day}", name=settled.by, day=f"{settled.at:%Y-%m-%d}") if settled else "",
        order_href=f"/orders#{link(settled.order_id)[1:]}" if settled and settled.order_id else "",
        lines=tuple(_card(at, line, reading, inside) for at, line in enumerate(quote.lines, start=1)),
        total=amount_words(quote.total),
        cost=amount_words(quote.cost) if inside else "",
        margin=f"{amount_words(margin)} ({float(margin.amount / quote.total.amount):.0%})"
        if inside and quote.total.amount
        else "",
        not_offered=tuple(
            say(
                "{count} × {mark}, {grade} {section}: {reason}",
                count=left.count,
                mark=left.line.mark,
                grade=left.line.grade,
                section=left.line.section.name,
                reason=left.reason,
            )
            for left in quote.not_offered
        ),
        assumptions=quote.assumptions,
        exclusions=terms.exclusions,
        notes=terms.notes,
        inside=quote.inside if inside else (),
        revisions=tuple(head_row(one, today) for one in revisions) if len(revisions) > 1 else (),
        href=href,
        pdf=f"{href}/quote.pdf?revision={terms.revision}",
        inside_pdf=f"{href}/quote.pdf?revision={terms.revision}&inside=yes" if inside else "",
        may_settle=may(reader.role, Verb.ACCEPT_QUOTE),
        sees_cost=inside,
        problem=problem,
    )


def _card(at: int, offered: QuoteLine, reading: Reading, inside: bool) -> LineCard:
    price = offered.price
    return LineCard(
        key=f"line{at}",
        id=offered.line.id,
        line=line_row(offered.line, reading),
        count=str(price.count),
        each=amount_words(price.each),
        between=between_words(price),
        total=amount_words(price.total),
        breaks=tuple(_break(one, price.count) for one in offered.breaks),
        unfolded=unfold(f"{at}  {offered.line.mark}", price) if inside else None,
    )


def _break(price: Price, asked: int) -> BreakRow:
    return BreakRow(
        str(price.count),
        amount_words(price.each),
        between_words(price),
        amount_words(price.total),
        price.count == asked,
    )


def new_page(
    orders: Sequence[Order],
    source: QuoteSource | None,
    found: QuoteLines | None,
    until: date,
    reading: Reading,
    *,
    problem: str = "",
    findings: Sequence[Finding] = (),
) -> NewPage:
    """The page on which a quote is asked for."""
    lines = found.lines if found else ()
    last = found.last.quote.terms if found and found.last else None
    customers = dict.fromkeys(line.customer for line in lines if line.customer)
    references = dict.fromkeys(line.order for line in lines if line.order)
    return NewPage(
        problem=problem,
        orders=tuple((order.id, _order_words(order)) for order in orders if order.lines),
        rows=tuple(range(1, 9)),
        source=source if found else None,
        source_name=found.name if found else "",
        lines=tuple(line_row(line, reading) for line in lines),
        findings=finding_rows(findings),
        customer=last.customer if last else next(iter(customers), "") if len(customers) == 1 else "",
        reference=last.reference if last else next(iter(references), "") if len(references) == 1 else "",
        until=until.isoformat(),
        renews=source.renews if source and found else "",
    )


def _order_words(order: Order) -> str:
    lines = say_many("{count} line", "{count} lines", len(order.lines))
    pieces = say_many("{count} piece", "{count} pieces", order.pieces)
    return say("{order}: {lines}, {pieces}", order=order.name, lines=lines, pieces=pieces)
