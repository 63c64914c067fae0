"""Order lines as a cut list, in the columns that our own reader of cut lists knows."""

from collections.abc import Iterable

from kerfsmith.exchange.export.table import Cell, CellKind, Column, Table, mm, mm_or_none
from kerfsmith.shop.order import OrderLine

COLUMNS = (
    Column("mark", CellKind.TEXT, "The piece's mark"),
    Column("order", CellKind.TEXT, "Order or job it is for"),
    Column("customer", CellKind.TEXT, "Customer it is for"),
    Column("grade", CellKind.TEXT, "Grade by its name in the tables"),
    Column("section", CellKind.TEXT, "Section as it is read in a cut list; a drawn one by its own name"),
    Column("length_mm", CellKind.NUMBER, "Length from long point to long point"),
    Column("quantity", CellKind.WHOLE, "Pieces wanted"),
    Column("tol_plus_mm", CellKind.NUMBER, "How much longer a piece may be; empty where not stated", True),
    Column("tol_minus_mm", CellKind.NUMBER, "How much shorter a piece may be; empty where not stated", True),
    Column("due", CellKind.DAY, "Day by which it is wanted", True),
    Column("angle_a", CellKind.NUMBER, "Angle of the first end from square, degrees"),
    Column("angle_b", CellKind.NUMBER, "Angle of the other end from square, degrees; equal signs: parallel"),
    Column("lie", CellKind.TEXT, "How the section must lie for its slanting ends; empty: any way"),
    Column("or_grade", CellKind.TEXT, "Grades it may be cut from instead, parted by semicolons"),
    Column("or_section", CellKind.TEXT, "Sections it may be cut from instead, parted by semicolons"),
    Column("notes", CellKind.TEXT, "Words that came with the line"),
    Column("line_id", CellKind.TEXT, "The line's id, which plan, cut log and costs name it by"),
)


def cut_list_table(lines: Iterable[OrderLine]) -> Table:
    """The lines of all orders."""
    return Table("cut-list", "Cut list", COLUMNS, tuple(map(_row, lines)))


def _row(line: OrderLine) -> tuple[Cell, ...]:
    return (
        line.mark,
        line.order,
        line.customer,
        line.grade,
        line.section.name,
        mm(line.length_um),
        line.quantity,
        mm_or_none(line.plus_um),
        mm_or_none(line.minus_um),
        line.due,
        float(line.angle_a_deg),
        float(line.angle_b_deg),
        line.lie,
        "; ".join(line.or_grades),
        "; ".join(section.name for section in line.or_sections),
        line.notes,
        line.id,
    )
