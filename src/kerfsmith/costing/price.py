"""From cost to price: margin, the price each as it is asked for, and break points by quantity."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from kerfsmith.catalog.figure import Confidence
from kerfsmith.costing.plan_cost import LineCost, PlanCost
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import (
    Basis,
    Cost,
    Driver,
    Kind,
    Reckoning,
    Span3,
    Sway,
    held,
    reckoned,
    summed,
)
from kerfsmith.costing.shown import rounded, rounded_down
from kerfsmith.errors import InvalidValue
from kerfsmith.planning.plan import Plan
from kerfsmith.planning.tasks import joined_lines
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told, sentence

Planner = Callable[[Sequence[OrderLine]], Plan]
"""Plans the bars for some order lines, as it would if they came in."""

Coster = Callable[[Plan, Sequence[OrderLine]], PlanCost]
"""Costs a plan made from some order lines."""


@dataclass(frozen=True, slots=True)
class Price:
    """What is asked for ``count`` pieces: ``each`` in whole smallest parts, ``total`` exactly count x each.

    ``reckoning`` is the tree from cost over margin and rounding to ``total``; ``each_span`` is the price
    each with its ends, unrounded.
    """

    count: int
    each: Money
    total: Money
    each_span: Span3
    reckoning: Cost

    def __post_init__(self) -> None:
        if self.each * self.count != self.total or self.reckoning.amount != self.total:
            raise InvalidValue(
                "a price's total is its count times the price each, and what it is reckoned at"
            )

    @property
    def cost(self) -> Cost:
        """The cost under the price."""
        return self.reckoning.parts[0]


def price_line(cost: LineCost, rates: Rates, *, most: Money | None = None) -> Price:
    """The price of a costed line; where ``most`` is given its total doesn't exceed it.

    price = cost / (1 - margin); the price each is rounded half up to the smallest part.
    """
    count = cost.pieces
    margin = _margin(cost.cost, rates)
    asked = summed(Told("asked"), Kind.MARGIN, (cost.cost, margin), rates.currency)
    each = rounded(asked.amount / count)
    rest = Told("price each rounded half up")
    if most is not None and each * count > most:
        each = rounded_down(most / count)
        rest = Told("no more than a larger quantity costs, and rounded")
    total = held(each * count)
    difference = Reckoning(
        Decimal(1), Told("line"), total - asked.amount, Driver.PRICE, (Basis(rest, "", Confidence.DERIVED),)
    )
    closing = reckoned(Told("rounding"), Kind.ROUNDING, difference)
    parts = (cost.cost, margin, closing)
    reckoning = Cost(Told(cost.line.mark), Kind.MATERIAL, total, None, parts)
    span = reckoning.span
    each_span = Span3(span.low / count, span.likely / count, span.high / count)
    return Price(count, Money(each.amount, rates.currency), total, each_span, reckoning)


def _margin(cost: Cost, rates: Rates) -> Cost:
    """Margin as a share of the price: m / (1 - m) on the cost, and it sways with it."""
    factor = rates.margin / (1 - rates.margin)
    source = "shop" if rates.is_own("margin") else "house"
    text = sentence(
        "{share} of the price, which is {factor} on cost", share=f"{rates.margin:.1%}", factor=f"{factor:.2%}"
    )
    basis = Basis(text, source)
    how = Reckoning(factor, Told("times"), cost.amount, Driver.PRICE, (basis,))
    sways = [Sway(sway.cause, sway.down * factor, sway.up * factor) for sway in cost.sways]
    return reckoned(Told("margin"), Kind.MARGIN, how, sways)


def quantity_costs(
    lines: Sequence[OrderLine], line_id: str, quantities: Iterable[int], planner: Planner, coster: Coster
) -> dict[int, LineCost]:
    """The line costed at other quantities: its run planned anew at each, all its other lines as ordered.

    A quantity of which some pieces can't be planned or priced is left out. Raises InvalidValue where the line
    isn't among ``lines`` or a quantity isn't above zero.
    """
    asked = next((line for line in lines if line.id == line_id), None)
    if asked is None:
        raise InvalidValue(f"line {line_id} isn't on the order")
    run = joined_lines(lines, asked)
    found: dict[int, LineCost] = {}
    for quantity in sorted(set(quantities)):
        changed = [replace(line, quantity=quantity) if line.id == line_id else line for line in run]
        cost = coster(planner(changed), changed).of_line(line_id)
        if cost is not None and not cost.missing:
            found[quantity] = cost
    return found


def quantity_prices(costs: Mapping[int, LineCost], rates: Rates) -> tuple[Price, ...]:
    """The price at each quantity, smallest first; no quantity's total is above a larger one's.

    Where a larger quantity happens to cost less (its bars come out better), the smaller is asked for no more:
    one could make the larger and keep the rest.
    """
    prices: list[Price] = []
    most: Money | None = None
    for quantity in sorted(costs, reverse=True):
        price = price_line(costs[quantity], rates, most=most)
        prices.append(price)
        most = price.total
    return tuple(reversed(prices))
