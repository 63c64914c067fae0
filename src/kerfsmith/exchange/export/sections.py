"""Sections the shop has drawn, as a list."""

from collections.abc import Iterable

from kerfsmith.exchange.export.table import Cell, CellKind, Column, Table
from kerfsmith.shop.own_words import OwnSection

COLUMNS = (
    Column("section", CellKind.TEXT, "Name by which lists write it"),
    Column("width_mm", CellKind.NUMBER, "Overall width as drawn"),
    Column("height_mm", CellKind.NUMBER, "Overall height as drawn"),
    Column("area_mm2", CellKind.NUMBER, "Area of a square cut, of what is drawn between the lines"),
    Column("thinnest_wall_mm", CellKind.NUMBER, "Thinnest wall found; empty: it is solid", True),
    Column("holes", CellKind.WHOLE, "Holes through it"),
    Column("file", CellKind.TEXT, "Drawing it came from"),
    Column("kept_by", CellKind.TEXT, "Who kept it"),
    Column("kept_at", CellKind.MOMENT, "When it was kept under this name"),
)


def own_sections_table(sections: Iterable[OwnSection]) -> Table:
    """Every section the shop has drawn."""
    return Table("own-sections", "Own sections", COLUMNS, tuple(map(_row, sections)))


def _row(own: OwnSection) -> tuple[Cell, ...]:
    outline = own.section.shape.outline()
    return (
        own.section.name,
        outline.width_mm,
        outline.height_mm,
        outline.area_mm2,
        own.section.shape.wall_mm,
        sum(len(body.holes) for body in outline.bodies),
        own.file,
        own.kept_by,
        own.kept_at,
    )
