"""Sections from tables with one row a section and one column a dimension."""

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from kerfsmith.catalog.hollow import CornerRule, hollow_section
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.shelf import SectionRow
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.shapes import (
    Angle,
    Beam,
    Channel,
    Flat,
    Hexagon,
    Round,
    RoundTube,
    Shape,
    Square,
    Tee,
)
from kerfsmith.library.tables import Table, TableFile

MM_PER = {"mm": 1.0, "in": 25.4}

SHAPES: Mapping[str, Callable[..., Shape]] = {
    "round": Round,
    "square": Square,
    "flat": Flat,
    "hexagon": Hexagon,
    "round tube": RoundTube,
    "angle": Angle,
    "channel": Channel,
    "beam": Beam,
    "tee": Tee,
} | {f"hollow {rule.value}": partial(hollow_section, rule=rule) for rule in CornerRule}


def read_sections(file: TableFile) -> Iterator[SectionRow]:
    """The sections of a file, row by row and not drawn yet. Raises CatalogFault naming the row at fault.

    A row whose dimensions make no section is found only when it is drawn.
    """
    for table in file.tables("section_table"):
        yield from _rows(table)


def _rows(table: Table) -> Iterator[SectionRow]:
    """The rows of one table.

    Its ``columns`` name "name", "aliases" and dimensions of the shape (without "_mm"); ``fixed`` gives the
    dimensions that all rows share. All lengths are in ``unit``; what ends in "slope" is a bare ratio.
    """
    kind, standard, unit = table.text("shape"), table.text("standard"), table.text("unit", "mm")
    table.text("name", ""), table.text("note", "")
    if kind not in SHAPES:
        raise table.fault("shape", f"must be one of {', '.join(SHAPES)}")
    if unit not in MM_PER:
        raise table.fault("unit", "must be mm or in")
    columns = table.texts("columns")
    fixed = {} if not table.has("fixed") else dict(table.inner("fixed").fields)
    rows = table.rows("rows")
    table.finish()
    for row in rows:
        if len(row) != len(columns):
            raise table.fault("rows", f"{row} has {len(row)} entries for {len(columns)} columns")
        yield _row(table, kind, standard, MM_PER[unit], dict(zip(columns, row, strict=True)) | fixed)


def _row(table: Table, kind: str, standard: str, scale: float, cells: dict[str, object]) -> SectionRow:
    name, aliases = str(cells.pop("name", "")), cells.pop("aliases", [])
    if not name or not isinstance(aliases, list):
        raise table.fault("rows", f"{name or cells}: needs a name, and its aliases a list")
    dimensions: dict[str, float] = {}
    for column, value in cells.items():
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise table.fault("rows", f"{name}: {column} must be a number")
        ratio = column.endswith("slope")
        dimensions[column if ratio else f"{column}_mm"] = float(value) if ratio else round(value * scale, 6)
    names = tuple(str(alias) for alias in aliases)

    def draw() -> Section:
        try:
            return Section(name, SHAPES[kind](**dimensions), standard, names)
        except (InvalidValue, TypeError) as fault:
            raise table.fault("rows", f"{name}: {fault}") from fault

    return SectionRow(name, names, standard, draw)
