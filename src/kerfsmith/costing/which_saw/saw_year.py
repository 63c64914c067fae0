"""A year of work on one saw: what is cut, in how many hours, with how many bands, at what cost."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.plan_cost import LineCost, PlanCost, Uncosted, cost_plan
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import Driver, Span3, Sway, between, held
from kerfsmith.costing.which_saw.workload import Workload
from kerfsmith.cutting.setting import Misfit
from kerfsmith.errors import InvalidValue
from kerfsmith.planning.plan import Plan
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told

SawPlanner = Callable[[Sequence[OrderLine], SawSheet], Plan]
"""Plans the lines on one saw alone."""

_S_PER_H = 3600.0


@dataclass(frozen=True, slots=True)
class ShopYear:
    """How much of a year a saw works: hours of a shift, shifts a year, and the share of a shift in which the
    saw is ready and manned (house placeholders, common practice: the shop's to set)."""

    shift_hours: float = 8.0
    shifts_a_year: float = 230.0
    availability: float = 0.75

    def __post_init__(self) -> None:
        if min(self.shift_hours, self.shifts_a_year) <= 0 or not 0 < self.availability <= 1:
            raise InvalidValue("a shop's year has hours and shifts, and saws that are ready for some of them")

    @property
    def hours_a_shift(self) -> float:
        """Saw hours that a shift gives."""
        return self.shift_hours * self.availability


@dataclass(frozen=True, slots=True)
class Cannot:
    """Pieces that a saw can't cut, with every reason and, where a dimension fails, its misfits."""

    line: OrderLine
    count: int
    pieces_a_year: Decimal
    reason: Told
    misfits: tuple[Misfit, ...]


@dataclass(frozen=True, slots=True)
class YearCost:
    """Cost of a year's work, split by the rate it goes with, and how far each cause may move it."""

    amount: Money
    by_driver: dict[Driver, Decimal]
    sways: tuple[Sway, ...]

    @property
    def span(self) -> Span3:
        """The amount with its ends."""
        return between(self.amount, self.sways)


@dataclass(frozen=True, slots=True)
class SawYear:
    """The workload replayed on one saw."""

    saw: SawSheet
    plan: Plan
    cost: PlanCost
    workload: Workload
    cannot: tuple[Cannot, ...]

    @property
    def lines(self) -> tuple[LineCost, ...]:
        """The lines it cuts."""
        return self.cost.lines

    @property
    def unpriced(self) -> tuple[Uncosted, ...]:
        """Lines it could cut of which the metal has no price: they are in no figure of the year."""
        return tuple(one for one in self.cost.uncosted if one.is_cut)

    @property
    def whole_lines(self) -> frozenset[str]:
        """Ids of the lines it cuts every piece of."""
        return frozenset(line.line.id for line in self.lines if not line.missing)

    def pieces(self, line: LineCost) -> Decimal:
        """Pieces of a line it cuts in a year."""
        return line.pieces * self.workload.times(line.line)

    @property
    def pieces_a_year(self) -> Decimal:
        """Pieces it cuts in a year."""
        return sum((self.pieces(line) for line in self.lines), Decimal(0))

    def hours(self, only: Iterable[str] | None = None) -> tuple[float, float, float]:
        """Saw hours a year, low, likely and high by the range of the sawing time; changes of worn bands are
        in them."""
        low = likely = high = 0.0
        for line in self._picked(only):
            times = float(self.workload.times(line.line))
            change = self.saw.cycle.band_change_s * (line.bands[1] if line.bands else 0.0)
            other = line.seconds.other_s + change
            low += times * (line.seconds.sawing_low_s + other)
            likely += times * (line.seconds.sawing_s + other)
            high += times * (line.seconds.sawing_high_s + other)
        return low / _S_PER_H, likely / _S_PER_H, high / _S_PER_H

    def pieces_a_shift(self, year: ShopYear) -> float | None:
        """Pieces in a shift of this mix of work; None where it cuts nothing."""
        hours = self.hours()[1]
        return float(self.pieces_a_year) / hours * year.hours_a_shift if hours else None

    def bands_a_year(self) -> tuple[float, float, float] | None:
        """Bands used up a year, fewest, likely and most; None where a band's life isn't known."""
        fewest = likely = most = 0.0
        for line in self.lines:
            if line.bands is None:
                return None
            times = float(self.workload.times(line.line))
            fewest += times * line.bands[0]
            likely += times * line.bands[1]
            most += times * line.bands[2]
        return fewest, likely, most

    def year_cost(self, only: Iterable[str] | None = None) -> YearCost:
        """Cost of a year of the lines ``only`` (all it cuts, where None)."""
        drivers: dict[Driver, Decimal] = {}
        sways: list[Sway] = []
        for line in self._picked(only):
            times = self.workload.times(line.line)
            for driver, amount in line.cost.by_driver.items():
                drivers[driver] = drivers.get(driver, Decimal(0)) + amount * times
            sways += [Sway(one.cause, one.down * times, one.up * times) for one in line.cost.sways]
        total = held(Money(sum(drivers.values(), Decimal(0)), self.cost.currency))
        return YearCost(total, drivers, tuple(sways))

    def cost_each(self, only: Iterable[str] | None = None) -> Span3 | None:
        """Mean cost of a piece with its ends; None where there is none."""
        kept = tuple(self._picked(only))
        pieces = sum((self.pieces(line) for line in kept), Decimal(0))
        if not pieces:
            return None
        span = self.year_cost(only).span
        return Span3(span.low / pieces, span.likely / pieces, span.high / pieces)

    def _picked(self, only: Iterable[str] | None) -> Iterable[LineCost]:
        if only is None:
            return self.lines
        wanted = frozenset(only)
        return (line for line in self.lines if line.line.id in wanted)


def replay(
    workload: Workload,
    saw: SawSheet,
    catalog: Catalog,
    rates: Rates,
    planner: SawPlanner,
    *,
    rack: Sequence[Bar] = (),
) -> SawYear:
    """The workload planned and costed on one saw alone; ``rack`` gives the bars' prices."""
    plan = planner(workload.lines, saw)
    cost = cost_plan(plan, workload.lines, catalog, rates, rack=rack)
    misfits = {
        left.line_id: tuple(misfit for tried in group.tried for misfit in tried.misfits)
        for group in plan.groups
        for left in group.unplanned
    }
    cannot = tuple(
        Cannot(
            line=one.line,
            count=one.count,
            pieces_a_year=one.count * workload.times(one.line),
            reason=one.reason,
            misfits=misfits.get(one.line.id, ()),
        )
        for one in cost.uncosted
        if not one.is_cut
    )
    return SawYear(saw, plan, cost, workload, cannot)
