"""`kerfsmith which-saw`."""

import json as json_text
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path

from rich.console import Console
from rich.table import Table

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT
from kerfsmith.cli.stopping import or_stopped, unreadable, until_stopped
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.which_saw.compare import Comparison
from kerfsmith.costing.which_saw.document import comparison_document
from kerfsmith.costing.which_saw.report import report_page
from kerfsmith.costing.which_saw.told import tell
from kerfsmith.errors import Finding, InvalidValue
from kerfsmith.planning.document import finding_document
from kerfsmith.units.length import Measure, Unit
from kerfsmith.units.told import each_said
from kerfsmith.wiring.comparing import FileComparison, compare_files, print_report
from kerfsmith.wiring.quoting import rates_from_file
from kerfsmith.wiring.shop_at_hand import ShopAtHand, shop_at_hand

PAPERS = {"a4": "a4", "letter": "us-letter"}


@dataclass(frozen=True, slots=True)
class WhichWish:
    """What was asked for on the command line."""

    orders: str
    saws: tuple[str, ...]
    yearly: str
    rack: Path | None
    prices: tuple[str, ...]
    against: str
    customer: str
    rates: Path | None
    report: Path | None
    paper: str
    measure: str
    unit: str | None
    seconds: float
    seed: int
    json: bool
    shop: str = ""


def run_which_saw(wish: WhichWish) -> int:
    """Replay a cut list on several saws, print them side by side, and write the report asked for."""
    if wish.paper not in PAPERS or wish.measure not in list(Measure):
        raise InvalidValue("paper is a4 or letter; measure is metric or inch")
    if wish.unit is not None and wish.unit not in list(Unit):
        raise InvalidValue("unit is mm, cm, m, in or ft")
    shop = shop_at_hand(wish.shop)
    try:
        rates, faults = (
            rates_from_file(wish.rates, shop.rates) if wish.rates is not None else (shop.rates, ())
        )
        with until_stopped() as stop:
            made = _compare(wish, shop, rates, stop.is_set)
    except OSError as error:
        return unreadable(error)
    return or_stopped(_told(made, (*faults, *made.findings), wish, shop.rules.name), stop)


def _told(made: FileComparison, findings: tuple[Finding, ...], wish: WhichWish, shop: str) -> int:
    comparison = made.comparison
    if wish.json:
        document = comparison_document(comparison) if comparison is not None else {"saws": []}
        document["findings"] = [finding_document(finding) for finding in findings]
        print(json_text.dumps(document, ensure_ascii=False))
    else:
        for finding in findings:
            print(f"{finding.severity}: {finding}", file=sys.stderr)
    if comparison is None:
        return INPUT_AT_FAULT
    if not wish.json:
        _print(comparison, Measure(wish.measure))
    if wish.report:
        pdf = print_report(
            comparison,
            shop=shop,
            customer=wish.customer,
            measure=Measure(wish.measure),
            paper=PAPERS[wish.paper],
            day=datetime.now().astimezone().date(),
        )
        wish.report.write_bytes(pdf)
    if any(finding.is_error for finding in findings):
        return INPUT_AT_FAULT
    return DONE if any(report.year.lines for report in comparison.saws) else CANNOT


def _compare(
    wish: WhichWish, shop: ShopAtHand, rates: Rates, should_stop: Callable[[], bool]
) -> FileComparison:
    from_input = wish.orders == "-"
    return compare_files(
        "standard input" if from_input else wish.orders,
        wish.saws,
        rates,
        times_a_year=_number("yearly", wish.yearly),
        rack=wish.rack,
        data=sys.stdin.buffer.read() if from_input else None,
        prices=[_price(text) for text in wish.prices],
        against=wish.against,
        bare=Unit(wish.unit) if wish.unit else None,
        rules=shop.rules,
        seconds=wish.seconds,
        seed=wish.seed,
        should_stop=should_stop,
        catalog=shop.catalog,
    )


def _price(text: str) -> tuple[str, Decimal]:
    name, equals, amount = text.partition("=")
    if not equals:
        raise InvalidValue(f"a price of a saw is told as saw=amount, not {text!r}")
    return name.strip(), _number("price", amount)


def _number(what: str, text: str) -> Decimal:
    try:
        number = Decimal(text.strip())
    except InvalidOperation as error:
        raise InvalidValue(f"{what} is a number, not {text!r}") from error
    if not number.is_finite() or number <= 0:
        raise InvalidValue(f"{what} is a number above zero, not {text!r}")
    return number


def _print(comparison: Comparison, measure: Measure) -> None:
    """The report's own words, side by side and saw by saw."""
    day = datetime.now().astimezone().date()
    whole = report_page(tell(comparison), shop="", customer="", measure=measure, day=day)
    page = each_said(whole, lambda text: text.in_measure(measure))
    console = Console(width=None if sys.stdout.isatty() else 130)
    table = Table(box=None, pad_edge=False)
    table.add_column("")
    for name in page.saws:
        table.add_column(name, justify="right")
    for row in page.side:
        cells = [
            f"{figure} ({note})" if note else figure
            for figure, note in zip(row.figures, row.notes, strict=True)
        ]
        table.add_row(f"{row.name}, {row.remark}", *cells)
    console.print(table)
    for section in page.sections:
        console.print(f"\n{section.name}: sawing time is ruled by {section.ruled or 'nothing'}", markup=False)
        for one in section.refused:
            console.print(f"  can't cut {one.pieces} a year, {one.work}: {one.reason}", markup=False)
        for special in section.specials:
            console.print(
                f"  special: {special.figure} {special.must_reach} (has {special.has}), "
                f"{special.gain}: {special.why}",
                markup=False,
            )
    for card in page.pay_backs:
        console.print(f"\npay-back: {card.title}: {card.answer}. {card.words}", markup=False)
        for name, worse, better in card.cases:
            console.print(f"  {name}: {worse} to {better} years", markup=False)
