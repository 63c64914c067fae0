"""`kerfsmith quote`."""

import json as json_text
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal, InvalidOperation
from pathlib import Path

from rich.console import Console
from rich.table import Table

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT
from kerfsmith.cli.stopping import or_stopped, unreadable, until_stopped
from kerfsmith.costing.document import quote_document
from kerfsmith.costing.quote import Quote, QuoteTerms
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.shown import rounded
from kerfsmith.errors import Finding, InvalidValue
from kerfsmith.planning.document import finding_document
from kerfsmith.units.length import Measure, Unit
from kerfsmith.units.show import show_money
from kerfsmith.wiring.quoting import FileQuote, print_quote, quote_files, rates_from_file
from kerfsmith.wiring.shop_at_hand import ShopAtHand, shop_at_hand

PAPERS = {"a4": "a4", "letter": "us-letter"}


@dataclass(frozen=True, slots=True)
class QuoteWish:
    """What was asked for on the command line."""

    orders: str
    rack: Path | None
    customer: str
    number: str
    reference: str
    revision: int
    days: int
    firm: bool
    rates: Path | None
    margin: str | None
    breaks: str
    quote: Path | None
    reckoning: Path | None
    paper: str
    measure: str
    unit: str | None
    seconds: float
    seed: int
    json: bool
    shop: str = ""


def run_quote(wish: QuoteWish) -> int:
    """Price a cut list, print it, and write the papers asked for."""
    shop = shop_at_hand(wish.shop)
    try:
        rates, faults = _rates(wish, shop.rates)
        with until_stopped() as stop:
            made = _quote(wish, shop, rates, stop.is_set)
    except OSError as error:
        return unreadable(error)
    findings = (*faults, *made.findings)
    if wish.json:
        document = quote_document(made.quote) if made.quote is not None else {"lines": []}
        document["findings"] = [finding_document(finding) for finding in findings]
        print(json_text.dumps(document, ensure_ascii=False))
    else:
        for finding in findings:
            print(f"{finding.severity}: {finding}", file=sys.stderr)
        if made.quote is not None:
            _print_quote(made.quote)
            print(_resting_on(wish))
    if made.quote is not None and made.quote.lines:
        _write_papers(made.quote, wish, shop.rules.name)
    return or_stopped(_code(made, findings), stop)


def _resting_on(wish: QuoteWish) -> str:
    """What the sum rests on beside the list, by which it may differ from that on the shop's pages."""
    if not wish.shop:
        return (
            "Rules, rates, saws and factors are the house's: with a shop's own (--shop) the sum is another."
        )
    bars = f"Bars are those of {wish.rack.name}" if wish.rack else "All bars are bought"
    return f"{bars}; the shop's pages quote from the shop's own rack, all else is the shop's here too."


def _code(made: FileQuote, findings: tuple[Finding, ...]) -> int:
    if made.quote is None or any(finding.is_error for finding in findings):
        return INPUT_AT_FAULT
    return CANNOT if made.quote.not_offered else DONE


def _rates(wish: QuoteWish, own: Rates) -> tuple[Rates, tuple[Finding, ...]]:
    """The shop's own rates, those of the file laid over them."""
    rates, faults = rates_from_file(wish.rates, own) if wish.rates is not None else (own, ())
    if wish.margin is not None:
        try:
            rates = rates.setting(margin=Decimal(wish.margin.rstrip("%")) / 100)
        except InvalidOperation as error:
            raise InvalidValue(f"margin is a share of the price in percent, not {wish.margin!r}") from error
    return rates, faults


def _quote(wish: QuoteWish, shop: ShopAtHand, rates: Rates, should_stop: Callable[[], bool]) -> FileQuote:
    """The quote wished for. Raises InvalidValue for an option that can't be used, OSError for a file."""
    if wish.paper not in PAPERS or wish.measure not in list(Measure):
        raise InvalidValue("paper is a4 or letter; measure is metric or inch")
    if wish.unit is not None and wish.unit not in list(Unit):
        raise InvalidValue("unit is mm, cm, m, in or ft")
    today = datetime.now().astimezone().date()
    terms = QuoteTerms(
        number=wish.number or f"Q-{today:%Y%m%d}",
        customer=wish.customer,
        day=today,
        valid_until=today + timedelta(days=wish.days),
        revision=wish.revision,
        reference=wish.reference,
        firm=wish.firm,
    )
    from_input = wish.orders == "-"
    return quote_files(
        "standard input" if from_input else wish.orders,
        wish.rack,
        terms,
        rates,
        data=sys.stdin.buffer.read() if from_input else None,
        quantities=_quantities(wish.breaks),
        bare=Unit(wish.unit) if wish.unit else None,
        rules=shop.rules,
        seconds=wish.seconds,
        seed=wish.seed,
        should_stop=should_stop,
        catalog=shop.catalog,
    )


def _quantities(text: str) -> tuple[int, ...]:
    try:
        found = tuple(int(part) for part in text.replace(" ", "").split(",") if part)
    except ValueError as error:
        raise InvalidValue(f"break points are whole numbers with commas between, not {text!r}") from error
    if any(one <= 0 for one in found):
        raise InvalidValue("a break point is a number of pieces above zero")
    return found


def _print_quote(quote: Quote) -> None:
    console = Console(width=None if sys.stdout.isatty() else 130)
    table = Table(box=None, pad_edge=False)
    for heading in ("piece", "work", "count", "each", "between", "total"):
        table.add_column(heading, justify="left" if heading in ("piece", "work") else "right")
    for offered in quote.lines:
        price = offered.price
        low, high = (rounded(end).amount for end in (price.each_span.low, price.each_span.high))
        table.add_row(
            offered.line.mark,
            f"{offered.line.grade} {offered.line.section.name}",
            str(price.count),
            str(price.each.amount),
            f"{low} and {high}",
            str(rounded(price.total).amount),
        )
        for other in offered.breaks:
            if other.count != price.count:
                table.add_row(
                    "", "", str(other.count), str(other.each.amount), "", str(rounded(other.total).amount)
                )
    console.print(table)
    terms = quote.terms
    console.print(
        f"\nQuote {terms.number} revision {terms.revision} for {terms.customer}: {show_money(quote.total)}, "
        f"valid until {terms.valid_until.isoformat()}.",
        markup=False,
    )
    for words in quote.inside:
        console.print(words, markup=False)
    for left in quote.not_offered:
        console.print(f"not offered: {left.count} x {left.line.mark}: {left.reason}", markup=False)


def _write_papers(quote: Quote, wish: QuoteWish, shop: str) -> None:
    measure, paper = Measure(wish.measure), PAPERS[wish.paper]
    if wish.quote:
        wish.quote.write_bytes(print_quote(quote, shop=shop, measure=measure, paper=paper))
    if wish.reckoning:
        inside = print_quote(quote, shop=shop, measure=measure, paper=paper, inside=True)
        wish.reckoning.write_bytes(inside)
