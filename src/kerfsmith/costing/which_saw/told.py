"""A comparison as it is told and kept: its figures and reasons, without the plans they came from."""

from collections.abc import Iterator
from dataclasses import dataclass

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.reckoning import Span3
from kerfsmith.costing.which_saw.compare import Comparison, SawReport
from kerfsmith.costing.which_saw.limits_reached import Reach
from kerfsmith.costing.which_saw.pay_back import PayBack
from kerfsmith.costing.which_saw.saw_year import Cannot, ShopYear
from kerfsmith.costing.which_saw.specials import Special
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told

Range = tuple[float, float, float]
"""Low, likely and high."""


@dataclass(frozen=True, slots=True)
class RefusedTold:
    """Work that a saw can't cut for one reason: which, and how many pieces of it a year."""

    works: tuple[str, ...]
    pieces_a_year: float
    reason: Told


@dataclass(frozen=True, slots=True)
class SawTold:
    """One saw's year. ``common_hours`` and ``common_cost_each`` are of the lines that every saw cuts whole.

    ``pieces_a_shift``, ``bands`` and the costs are None where they can't be told. ``time_ruled`` and
    ``verdicts`` are names with shares, of sawing time and of pieces.
    """

    sheet: SawSheet
    pieces_a_year: float
    hours: Range
    common_hours: Range
    pieces_a_shift: float | None
    bands: Range | None
    cost_each: Span3 | None
    common_cost_each: Span3 | None
    refused: tuple[RefusedTold, ...]
    reaches: tuple[Reach, ...]
    time_ruled: tuple[tuple[Told, float], ...]
    verdicts: tuple[tuple[Told, float], ...]
    specials: tuple[Special, ...]
    doubts: tuple[Told, ...]


@dataclass(frozen=True, slots=True)
class PayBackTold:
    """A pay-back with the pieces a year that only the new saw, and only the old one, can cut."""

    pay_back: PayBack
    new_alone: float
    there_alone: float


@dataclass(frozen=True, slots=True)
class PieceTold:
    """One line of the workload: pieces a year, and what one costs on each saw (None: it isn't cut whole)."""

    mark: str
    grade: str
    section: str
    length_um: int
    pieces_a_year: float
    costs: tuple[Money | None, ...]


@dataclass(frozen=True, slots=True)
class ComparisonTold:
    """The workload on each saw, set side by side. ``against`` is the id of the saw there is."""

    name: str
    basis: Told
    pieces_a_year: float
    currency: str
    shop_year: ShopYear
    saws: tuple[SawTold, ...]
    common: int
    against: str
    pay_backs: tuple[PayBackTold, ...]
    pieces: tuple[PieceTold, ...]
    assumptions: tuple[Told, ...]
    sources: tuple[tuple[str, Told], ...]
    """Title and how sure."""

    def name_of(self, saw_id: str) -> str:
        """Name of a saw that is compared."""
        return next(saw.sheet.name for saw in self.saws if saw.sheet.id == saw_id)


def tell(comparison: Comparison) -> ComparisonTold:
    """All that is told of a comparison."""
    return ComparisonTold(
        name=comparison.workload.name,
        basis=comparison.workload.basis,
        pieces_a_year=float(comparison.workload.pieces_a_year),
        currency=comparison.rates.currency,
        shop_year=comparison.shop_year,
        saws=tuple(_saw(report, comparison) for report in comparison.saws),
        common=len(comparison.common),
        against=comparison.against,
        pay_backs=tuple(_pay_back(one, comparison) for one in comparison.pay_backs),
        pieces=tuple(_pieces(comparison)),
        assumptions=comparison.assumptions,
        sources=tuple((one.title, Told(one.confidence.value)) for one in comparison.sources),
    )


def _saw(report: SawReport, comparison: Comparison) -> SawTold:
    year = report.year
    return SawTold(
        sheet=year.saw,
        pieces_a_year=float(year.pieces_a_year),
        hours=year.hours(),
        common_hours=year.hours(comparison.common),
        pieces_a_shift=year.pieces_a_shift(comparison.shop_year),
        bands=year.bands_a_year(),
        cost_each=year.cost_each(),
        common_cost_each=year.cost_each(comparison.common),
        refused=tuple(_refused(year.cannot)),
        reaches=report.reaches,
        time_ruled=tuple((Told(limit.value), share) for limit, share in report.time_ruled),
        verdicts=tuple((Told(verdict.value), share) for verdict, share in report.verdicts.items()),
        specials=report.specials,
        doubts=year.cost.doubts,
    )


def _refused(cannot: tuple[Cannot, ...]) -> Iterator[RefusedTold]:
    """Lines refused for the same reason put together."""
    together: dict[str, list[Cannot]] = {}
    for one in cannot:
        together.setdefault(one.reason, []).append(one)
    for reason, cases in together.items():
        works = dict.fromkeys(f"{one.line.grade} {one.line.section.name}" for one in cases)
        yield RefusedTold(tuple(works), sum(float(one.pieces_a_year) for one in cases), Told(reason))


def _pay_back(one: PayBack, comparison: Comparison) -> PayBackTold:
    new, there = comparison.of(one.saw).year, comparison.of(one.against).year
    alone = []
    for able, other in ((new, there), (there, new)):
        only = able.whole_lines - other.whole_lines
        alone.append(sum(float(able.pieces(line)) for line in able.lines if line.line.id in only))
    return PayBackTold(one, *alone)


def _pieces(comparison: Comparison) -> Iterator[PieceTold]:
    for line in comparison.workload.lines:
        found = [report.year.cost.of_line(line.id) for report in comparison.saws]
        yield PieceTold(
            mark=line.mark,
            grade=line.grade,
            section=line.section.name,
            length_um=line.length_um,
            pieces_a_year=float(comparison.workload.pieces_of(line)),
            costs=tuple(None if one is None else one.each for one in found),
        )
