"""Quotes in the tables: frozen line by line as they were made, and what became of each."""

from datetime import date
from typing import Any

from sqlalchemy import Connection, Select, and_, func, insert, select

from kerfsmith.costing.kept_quote import KeptQuote, QuoteHead, QuoteState, Settlement
from kerfsmith.costing.plan_cost import Uncosted
from kerfsmith.costing.quote import Quote, QuoteLine, QuoteTerms
from kerfsmith.errors import InvalidValue
from kerfsmith.records import price_tables as t
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.units.money import Money, smallest_part
from kerfsmith.units.told import Told

NUMBER = "Q-{year}-{place:04d}"


class QuoteRead:
    """`workflow.price_ports.QuoteReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def heads(self) -> tuple[QuoteHead, ...]:
        """The newest revision of each quote, newest first."""
        newest = select(t.quotes.c.number, func.max(t.quotes.c.revision).label("revision"))
        last = newest.group_by(t.quotes.c.number).subquery()
        wanted = _rows().join(
            last, and_(last.c.number == t.quotes.c.number, last.c.revision == t.quotes.c.revision)
        )
        ordered = wanted.order_by(t.quotes.c.made_at.desc(), t.quotes.c.number.desc())
        return tuple(_head(row) for row in self._run.execute(ordered))

    def quote(self, number: str, revision: int | None = None) -> KeptQuote | None:
        """One revision of a quote, the newest where none is named."""
        wanted = _rows(t.quotes.c.document, t.quotes.c.made_at).where(t.quotes.c.number == number)
        if revision is not None:
            wanted = wanted.where(t.quotes.c.revision == revision)
        row = self._run.execute(wanted.order_by(t.quotes.c.revision.desc()).limit(1)).first()
        if row is None:
            return None
        quote = _quote(row.document, self._lines(row.number, row.revision))
        if _parts(quote.total) != row.total_parts:
            raise InvalidValue(f"quote {number}: its lines don't add up to the total that was kept")
        return KeptQuote(quote, row.made_at, row.made_by, row.from_order, _settlement(row))

    def _lines(self, number: str, revision: int) -> tuple[QuoteLine, ...]:
        lines = t.quote_lines
        wanted = select(lines.c.document).where(lines.c.number == number, lines.c.revision == revision)
        return tuple(
            from_document(document, QuoteLine)
            for document in self._run.scalars(wanted.order_by(lines.c.position))
        )

    def revisions(self, number: str) -> tuple[QuoteHead, ...]:
        """All revisions of a quote, first one first."""
        wanted = _rows().where(t.quotes.c.number == number).order_by(t.quotes.c.revision)
        return tuple(_head(row) for row in self._run.execute(wanted))

    def free_number(self, day: date) -> str:
        """A number that no quote has, counted within the year."""
        taken = set(self._run.scalars(select(t.quotes.c.number).distinct()))
        numbers = (NUMBER.format(year=day.year, place=place) for place in range(1, len(taken) + 2))
        return next(number for number in numbers if number not in taken)


class QuoteWrite(QuoteRead):
    """`workflow.price_ports.QuoteBook` over one connection."""

    def keep(self, kept: KeptQuote) -> None:
        """Keep a new revision, line by line."""
        quote, terms = kept.quote, kept.quote.terms
        self._run.execute(
            insert(t.quotes).values(
                number=terms.number,
                revision=terms.revision,
                customer=terms.customer,
                reference=terms.reference,
                day=terms.day,
                valid_until=terms.valid_until,
                currency=quote.currency,
                lines=len(quote.lines),
                total_parts=_parts(quote.total),
                from_order=kept.from_order,
                document=_document(quote),
                made_at=kept.made_at,
                made_by=kept.made_by,
            )
        )
        rows = [_line_row(terms, place, line) for place, line in enumerate(quote.lines)]
        if rows:
            self._run.execute(insert(t.quote_lines), rows)

    def settle(self, number: str, revision: int, settlement: Settlement) -> None:
        """Say what became of a revision; the table lets that be said once."""
        self._run.execute(
            insert(t.quote_settlements).values(
                number=number,
                revision=revision,
                state=settlement.state.value,
                order_id=settlement.order_id or None,
                at=settlement.at,
                by=settlement.by,
            )
        )


def _rows(*more: Any) -> Select[Any]:
    quotes, settled = t.quotes, t.quote_settlements
    same = and_(settled.c.number == quotes.c.number, settled.c.revision == quotes.c.revision)
    return select(
        quotes.c.number,
        quotes.c.revision,
        quotes.c.customer,
        quotes.c.reference,
        quotes.c.day,
        quotes.c.valid_until,
        quotes.c.currency,
        quotes.c.lines,
        quotes.c.total_parts,
        quotes.c.from_order,
        quotes.c.made_by,
        settled.c.state,
        settled.c.order_id,
        settled.c.at.label("settled_at"),
        settled.c.by.label("settled_by"),
        *more,
    ).select_from(quotes.outerjoin(settled, same))


def _head(row: Any) -> QuoteHead:
    total = Money(row.total_parts * smallest_part(row.currency), row.currency)
    return QuoteHead(
        row.number,
        row.revision,
        row.customer,
        row.reference,
        row.day,
        row.valid_until,
        row.lines,
        total,
        row.made_by,
        _settlement(row),
    )


def _settlement(row: Any) -> Settlement | None:
    if row.state is None:
        return None
    return Settlement(QuoteState(row.state), row.settled_at, row.settled_by, row.order_id or "")


def _line_row(terms: QuoteTerms, place: int, line: QuoteLine) -> dict[str, Any]:
    return {
        "number": terms.number,
        "revision": terms.revision,
        "position": place,
        "line_id": line.line.id,
        "mark": line.line.mark,
        "count": line.price.count,
        "each_parts": _parts(line.price.each),
        "total_parts": _parts(line.price.total),
        "document": to_document(line, QuoteLine),
    }


def _parts(money: Money) -> int:
    """In whole smallest parts. Raises InvalidValue for a price that isn't."""
    parts = money.amount / smallest_part(money.currency)
    if parts != int(parts):
        raise InvalidValue(f"{money.amount} {money.currency} is no price in whole parts")
    return int(parts)


def _document(quote: Quote) -> dict[str, Any]:
    """What a quote says beside its lines."""
    return {
        "terms": to_document(quote.terms, QuoteTerms),
        "not_offered": to_document(quote.not_offered, tuple[Uncosted, ...]),
        "assumptions": [one.marked for one in quote.assumptions],
        "inside": [one.marked for one in quote.inside],
        "currency": quote.currency,
    }


def _quote(document: dict[str, Any], lines: tuple[QuoteLine, ...]) -> Quote:
    return Quote(
        terms=from_document(document["terms"], QuoteTerms),
        currency=document["currency"],
        lines=lines,
        not_offered=from_document(document["not_offered"], tuple[Uncosted, ...]),
        assumptions=tuple(map(Told, document["assumptions"])),
        inside=tuple(map(Told, document["inside"])),
    )
