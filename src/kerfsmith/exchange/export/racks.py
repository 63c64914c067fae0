"""The rack as a list, in the columns that our own reader of rack lists knows."""

from collections.abc import Iterable

from kerfsmith.exchange.export.table import Cell, CellKind, Column, Table, mm
from kerfsmith.shop.rack import Bar, BarKind

GOOD_END, AS_ROLLED = "good", "as rolled"

COLUMNS = (
    Column("label", CellKind.TEXT, "What stands on the bar, or the entry's id"),
    Column("grade", CellKind.TEXT, "Grade by its name in the tables"),
    Column("section", CellKind.TEXT, "Section as it is read in a list; a drawn one by its own name"),
    Column("length_mm", CellKind.NUMBER, "Length of each bar"),
    Column("count", CellKind.WHOLE, "Equal bars there; empty: as many as wanted can be bought", True),
    Column("heat", CellKind.TEXT, "Heat of the metal"),
    Column("place", CellKind.TEXT, "Where it lies"),
    Column("price_per_bar", CellKind.MONEY, "What one bar cost or costs; empty where not known", True),
    Column("currency", CellKind.TEXT, "Currency of the price, by its three letters", True),
    Column("kind", CellKind.TEXT, "What the entry is", choices=tuple(kind.value for kind in BarKind)),
    Column(
        "far_end",
        CellKind.TEXT,
        "How its far end is; where it is good, the last piece may be what is left in the vise",
        choices=(GOOD_END, AS_ROLLED),
    ),
)


def rack_table(bars: Iterable[Bar], currency: str) -> Table:
    """Every entry of the rack."""
    return Table("rack", "Rack", COLUMNS, tuple(_row(bar, currency) for bar in bars))


def _row(bar: Bar, currency: str) -> tuple[Cell, ...]:
    return (
        bar.id,
        bar.grade,
        bar.section.name,
        mm(bar.length_um),
        bar.count,
        bar.heat,
        bar.place,
        bar.price,
        None if bar.price is None else currency,
        bar.kind.value,
        GOOD_END if bar.end_is_good else AS_ROLLED,
    )
