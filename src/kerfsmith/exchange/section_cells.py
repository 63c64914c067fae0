"""The section of a row: from its own column, or put together from columns for shape and sizes."""

import re
from functools import lru_cache
from typing import Protocol

from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue, UnknownName, UnreadableText
from kerfsmith.exchange.columns import SECTION_PARTS
from kerfsmith.exchange.row_reader import RowReader
from kerfsmith.units.parse import Unit, UnitMissing

_ORDER_OF_PARTS = ("size", "diameter", "height", "width", "thickness", "wall")
_ORDER_FOR_FLATS = ("size", "diameter", "width", "height", "thickness", "wall")
_FLAT = re.compile(r"\b(?:flat|fl|plate|bar|flach\w*|plat|pletina)\b", re.IGNORECASE)


class SectionReader(Protocol):
    """Reads what people write for a section. Raises UnreadableText or UnknownName."""

    def __call__(self, text: str, *, bare: Unit | None, decimal: str | None) -> Section:
        """The section, bare numbers in ``bare``; ``decimal`` as in the readers of units."""
        ...


def remembered(read_section: SectionReader) -> SectionReader:
    """``read_section``, which reads a text that comes again in a list only once."""

    @lru_cache(maxsize=1024)
    def read(text: str, bare: Unit | None, decimal: str | None) -> Section:
        return read_section(text, bare=bare, decimal=decimal)

    def reader(text: str, *, bare: Unit | None, decimal: str | None) -> Section:
        return read(text, bare, decimal)

    return reader


def read_row_section(row: RowReader, read_section: SectionReader) -> Section | None:
    """The section of the row, or None with a finding.

    A section column that holds only a word (``flat``) is taken with the size columns beside it.
    """
    text = row.text("section")
    parts_given = [part for part in SECTION_PARTS if part != "shape" and row.cell(part) is not None]
    if row.cell("section") is not None and (re.search(r"\d", text) or not parts_given):
        return _read(row, "section", None, read_section)
    shape_field = "section" if row.cell("section") is not None else "shape"
    if row.cell(shape_field) is None or not parts_given:
        has_parts = any(row.match.has(part) for part in SECTION_PARTS)
        row.fail(
            "section-missing",
            "section",
            "is empty",
            "Write the shape and its sizes" if has_parts else "Write the section, such as round 50 mm",
        )
        return None
    return _read(row, shape_field, _joined(row, text or row.text("shape")), read_section)


def _read(row: RowReader, field: str, joined: str | None, read_section: SectionReader) -> Section | None:
    column = row.match.columns.get(field)
    bare = (column.unit if column else None) or row.habits.bare
    decimal = row.decimal(field) if joined is None else row.habits.decimal

    def reader(text: str) -> Section:
        try:
            return read_section(joined or text, bare=bare, decimal=decimal)
        except UnreadableText as fault:
            if bare is None and _lacks_only_a_unit(joined or text, decimal, read_section):
                raise UnitMissing(text, fault.problem, fault.remedy) from fault
            raise

    return row.read(field, reader)


def _lacks_only_a_unit(text: str, decimal: str | None, read_section: SectionReader) -> bool:
    try:
        read_section(text, bare=Unit.MM, decimal=decimal)
    except (UnreadableText, UnknownName, InvalidValue):
        return False
    return True


def _joined(row: RowReader, shape: str) -> str:
    """Shape and sizes in the words of one section: ``flat 100 mm x 10 mm``, ``pipe 4 sch 40``."""
    order = _ORDER_FOR_FLATS if _FLAT.search(shape) else _ORDER_OF_PARTS
    sizes = []
    for part in order:
        text = row.text(part)
        if not text:
            continue
        unit = row.match.columns[part].unit
        if unit is not None and re.fullmatch(r"[\d.,/ -]+", text):
            text = f"{text} {unit}"
        sizes.append(text)
    schedule = row.text("schedule")
    if schedule and not re.match(r"s", schedule, re.IGNORECASE):
        schedule = f"sch {schedule}"
    return " ".join(filter(None, (shape, " x ".join(sizes), schedule)))
