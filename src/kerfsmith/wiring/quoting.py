"""From files to a quote: a cut list and a rack list in, priced lines and their papers out."""

import time
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.costing.plan_cost import PlanCost, cost_plan
from kerfsmith.costing.price import Price, quantity_costs, quantity_prices
from kerfsmith.costing.quote import Quote, QuoteTerms, make_quote
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.rates_reading import read_rates
from kerfsmith.errors import Finding, Severity
from kerfsmith.paper.quote import quote_pdf
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import GroupRunner, in_turn, make_plan, tasks_of
from kerfsmith.planning.plan import Plan, PlanStatus
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import Measure, Unit
from kerfsmith.units.told import Told, sentence
from kerfsmith.wiring.plan_files import FilePlan, plan_files
from kerfsmith.wiring.reading import read_rack_bytes


@dataclass(frozen=True, slots=True)
class FileQuote:
    """A quote made from files (None where no line could be read), with its plan and every finding."""

    quote: Quote | None
    cost: PlanCost
    made: FilePlan
    findings: tuple[Finding, ...]


def rates_from_file(path: Path, start: Rates | None = None) -> tuple[Rates, tuple[Finding, ...]]:
    """A shop's rates from a TOML file. Raises OSError for a file that can't be read."""
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        remedy = "Write each rate as name = figure, as TOML has it"
        fault = Finding("rates-unreadable", Severity.ERROR, path.name, None, None, "", str(error), remedy)
        return start or Rates(), (fault,)
    return read_rates(path.name, table, start)


def rack_bars(rack: Path | None, catalog: Catalog, rules: ShopRules, bare: Unit | None) -> tuple[Bar, ...]:
    """The bars of a rack file; its findings come with the plan made from it."""
    if rack is None:
        return ()
    read = read_rack_bytes(rack.name, rack.read_bytes(), catalog, currency=rules.currency, bare=bare)
    return tuple(read.bars)


def quote_files(
    orders: str | Path,
    rack: Path | None,
    terms: QuoteTerms,
    rates: Rates,
    *,
    data: bytes | None = None,
    quantities: Sequence[int] = (),
    bare: Unit | None = None,
    rules: ShopRules | None = None,
    seconds: float = 5.0,
    seed: int = 1,
    should_stop: Callable[[], bool] = lambda: False,
    catalog: Catalog | None = None,
) -> FileQuote:
    """Plan the cut list ``orders`` from ``rack`` and quote it; ``quantities`` are break points for each line.

    Raises OSError for a file that can't be read.
    """
    rules = replace(rules or ShopRules(), currency=rates.currency)
    made = plan_files(
        orders,
        rack,
        data=data,
        bare=bare,
        rules=rules,
        seconds=seconds,
        seed=seed,
        should_stop=should_stop,
        catalog=catalog,
    )
    bars = rack_bars(rack, made.catalog, rules, bare)
    cost = cost_plan(
        made.plan, made.order.lines, made.catalog, rates, rack=bars, certificates=terms.certificates
    )
    if not cost.lines and not cost.uncosted:
        return FileQuote(None, cost, made, made.findings)
    effort = Effort(seconds, seed, time.process_time, should_stop)
    desk = QuoteDesk(
        made.catalog, bars, rates, terms.certificates, in_turn(made.catalog, rules, effort), seed
    )
    breaks = desk.breaks(made.order.lines, cost, quantities) if quantities else {}
    quote = make_quote(cost, rates, terms, breaks=breaks, inside=standing(made.plan))
    return FileQuote(quote, cost, made, made.findings)


@dataclass(frozen=True, slots=True)
class QuoteDesk:
    """What lines are planned and costed with. ``step`` is called after each plan."""

    catalog: Catalog
    bars: tuple[Bar, ...]
    rates: Rates
    certificates: bool
    runner: GroupRunner
    seed: int
    step: Callable[[], None] = lambda: None

    def breaks(
        self, lines: Sequence[OrderLine], cost: PlanCost, quantities: Sequence[int]
    ) -> Mapping[str, tuple[Price, ...]]:
        """Prices of each costed line at ``quantities`` and at its own."""
        found = {}
        for one in cost.lines:
            others = [quantity for quantity in quantities if quantity != one.pieces]
            costs = quantity_costs(lines, one.line.id, others, self.plan, self.cost)
            found[one.line.id] = quantity_prices(costs | {one.pieces: one}, self.rates)
        return found

    def plan(self, lines: Sequence[OrderLine]) -> Plan:
        """The lines planned as if they came in."""
        tasks = tasks_of(lines, Rack(self.bars))
        made = make_plan(tasks, self.runner, plan_id="break", name="break point", seed=self.seed)
        self.step()
        return made

    def cost(self, plan: Plan, lines: Sequence[OrderLine]) -> PlanCost:
        """The plan of the lines costed."""
        return cost_plan(
            plan, lines, self.catalog, self.rates, rack=self.bars, certificates=self.certificates
        )


def standing(plan: Plan) -> tuple[Told, ...]:
    """How sure it is that the bars reckoned with are the best possible."""
    good = [group for group in plan.groups if group.status is PlanStatus.GOOD]
    return tuple(
        sentence(
            "{grade} {section}: bars at most {gap} % from the best possible.",
            grade=group.grade,
            section=group.section.name,
            gap=f"{100 * group.gap:.1f}",
        )
        for group in good
    )


def print_quote(quote: Quote, *, shop: str, measure: Measure, paper: str, inside: bool = False) -> bytes:
    """The quote for the customer; with ``inside`` the shop's own sheet, on which every line unfolds.

    ``paper`` is ``a4`` or ``us-letter``. Raises InvalidValue for another.
    """
    return quote_pdf(quote, shop=shop, measure=measure, paper=paper, inside=inside)
