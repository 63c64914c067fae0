"""Tables as an XLSX workbook."""

import io
from collections.abc import Mapping, Sequence
from datetime import date
from typing import TypeAlias

import xlsxwriter  # type: ignore[import-untyped]  # the package has no types

Cell: TypeAlias = str | int | float | date | None


def workbook(sheets: Mapping[str, Sequence[Sequence[Cell]]]) -> bytes:
    """An XLSX file with one sheet for each entry; the first row of each is its headings.

    Dates are written as dates (shown as ISO 8601), numbers as numbers. Nothing is written as a formula.
    """
    target = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    book = xlsxwriter.Workbook(target, options)
    heading = book.add_format({"bold": True, "bottom": 1})
    day = book.add_format({"num_format": "yyyy-mm-dd"})
    for name, rows in sheets.items():
        sheet = book.add_worksheet(name)
        sheet.freeze_panes(1, 0)
        for row_number, row in enumerate(rows):
            for column, cell in enumerate(row):
                if isinstance(cell, date):
                    sheet.write_datetime(row_number, column, cell, day)
                elif cell is not None:
                    sheet.write(row_number, column, cell, heading if row_number == 0 else None)
        sheet.autofit()
    book.close()
    return target.getvalue()
