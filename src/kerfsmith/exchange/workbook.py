"""XLSX and ODS workbooks as tables of cells."""

import io
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any
from xml.etree import ElementTree

import python_calamine

from kerfsmith.errors import Finding, Severity
from kerfsmith.exchange.cells import MOST_COLUMNS, MOST_ROWS, RawCell, RawRow, RawTable, text_cell
from kerfsmith.exchange.package import Package, PackageError, open_package

FAILED_CELL = "#ERROR"
_OLE_START = b"\xd0\xcf\x11\xe0"
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"


def is_workbook(data: bytes) -> bool:
    """Whether the bytes start as a workbook's do, readable or not."""
    return data.startswith((b"PK\x03\x04", b"PK\x05\x06", _OLE_START))


def read_workbook(name: str, data: bytes) -> tuple[tuple[RawTable, ...], tuple[Finding, ...]]:
    """The visible sheets of a workbook that hold anything, in order, and what is wrong with the file itself.

    Numbers stay numbers and days days; a time with a day loses the time. A cell whose formula failed or was
    never worked out holds ``#ERROR``, so that it is reported where it is read and never passes as blank.
    """
    if data.startswith(_OLE_START):
        return (), (_unreadable(name, "is a workbook of the old kind, or locked with a password"),)
    try:
        package = open_package(data)
        sheets = _sheets(package)
    except PackageError as fault:
        return (), (_unreadable(name, str(fault)),)
    failed = _failed_by_sheet(package)
    tables = tuple(
        RawTable(name, _rows(cells, failed.get(sheet, frozenset())), (), sheet)
        for sheet, cells in sheets.items()
    )
    tables = tuple(table for table in tables if any(not row.is_blank for row in table.rows))
    if tables:
        return tables, ()
    return (), (_unreadable(name, "has no visible sheet with anything in it"),)


def _unreadable(name: str, problem: str) -> Finding:
    remedy = "Save it again as XLSX, ODS or CSV without a password, with nothing but the list in it"
    return Finding("file-unreadable", Severity.ERROR, name, None, None, "", problem, remedy)


def _sheets(package: Package) -> dict[str, list[list[Any]]]:
    """Cells of every visible worksheet by its name. Raises PackageError."""
    try:
        with python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(package.repacked())) as workbook:
            return {
                sheet.name: workbook.get_sheet_by_name(sheet.name).to_python(
                    skip_empty_area=False, nrows=MOST_ROWS
                )
                for sheet in workbook.sheets_metadata
                if sheet.visible is python_calamine.SheetVisibleEnum.Visible
                and sheet.typ is python_calamine.SheetTypeEnum.WorkSheet
            }
    except Exception as fault:
        raise PackageError("is damaged") from fault
    except BaseException as fault:
        # A panic inside the reader's own language derives from BaseException alone.
        if type(fault).__name__ != "PanicException":
            raise
        raise PackageError("is damaged") from fault


def _failed_by_sheet(package: Package) -> Mapping[str, frozenset[tuple[int, int]]]:
    if not any(package.failed.values()):
        return {}
    if package.is_ods:
        # All sheets of an ODS share one part; a place that failed in one is distrusted in all.
        every = package.failed.get("content.xml", frozenset())
        root = ElementTree.fromstring(package.parts["content.xml"])
        return {
            value: every
            for element in root.iter()
            if element.tag.endswith("}table")
            for key, value in element.attrib.items()
            if key.endswith("}name")
        }
    relations = {
        element.get("Id"): element.get("Target", "")
        for element in ElementTree.fromstring(package.parts.get("xl/_rels/workbook.xml.rels", b"<none/>"))
    }
    found: dict[str, frozenset[tuple[int, int]]] = {}
    for element in ElementTree.fromstring(package.parts["xl/workbook.xml"]).iter():
        if element.tag.endswith("}sheet"):
            target = relations.get(element.get(_RELATION), "")
            part = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
            found[element.get("name", "")] = package.failed.get(part, frozenset())
    return found


def _rows(cells: list[list[Any]], failed: frozenset[tuple[int, int]]) -> tuple[RawRow, ...]:
    rows: list[RawRow] = []
    failing: dict[int, list[int]] = {}
    for failed_row, failed_column in failed:
        failing.setdefault(failed_row, []).append(failed_column)
    for index, values in enumerate(cells):
        row = [_cell(value) for value in values[:MOST_COLUMNS]]
        for column in failing.get(index, ()):
            row.extend([None] * (column + 1 - len(row)))
            row[column] = row[column] or FAILED_CELL
        rows.append(RawRow(index + 1, tuple(row)))
    return tuple(rows)


def _cell(value: object) -> RawCell:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        if value != value or abs(value) > 1e15:
            return str(value)
        return int(value) if value.is_integer() else value
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, int | date):
        return value
    return text_cell(str(value))
