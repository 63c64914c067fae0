"""`kerfsmith plan`."""

import json as json_text
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from rich.console import Console
from rich.table import Table

from kerfsmith.cli.exporting import form_of, write_table
from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT
from kerfsmith.cli.stopping import or_stopped, unreadable, until_stopped
from kerfsmith.costing.rates import Rates
from kerfsmith.errors import InvalidValue, UnreadableText
from kerfsmith.exchange.rack_file import PricePer
from kerfsmith.planning.document import plan_document
from kerfsmith.planning.plan import Plan, PlanGroup, PlanStatus
from kerfsmith.shop.rules import ShopRules
from kerfsmith.shop.rules_reading import MOST_AT_ONCE
from kerfsmith.units.length import Measure, Unit
from kerfsmith.units.parse import DateOrder, parse_length
from kerfsmith.units.show import show_seconds
from kerfsmith.wiring.exporting import plan_file_table
from kerfsmith.wiring.plan_files import FilePlan, plan_files
from kerfsmith.wiring.printing import print_labels, print_tickets
from kerfsmith.wiring.reading import OwnNames, own_name, read_drawn_section
from kerfsmith.wiring.shop_at_hand import ShopAtHand, shop_at_hand

T = TypeVar("T")

DATE_ORDERS = {"day-first": DateOrder.DAY_FIRST, "month-first": DateOrder.MONTH_FIRST}
PAPERS = {"a4": "a4", "letter": "us-letter"}


@dataclass(frozen=True, slots=True)
class PlanWish:
    """What was asked for on the command line."""

    orders: str
    rack: Path | None
    grades: tuple[str, ...]
    sections: tuple[str, ...]
    unit: str | None
    stock: str | None
    columns: tuple[str, ...]
    date_order: str | None
    decimal: str | None
    price_per: str | None
    seconds: float
    seed: int
    tickets: Path | None
    labels: Path | None
    tables: tuple[str, ...]
    paper: str
    measure: str
    json: bool
    shop: str = ""
    at_once: int | None = None


def run_plan(wish: PlanWish) -> int:
    """Plan, print, and write the papers asked for."""
    shop = shop_at_hand(wish.shop)
    try:
        with until_stopped() as stop:
            made = _plan(wish, shop, stop.is_set)
    except OSError as error:
        return unreadable(error)
    if wish.json:
        print(json_text.dumps(plan_document(made.plan, made.findings), ensure_ascii=False))
    else:
        for finding in made.findings:
            print(f"{finding.severity}: {finding}", file=sys.stderr)
        _print_plan(made.plan)
    _write_papers(made, wish)
    _write_tables(made, wish.tables, shop.rates)
    if made.input_at_fault or not made.order.lines:
        return INPUT_AT_FAULT
    done = all(group.status in (PlanStatus.BEST, PlanStatus.GOOD) for group in made.plan.groups)
    return or_stopped(DONE if done else CANNOT, stop)


def _plan(wish: PlanWish, shop: ShopAtHand, should_stop: Callable[[], bool]) -> FilePlan:
    """The plan wished for. Raises InvalidValue for an option that can't be used, OSError for a file."""
    unit = _one_of("unit", wish.unit, {unit.value: unit for unit in Unit}) if wish.unit else None
    date_order = _one_of("date order", wish.date_order, DATE_ORDERS) if wish.date_order else None
    per = {basis.value: basis for basis in PricePer}
    price_per = _one_of("price basis", wish.price_per, per) if wish.price_per else None
    if wish.decimal is not None:
        _one_of("decimal mark", wish.decimal, {".": ".", ",": ","})
    _one_of("paper", wish.paper, PAPERS)
    _one_of("measure", wish.measure, {measure.value: measure for measure in Measure})
    from_input = wish.orders == "-"
    return plan_files(
        "standard input" if from_input else wish.orders,
        wish.rack,
        data=sys.stdin.buffer.read() if from_input else None,
        bare=unit,
        columns=_columns(wish.columns) or None,
        decimal=wish.decimal,
        date_order=date_order,
        price_per=price_per,
        rules=_rules(wish, shop.rules, unit),
        seconds=wish.seconds,
        seed=wish.seed,
        should_stop=should_stop,
        on_group=None if wish.json else _tell,
        own=own_names(wish.grades, wish.sections, unit),
        catalog=shop.catalog,
    )


def _rules(wish: PlanWish, rules: ShopRules, unit: Unit | None) -> ShopRules:
    """The shop's rules with what was told of them. Raises InvalidValue for what can't be."""
    if wish.at_once is not None:
        if not 1 <= wish.at_once <= MOST_AT_ONCE:
            raise InvalidValue(f"bars at once are 1 to {MOST_AT_ONCE}, not {wish.at_once}")
        rules = replace(rules, most_at_once=wish.at_once)
    if wish.stock is None:
        return rules
    try:
        return replace(rules, stock_length_um=parse_length(wish.stock, bare=unit).um)
    except UnreadableText as error:
        raise InvalidValue(f"stock length {error}") from error


def _one_of(what: str, word: str, known: Mapping[str, T]) -> T:
    if word not in known:
        raise InvalidValue(f"{what} is {', '.join(known)}, not {word!r}")
    return known[word]


def own_names(grades: tuple[str, ...], sections: tuple[str, ...], unit: Unit | None) -> OwnNames:
    """The user's own names for grades, told as own=known, and for sections, told as own=FILE.dxf.

    Raises InvalidValue for one told otherwise or a drawing that can't be used, OSError for its file.
    """
    known = {}
    for text in grades:
        name, equals, grade = text.partition("=")
        if not (equals and name.strip() and grade.strip()):
            raise InvalidValue(f"a grade of your own is told as own=known, such as MS=S235JR, not {text!r}")
        known[own_name(name)] = grade.strip()
    drawn = {}
    for text in sections:
        name, equals, path = text.partition("=")
        if not (equals and name.strip() and path.strip()):
            raise InvalidValue(f"a section of your own is told as own=FILE.dxf, not {text!r}")
        read = read_drawn_section(Path(path.strip()), name=name.strip(), bare=unit)
        for finding in read.findings:
            print(f"{finding.severity}: {finding}", file=sys.stderr)
        if read.section is None:
            raise InvalidValue(f"the drawing of {name.strip()} can't be used")
        drawn[own_name(name)] = read.section
    return OwnNames(known, drawn)


def _columns(told: tuple[str, ...]) -> dict[str, str | int | None]:
    columns: dict[str, str | int | None] = {}
    for text in told:
        field, equals, heading = text.partition("=")
        if not equals:
            raise InvalidValue(f"a column is told as field=heading, not {text!r}")
        columns[field.strip()] = heading.strip()
    return columns


def _tell(place: int, group: PlanGroup) -> None:
    if sys.stderr.isatty():
        print(f"  {place + 1}: {group.grade} {group.section.name}: {group.status}", file=sys.stderr)


def _print_plan(plan: Plan) -> None:
    if not plan.groups:
        return
    console = Console(width=None if sys.stdout.isatty() else 150)
    table = Table(box=None, pad_edge=False)
    for heading, justify in (
        ("grade", "left"),
        ("section", "left"),
        ("saw", "left"),
        ("band", "left"),
        ("pieces", "right"),
        ("bars", "right"),
        ("yield", "right"),
        ("hours", "right"),
        ("standing", "left"),
    ):
        table.add_column(heading, justify="right" if justify == "right" else "left")
    for group in plan.groups:
        table.add_row(*_row(group))
    console.print(table)
    console.print(
        f"\n{plan.pieces_planned} of {plan.pieces_wanted} pieces on {plan.bars_used} bars, "
        f"{show_seconds(plan.hours * 3600)} at the saws."
    )
    for group in plan.groups:
        for note in (*group.notes, *(f"{one.mark}: {one.reason}" for one in group.unplanned)):
            console.print(f"{group.grade} {group.section.name}: {note}", markup=False)


def _row(group: PlanGroup) -> tuple[str, ...]:
    return (
        group.grade,
        group.section.name,
        group.saw_name or "none",
        group.settings[0].band.id if group.settings else "",
        f"{group.pieces_planned}/{group.pieces_wanted}",
        _bars(group),
        f"{group.yield_share:.1%}",
        f"{group.times.total_s / 3600:.1f}",
        group.status.value,
    )


def _bars(group: PlanGroup) -> str:
    """Bars taken, and in how many loads where some are cut at once."""
    loads = "1 load" if group.loads == 1 else f"{group.loads} loads"
    return f"{group.bars_used}" if group.loads == group.bars_used else f"{group.bars_used} in {loads}"


def _write_tables(made: FilePlan, wanted: Sequence[str], rates: Rates) -> None:
    """The tables told as table=FILE. Raises InvalidValue, OSError."""
    for text in wanted:
        name, equals, path = text.partition("=")
        table = plan_file_table(name, made.plan, made.order.lines, made.catalog, rates) if equals else None
        if table is None:
            raise InvalidValue(
                f"a table is told as plan=FILE, plan-pieces=FILE, cut-list=FILE or costs=FILE, not {text!r}"
            )
        to = Path(path)
        write_table(table, to, form_of(to, None))


def _write_papers(made: FilePlan, wish: PlanWish) -> None:
    measure, paper, day = Measure(wish.measure), PAPERS[wish.paper], datetime.now().astimezone().date()
    groups = [group for group in made.plan.groups if group.settings and group.bars]
    if wish.tickets and groups:
        pdf = print_tickets(
            made.plan, groups, made.catalog, made.order.lines, measure=measure, paper=paper, day=day
        )
        wish.tickets.write_bytes(pdf)
    if wish.labels and groups:
        pdf = print_labels(made.plan, groups, made.order.lines, measure=measure, paper=paper, day=day)
        wish.labels.write_bytes(pdf)
