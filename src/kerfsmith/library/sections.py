"""Sections from tables with one row a section and one column a dimension."""

from collections.abc import Callable, Mapping
from functools import partial

from kerfsmith.catalog.hollow import CornerRule, hollow_section
from kerfsmith.catalog.section import Section
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


def read_sections(file: TableFile) -> tuple[Section, ...]:
    """The sections of a file. Raises CatalogFault naming the row that makes no section."""
    return tuple(section for table in file.tables("section_table") for section in _sections(table))


def _sections(table: Table) -> list[Section]:
    """The rows of one table.

    Its ``columns`` name "name", "aliases" and dimensions of the shape (without "_mm"); ``fixed`` gives the dimensions that
    all rows share. All lengths are in ``unit``; a column or fixed value that ends in "slope" is a bare ratio.
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
    found = []
    for row in rows:
        if len(row) != len(columns):
            raise table.fault("rows", f"{row} has {len(row)} entries for {len(columns)} columns")
        cells = dict(zip(columns, row, strict=True)) | fixed
        found.append(_section(table, kind, standard, MM_PER[unit], cells))
    return found


def _section(table: Table, kind: str, standard: str, scale: float, cells: dict[str, object]) -> Section:
    name, aliases = str(cells.pop("name")), cells.pop("aliases", [])
    if not isinstance(aliases, list):
        raise table.fault("rows", f"{name}: aliases must be a list")
    dimensions: dict[str, float] = {}
    for column, value in cells.items():
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise table.fault("rows", f"{name}: {column} must be a number")
        ratio = column.endswith("slope")
        dimensions[column if ratio else f"{column}_mm"] = float(value) if ratio else round(value * scale, 6)
    try:
        shape = SHAPES[kind](**dimensions)
    except (InvalidValue, TypeError) as fault:
        raise table.fault("rows", f"{name}: {fault}") from fault
    return Section(name, shape, standard, tuple(str(alias) for alias in aliases))
