"""What is still to be planned: orders less what runs have of them, bars less what runs are promised."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Rack
from kerfsmith.workflow.floor_ports import FloorReading


@dataclass(frozen=True, slots=True)
class ToPlan:
    """Orders with the pieces that no run has, and the bars that are free.

    ``in_runs`` counts the pieces left out: wanted in open runs, or good in finished ones.
    """

    orders: tuple[Order, ...]
    rack: Rack
    in_runs: int

    @property
    def lines(self) -> tuple[OrderLine, ...]:
        """Lines of all orders."""
        return tuple(line for order in self.orders for line in order.lines)


def to_plan(floor: FloorReading, orders: Iterable[Order]) -> ToPlan:
    """``orders`` without what is in runs or cut; one of which nothing is left is left out."""
    book = tuple(orders)
    taken = floor.pieces_in_runs()
    left = tuple(_left(order, taken) for order in book)
    pieces = sum(order.pieces for order in book) - sum(order.pieces for order in left)
    return ToPlan(tuple(order for order in left if order.lines), Rack(floor.free_bars()), pieces)


def _left(order: Order, taken: Mapping[str, int]) -> Order:
    """The order with the pieces that no run has."""
    rest = ((line, line.quantity - taken.get(line.id, 0)) for line in order.lines)
    return replace(order, lines=tuple(replace(line, quantity=pieces) for line, pieces in rest if pieces > 0))
