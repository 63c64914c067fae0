"""A table as a file: CSV and XLSX for spreadsheets, JSON for programs."""

import csv
import io
import json
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any

import xlsxwriter  # type: ignore[import-untyped]  # the package has no types

from kerfsmith.exchange.cells import shielded
from kerfsmith.exchange.export.table import Cell, Table

VERSION = 1
"""Of the JSON document's form; columns may be added without a new one."""
_MOMENT_FORM = "yyyy-mm-dd hh:mm:ss"


class Form(StrEnum):
    """The kinds of file, by the ending of their names."""

    CSV = "csv"
    XLSX = "xlsx"
    JSON = "json"

    @property
    def media_type(self) -> str:
        """What the web calls it."""
        return _MEDIA[self]


_MEDIA: Mapping[Form, str] = {
    Form.CSV: "text/csv; charset=utf-8",
    Form.XLSX: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    Form.JSON: "application/json",
}


def written(table: Table, form: Form) -> bytes:
    """The table as a file of that form."""
    match form:
        case Form.CSV:
            return as_csv(table)
        case Form.XLSX:
            return as_xlsx(table)
        case Form.JSON:
            return as_json(table)


def as_csv(table: Table) -> bytes:
    """CSV in UTF-8 with a byte-order mark, which spreadsheets need to know the letters; decimal point.

    A text that a spreadsheet would work out as a formula has an apostrophe in front, which our own readers
    of lists take off again.
    """
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer)
    writer.writerow([column.name for column in table.columns])
    for row in table.rows:
        writer.writerow([_text(cell) for cell in row])
    return buffer.getvalue().encode("utf-8-sig")


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float | Decimal):
        plain = f"{Decimal(repr(cell)) if isinstance(cell, float) else cell:f}"
        return plain.rstrip("0").rstrip(".") if "." in plain else plain
    if isinstance(cell, datetime):
        return cell.astimezone(UTC).isoformat()
    if isinstance(cell, date):
        return cell.isoformat()
    return shielded(cell) if isinstance(cell, str) else str(cell)


def as_xlsx(table: Table) -> bytes:
    """An XLSX file of one sheet, numbers and days as such; no text of it is ever a formula or a link.

    Moments are in UTC, as spreadsheets know no zones.
    """
    target = io.BytesIO()
    # A fixed time of making, so that equal tables are equal files.
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = xlsxwriter.Workbook(target, options)
    book.set_properties({"title": table.title, "created": datetime(2000, 1, 1)})  # noqa: DTZ001
    heading = book.add_format({"bold": True, "bottom": 1})
    day = book.add_format({"num_format": "yyyy-mm-dd"})
    moment = book.add_format({"num_format": _MOMENT_FORM})
    sheet = book.add_worksheet(table.name)
    sheet.freeze_panes(1, 0)
    for place, column in enumerate(table.columns):
        sheet.write_string(0, place, column.name, heading)
    for number, row in enumerate(table.rows, start=1):
        for place, cell in enumerate(row):
            _write(sheet, number, place, cell, day, moment)
    if table.rows:
        sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)
    sheet.autofit()
    book.close()
    return target.getvalue()


def _write(sheet: Any, row: int, place: int, cell: Cell, day: Any, moment: Any) -> None:
    if cell is None:
        return
    if isinstance(cell, bool):
        sheet.write_boolean(row, place, cell)
    elif isinstance(cell, int | float | Decimal):
        sheet.write_number(row, place, float(cell) if isinstance(cell, Decimal) else cell)
    elif isinstance(cell, datetime):
        sheet.write_datetime(row, place, cell.astimezone(UTC).replace(tzinfo=None), moment)
    elif isinstance(cell, date):
        sheet.write_datetime(row, place, cell, day)
    else:
        sheet.write_string(row, place, _printable(cell))


def _printable(text: str) -> str:
    """Text without the characters that no workbook may hold, cut to what a cell takes."""
    kept = "".join(character for character in text if character >= " " or character in "\t\n\r")
    return kept.encode("utf-8", "replace").decode()[:32_767]


def as_json(table: Table) -> bytes:
    """A JSON document: ``table``, ``version`` and ``rows``, each row an object by column."""
    names = [column.name for column in table.columns]
    rows = [dict(zip(names, map(_json_cell, row), strict=True)) for row in table.rows]
    document = {"table": table.name, "version": VERSION, "rows": rows}
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode("utf-8", "replace")


def _json_cell(cell: Cell) -> str | int | float | bool | None:
    if isinstance(cell, Decimal):
        return float(cell)
    if isinstance(cell, datetime):
        return cell.astimezone(UTC).isoformat()
    return cell.isoformat() if isinstance(cell, date) else cell
