"""A year of work: from an order book, a history, or a sheet of sections with yearly quantities."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.told import Told, sentence

DAYS_A_YEAR = Decimal("365.25")


@dataclass(frozen=True, slots=True)
class Workload:
    """Lines as they come in one lot, and how often a year each comes; ``basis`` says how it was made.

    Raises InvalidValue where there is no line, or one that never comes.
    """

    name: str
    lines: tuple[OrderLine, ...]
    times_a_year: Mapping[str, Decimal]
    basis: Told

    def __post_init__(self) -> None:
        if not self.lines:
            raise InvalidValue("a workload has at least one line")
        if any(self.times_a_year.get(line.id, Decimal(0)) <= 0 for line in self.lines):
            raise InvalidValue("every line of a workload comes some times a year")

    def times(self, line: OrderLine) -> Decimal:
        """How often a year the line comes."""
        return self.times_a_year[line.id]

    def pieces_of(self, line: OrderLine) -> Decimal:
        """Pieces of the line a year."""
        return line.quantity * self.times(line)

    @property
    def pieces_a_year(self) -> Decimal:
        """Pieces of all lines a year."""
        return sum((self.pieces_of(line) for line in self.lines), Decimal(0))


@dataclass(frozen=True, slots=True)
class YearlyRow:
    """One row of a sheet: pieces of one kind wanted in a year, in lots of ``lot``.

    ``plus_um``/``minus_um`` are the tolerance; None where it isn't stated.
    """

    grade: str
    section: Section
    length_um: int
    pieces_a_year: int
    lot: int
    mark: str = ""
    plus_um: int | None = None
    minus_um: int | None = None
    angle_a_deg: float = 0.0
    angle_b_deg: float = 0.0

    def __post_init__(self) -> None:
        if self.lot <= 0 or self.pieces_a_year <= 0:
            raise InvalidValue("pieces a year and lot must be above zero")


def from_order_book(name: str, lines: Sequence[OrderLine], *, times_a_year: Decimal) -> Workload:
    """An order book as one typical lot that comes ``times_a_year``."""
    basis = sentence(
        "order book of {pieces} pieces, {times} times a year",
        pieces=sum(line.quantity for line in lines),
        times=times_a_year,
    )
    return Workload(name, tuple(lines), {line.id: times_a_year for line in lines}, basis)


def from_history(name: str, lines: Sequence[OrderLine], *, first: date, last: date) -> Workload:
    """Everything cut from ``first`` to ``last``, both counted, brought to a year.

    Raises InvalidValue where the last day is before the first.
    """
    days = (last - first).days + 1
    if days < 1:
        raise InvalidValue("a history ends no sooner than it begins")
    times = DAYS_A_YEAR / days
    basis = sentence("history of {days} days, brought to a year of {year} days", days=days, year=DAYS_A_YEAR)
    return Workload(name, tuple(lines), {line.id: times for line in lines}, basis)


def from_yearly(name: str, rows: Iterable[YearlyRow]) -> Workload:
    """A sheet of yearly quantities, each row cut in its lots."""
    lines: list[OrderLine] = []
    times: dict[str, Decimal] = {}
    for number, row in enumerate(rows, start=1):
        line = OrderLine(
            id=str(number),
            mark=row.mark or f"row {number}",
            grade=row.grade,
            section=row.section,
            length_um=row.length_um,
            quantity=min(row.lot, row.pieces_a_year),
            plus_um=row.plus_um,
            minus_um=row.minus_um,
            angle_a_deg=row.angle_a_deg,
            angle_b_deg=row.angle_b_deg,
        )
        lines.append(line)
        times[line.id] = Decimal(row.pieces_a_year) / line.quantity
    return Workload(name, tuple(lines), times, Told("sheet of yearly quantities, cut in lots"))
