"""From files to a comparison of saws: one cut list replayed on several saws alone."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.which_saw.compare import Comparison, which_saw
from kerfsmith.costing.which_saw.pay_back import Offer
from kerfsmith.costing.which_saw.saw_year import SawPlanner
from kerfsmith.costing.which_saw.told import tell
from kerfsmith.costing.which_saw.workload import from_order_book
from kerfsmith.errors import Finding
from kerfsmith.library.load import load_catalog
from kerfsmith.paper.report import report_pdf
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.plan import Plan
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind, Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import Measure, Unit
from kerfsmith.units.money import Money
from kerfsmith.wiring.plan_files import read_given
from kerfsmith.wiring.quoting import rack_bars


@dataclass(frozen=True, slots=True)
class FileComparison:
    """A comparison made from files (None where no line could be read), with every finding."""

    comparison: Comparison | None
    findings: tuple[Finding, ...]


def compare_files(
    orders: str | Path,
    saws: Sequence[str],
    rates: Rates,
    *,
    times_a_year: Decimal = Decimal(1),
    rack: Path | None = None,
    data: bytes | None = None,
    prices: Sequence[tuple[str, Decimal]] = (),
    against: str = "",
    bare: Unit | None = None,
    rules: ShopRules | None = None,
    seconds: float = 2.0,
    seed: int = 1,
    should_stop: Callable[[], bool] = lambda: False,
    catalog: Catalog | None = None,
) -> FileComparison:
    """Replay the cut list ``orders``, which comes ``times_a_year``, on each of ``saws`` (ids or names).

    ``rack`` gives stock lengths and prices of bars; ``prices`` are saws with what they cost. Raises
    UnknownName for a saw that isn't in the catalog, OSError for a file that can't be read.
    """
    tables = catalog or load_catalog()
    rules = replace(rules or ShopRules(), currency=rates.currency)
    sheets = [tables.find_saw(name) for name in saws]
    offers = [Offer(tables.find_saw(name).id, Money(price, rates.currency)) for name, price in prices]
    there = tables.find_saw(against).id if against else ""
    read = read_given(orders, tables, data=data, bare=bare).order
    if not read.lines:
        return FileComparison(None, tuple(read.findings))
    stock = stock_lengths(read.lines, rack_bars(rack, tables, rules, bare), rules)
    workload = from_order_book(Path(orders).stem, read.lines, times_a_year=times_a_year)
    found = which_saw(
        workload,
        sheets,
        tables,
        rates,
        planner(tables, stock, rules, seconds=seconds, seed=seed, should_stop=should_stop),
        rack=stock,
        offers=offers,
        against=there,
    )
    return FileComparison(found, tuple(read.findings))


def planner(
    catalog: Catalog,
    stock: Sequence[Bar],
    rules: ShopRules,
    *,
    seconds: float,
    seed: int,
    should_stop: Callable[[], bool] = lambda: False,
) -> SawPlanner:
    """Plans lines on one saw alone, from as many bars of each stock length as it takes."""

    def plan(lines: Sequence[OrderLine], saw: SawSheet) -> Plan:
        effort = Effort(seconds, seed, time.process_time, should_stop)
        alone = replace(catalog, saws=(saw,))
        tasks = tasks_of(lines, Rack(tuple(stock)))
        run = in_turn(alone, rules, effort)
        return make_plan(tasks, run, plan_id=saw.id, name=saw.name, seed=seed)

    return plan


def stock_lengths(lines: Sequence[OrderLine], rack: Sequence[Bar], rules: ShopRules) -> tuple[Bar, ...]:
    """Bars as they are bought: each length on the rack of what is wanted, else the usual length, without
    number."""
    bars: list[Bar] = []
    for kind in {(line.grade, line.section.key): line for line in lines}.values():
        alike = [
            bar
            for bar in rack
            if bar.grade == kind.grade and bar.section == kind.section and bar.kind is not BarKind.REMNANT
        ]
        by_length = {
            bar.length_um: bar for bar in sorted(alike, key=lambda bar: (bar.price is not None, bar.id))
        }
        bars += [
            replace(bar, id=f"{bar.id} as bought", count=None, kind=BarKind.TO_BUY, heat="")
            for bar in by_length.values()
        ]
        if not by_length:
            name = f"{kind.grade} {kind.section.name}"
            bars.append(
                Bar(name, kind.grade, kind.section, rules.stock_length_um, count=None, kind=BarKind.TO_BUY)
            )
    return tuple(bars)


def print_report(
    comparison: Comparison, *, shop: str, customer: str, measure: Measure, paper: str, day: date
) -> bytes:
    """The report that stands before a customer. ``paper`` is ``a4`` or ``us-letter``."""
    return report_pdf(tell(comparison), shop=shop, customer=customer, measure=measure, paper=paper, day=day)
