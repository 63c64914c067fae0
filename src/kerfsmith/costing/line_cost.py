"""The cost of one order line; one for all its pieces, even where some are cut from a substitute."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from kerfsmith.costing.hours import LineSeconds
from kerfsmith.costing.reckoning import Cost, Kind, of_kind, summed
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told, sentence


@dataclass(frozen=True, slots=True)
class LineCost:
    """One order line priced at cost: ``pieces`` of it that the plan cuts, ``missing`` that it doesn't.

    ``area_cm2`` is what its own cuts and its share of the facing cuts take off bands, ``bands`` how many of
    them that is (low, likely, high), None where no life is known. ``substitutes`` are grades and sections it
    is cut from in place of what was ordered; ``group`` is the first that cuts it.
    """

    line: OrderLine
    group: PlanGroup
    pieces: int
    missing: int
    cost: Cost
    seconds: LineSeconds
    area_cm2: float
    bands: tuple[float, float, float] | None
    substitutes: tuple[str, ...] = ()

    @property
    def each(self) -> Money:
        """Cost of one piece."""
        return self.cost.amount / self.pieces


def one_a_line(costs: Iterable[LineCost]) -> list[LineCost]:
    """The costs with those of the same line put together, in the order in which lines first come up."""
    found: dict[str, list[LineCost]] = {}
    for cost in costs:
        found.setdefault(cost.line.id, []).append(cost)
    return [_together(parts) if len(parts) > 1 else parts[0] for parts in found.values()]


def _together(costs: Sequence[LineCost]) -> LineCost:
    """The sum, each kind of cost unfolding into what it is for the pieces of each group."""
    first, currency = costs[0], costs[0].cost.currency
    kinds = dict.fromkeys(part.kind for cost in costs for part in cost.cost.parts)
    parts = [
        of_kind(
            kind,
            (
                replace(part, name=_from(part, one))
                for one in costs
                for part in one.cost.parts
                if part.kind is kind
            ),
            currency,
        )
        for kind in kinds
    ]
    pieces = sum(one.pieces for one in costs)
    return replace(
        first,
        pieces=pieces,
        missing=first.line.quantity - pieces,
        cost=summed(Told(first.line.mark), Kind.MATERIAL, parts, currency),
        seconds=LineSeconds(
            sum(one.seconds.sawing_s for one in costs),
            sum(one.seconds.sawing_low_s for one in costs),
            sum(one.seconds.sawing_high_s for one in costs),
            sum(one.seconds.other_s for one in costs),
        ),
        area_cm2=sum(one.area_cm2 for one in costs),
        bands=_bands(costs),
        substitutes=tuple(dict.fromkeys(name for one in costs for name in one.substitutes)),
    )


def _from(part: Cost, of: LineCost) -> Told:
    return sentence(
        "{part}, {pieces} × from {material}",
        part=part.name,
        pieces=of.pieces,
        material=of.group.material.name,
    )


def _bands(costs: Sequence[LineCost]) -> tuple[float, float, float] | None:
    low = likely = high = 0.0
    for one in costs:
        if one.bands is None:
            return None
        low, likely, high = low + one.bands[0], likely + one.bands[1], high + one.bands[2]
    return low, likely, high
