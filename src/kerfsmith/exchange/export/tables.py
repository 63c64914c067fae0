"""Which tables can be handed out, by the names that commands, pages and files know them by."""

from collections.abc import Mapping
from dataclasses import dataclass

from kerfsmith.exchange.export import charts, costs, logs, orders, plans, racks, sections
from kerfsmith.exchange.export.table import Column


@dataclass(frozen=True, slots=True)
class Offer:
    """A table that can be had: its title, what a row of it is, its columns."""

    title: str
    says: str
    columns: tuple[Column, ...]


TABLES: Mapping[str, Offer] = {
    "plan": Offer("Plan", "The plan made last, a row for each group of work", plans.GROUP_COLUMNS),
    "plan-pieces": Offer(
        "Plan, piece by piece", "Every piece on every bar of that plan, in the order of cutting",
        plans.PIECE_COLUMNS,
    ),
    "cut-list": Offer("Cut list", "Every line on the book; can be read back as a cut list", orders.COLUMNS),
    "rack": Offer("Rack", "Every bar and remnant; can be read back as a rack list", racks.COLUMNS),
    "cut-log": Offer("Cut log", "Every cut at the saws and every correction, oldest first", logs.COLUMNS),
    "costs": Offer("Costs", "What each line of the plan costs, and what that is made of", costs.COLUMNS),
    "subgroups": Offer(
        "Subgroups", "Measured pieces in subgroups at each saw, with their limits and signals", charts.COLUMNS
    ),
    "own-sections": Offer(
        "Own sections", "Every section the shop has drawn, with its measures", sections.COLUMNS
    ),
}  # fmt: skip
