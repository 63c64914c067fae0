"""The shop's records, or a plan made from files, as tables to be handed out."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.costing.plan_cost import PlanCost, cost_plan
from kerfsmith.costing.rates import Rates
from kerfsmith.exchange.export.charts import subgroups_table
from kerfsmith.exchange.export.costs import costs_table
from kerfsmith.exchange.export.logs import cut_log_table
from kerfsmith.exchange.export.orders import cut_list_table
from kerfsmith.exchange.export.plans import plan_pieces_table, plan_table
from kerfsmith.exchange.export.racks import rack_table
from kerfsmith.exchange.export.sections import own_sections_table
from kerfsmith.exchange.export.table import Table
from kerfsmith.exchange.export.tables import TABLES
from kerfsmith.planning.plan import Plan
from kerfsmith.records.store import Store
from kerfsmith.shop.order import OrderLine

NO_PLAN = Plan(id="", name="no plan", groups=(), findings=(), seed=0)
"""Stands for a plan where none was made yet: its tables have columns and no rows."""


def shop_table(name: str, store: Store, catalog: Catalog) -> Table:
    """The table ``name`` of the shop as its records stand now. Raises KeyError for an unknown one."""
    makers: Mapping[str, Callable[[], Table]] = {
        "plan": lambda: plan_table(store.latest_plan() or NO_PLAN),
        "plan-pieces": lambda: plan_pieces_table(store.latest_plan() or NO_PLAN),
        "cut-list": lambda: cut_list_table(_lines(store)),
        "rack": lambda: rack_table(store.rack().bars, store.rules().currency),
        "cut-log": lambda: _cut_log(store),
        "costs": lambda: costs_table(_costs(store, catalog)),
        "subgroups": lambda: _subgroups(store),
        "own-sections": lambda: _own_sections(store),
    }
    return makers[name]()


def plan_file_table(
    name: str, plan: Plan, lines: tuple[OrderLine, ...], catalog: Catalog, rates: Rates
) -> Table | None:
    """The table ``name`` of a plan made from files; None for one that only a shop's records have."""
    makers: Mapping[str, Callable[[], Table]] = {
        "plan": lambda: plan_table(plan),
        "plan-pieces": lambda: plan_pieces_table(plan),
        "cut-list": lambda: cut_list_table(lines),
        "costs": lambda: costs_table(cost_plan(plan, lines, catalog, rates)),
    }
    return makers[name]() if name in makers else None


def _lines(store: Store) -> tuple[OrderLine, ...]:
    return tuple(line for order in store.orders() for line in order.lines)


def _cut_log(store: Store) -> Table:
    with store.look() as look:
        return cut_log_table(look.floor.cut_log())


def _subgroups(store: Store) -> Table:
    with store.look() as look:
        return subgroups_table(look.learning.log())


def _own_sections(store: Store) -> Table:
    with store.look() as look:
        return own_sections_table(look.own.sections())


def _costs(store: Store, catalog: Catalog) -> PlanCost:
    """The plan made last at the shop's rates, of the lines that are still on the book."""
    with store.look() as look:
        # A bar that was cut up since has the price it had.
        rates, bars = look.prices.rates(), look.floor.known_bars()
    plan, lines = store.latest_plan() or NO_PLAN, _lines(store)
    on_book = {line.id for line in lines}
    # A group of which a line was taken off the book since can't be costed: its order is no longer known.
    whole = [
        group
        for group in plan.groups
        if all(piece.line_id in on_book for bar in group.bars for piece, _ in bar.each_piece())
    ]
    return cost_plan(replace(plan, groups=tuple(whole)), lines, catalog, rates, rack=bars)


def table_names() -> tuple[str, ...]:
    """Every table there is."""
    return tuple(TABLES)
