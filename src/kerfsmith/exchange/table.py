"""Any file that holds a list, as one table of raw cells."""

from collections.abc import Sequence

from kerfsmith.errors import Finding, Severity
from kerfsmith.exchange.cells import MOST_BYTES, RawTable
from kerfsmith.exchange.delimited import read_delimited
from kerfsmith.exchange.heading_words import ORDER_FIELDS, FieldWords
from kerfsmith.exchange.headings import known_headings
from kerfsmith.exchange.workbook import is_workbook, read_workbook
from kerfsmith.units.told import sentence

_SHEET_ROWS_LOOKED_AT = 30


def read_table(name: str, data: bytes, *, fields: Sequence[FieldWords] = ORDER_FIELDS) -> RawTable:
    """The table in CSV, TSV, XLSX or ODS bytes; ``fields`` says which headings to know it by.

    What the file is shows in its bytes, not in its name. A file that can't be read gives no rows and a
    finding that says why. Of a workbook's sheets the one with most known headings is taken, the others are
    noted.
    """
    if len(data) > MOST_BYTES:
        return _nothing(
            name,
            "file-too-large",
            sentence("has more than {most_bytes} MB", most_bytes=MOST_BYTES // 2**20),
            "Split the list",
        )
    if not data.strip(b"\x00 \t\r\n"):
        return _empty(name)
    if data.startswith(b"%PDF"):
        return _nothing(name, "file-unreadable", "is a PDF", "Send the list as XLSX or CSV")
    if is_workbook(data):
        return _best_sheet(name, data, fields)
    table = read_delimited(name, data, lambda texts: known_headings(texts, fields))
    return table if table.rows or table.findings else _empty(name)


def _empty(name: str) -> RawTable:
    return _nothing(name, "file-empty", "is empty", "Choose the file with the list in it")


def _nothing(name: str, code: str, problem: str, remedy: str) -> RawTable:
    return RawTable(name, (), (Finding(code, Severity.ERROR, name, None, None, "", problem, remedy),))


def _best_sheet(name: str, data: bytes, fields: Sequence[FieldWords]) -> RawTable:
    tables, findings = read_workbook(name, data)
    if not tables:
        return RawTable(name, (), findings)
    best = max(tables, key=lambda table: _headings_in(table, fields))
    others = [table.sheet or "" for table in tables if table is not best]
    if others:
        note = Finding(
            "other-sheets",
            Severity.NOTE,
            name,
            None,
            None,
            ", ".join(others),
            sentence("sheets beside {sheet} were not read", sheet=f"{best.sheet!r}"),
            "Save each sheet that holds a list as a file of its own",
        )
        findings = (*findings, note)
    return RawTable(name, best.rows, findings, best.sheet)


def _headings_in(table: RawTable, fields: Sequence[FieldWords]) -> float:
    return max(
        (known_headings(row.texts(), fields) for row in table.rows[:_SHEET_ROWS_LOOKED_AT]), default=0.0
    )
