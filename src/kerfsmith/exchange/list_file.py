"""What reading an order and reading a rack have in common: table, columns, habits, rows of each kind."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from kerfsmith.errors import Finding, InvalidValue, Severity
from kerfsmith.exchange.cells import RawCell, RawTable
from kerfsmith.exchange.columns import SECTION_PARTS, ColumnMatch
from kerfsmith.exchange.evidence import date_order, decimal_mark, unclear_day, unclear_number
from kerfsmith.exchange.heading_words import FieldWords
from kerfsmith.exchange.headings import match_columns
from kerfsmith.exchange.row_kinds import RowKind, RowSorter
from kerfsmith.exchange.row_reader import Habits, RowReader
from kerfsmith.exchange.table import read_table
from kerfsmith.units.parse import DateOrder, Unit
from kerfsmith.units.told import sentence

T = TypeVar("T")

_NUMBER_FIELDS = (
    *("length", "quantity", "count", "price", "tolerance", "tolerance_plus", "tolerance_minus"),
    *("angle_a", "angle_b", "angles"),
)
_SECTION_FIELDS = ("section", *SECTION_PARTS)


@dataclass(frozen=True, slots=True)
class Told:
    """What the sender says about his file: columns, the unit of bare numbers, decimal mark, order of days."""

    bare: Unit | None = None
    columns: Mapping[str, str | int | None] | None = None
    decimal: str | None = None
    date_order: DateOrder | None = None


@dataclass(frozen=True, slots=True)
class ListRead(Generic[T]):
    """Everything a list gave: ``items`` from its good rows, and an account of every other row.

    rows_read = good + bad + blank + total + heading. Rows above the headings count as heading. Where the
    columns must be settled first, all rows under the headings count as bad and one finding speaks for them.
    """

    items: tuple[T, ...]
    findings: tuple[Finding, ...]
    columns: ColumnMatch
    rows_read: int
    rows_bad: int
    rows_blank: int
    rows_total: int
    rows_heading: int
    habits: Habits


def read_list(
    name: str,
    data: bytes,
    fields: Sequence[FieldWords],
    told: Told,
    read_item: Callable[[RowReader], T | None],
) -> ListRead[T]:
    """Read every row of a list; ``read_item`` gives the value of a row, or None having noted why.

    A row with an error among its findings gives no value, whatever ``read_item`` returns.
    """
    table = read_table(name, data, fields=fields)
    match, column_findings = (
        match_columns(table, fields, columns=told.columns) if table.rows else (_NO_MATCH, ())
    )
    findings = [*table.findings, *column_findings]
    blocked = any(finding.is_error for finding in findings)
    habits, settled = _habits(table, match, told)
    findings += [] if blocked else settled
    sorter = RowSorter(table, match)
    items: list[T] = []
    counts = dict.fromkeys(RowKind, 0)
    for row in table.rows:
        kind = sorter.kind(row)
        counts[kind] += 1
        if blocked or kind in (RowKind.BLANK, RowKind.HEADING):
            continue
        if kind is RowKind.TOTAL:
            findings.append(sorter.total(row))
        elif kind is RowKind.TORN:
            findings.append(sorter.torn(row))
        else:
            reader = RowReader(name, row, match, habits)
            item = _guarded(reader, read_item)
            findings.extend(reader.findings)
            if item is not None:
                items.append(item)
    if table.rows and not blocked and counts[RowKind.ITEM] + counts[RowKind.TORN] == 0:
        findings.append(_no_rows(name))
    total = 0 if blocked else counts[RowKind.TOTAL]
    bad = sum(counts.values()) - len(items) - counts[RowKind.BLANK] - total - counts[RowKind.HEADING]
    return ListRead(
        tuple(items),
        tuple(findings),
        match,
        len(table.rows),
        bad,
        counts[RowKind.BLANK],
        total,
        counts[RowKind.HEADING],
        habits,
    )


_NO_MATCH = ColumnMatch(None, (), {})


def _guarded(reader: RowReader, read_item: Callable[[RowReader], T | None]) -> T | None:
    """The row's value where no error was noted; a value that refuses to exist is noted as one."""
    try:
        item = read_item(reader)
    except InvalidValue as fault:
        reader.fail("row-invalid", None, fault.said, "Check the values of this row")
        return None
    return item if reader.is_good else None


def _no_rows(name: str) -> Finding:
    return Finding(
        "no-rows", Severity.ERROR, name, None, None, "", "has headings but no rows under them", "Add the rows"
    )


def _habits(table: RawTable, match: ColumnMatch, told: Told) -> tuple[Habits, list[Finding]]:
    """What was told or what the file shows, with a note wherever a cell was read by what other cells show."""
    findings: list[Finding] = []
    decimal, order = told.decimal, told.date_order
    numbers = [cell for field in _NUMBER_FIELDS for cell in _cells(table, match, field)]
    sections = [cell for field in _SECTION_FIELDS for cell in _cells(table, match, field)]
    days = list(_cells(table, match, "due"))
    if decimal is None:
        shown_mark = decimal_mark(numbers, sections, table.delimiter)
        decimal = shown_mark[0] if shown_mark else None
        unclear = unclear_number([*numbers, *sections])
        if shown_mark and unclear:
            findings.append(_settled(table.name, match, "decimal", unclear, *shown_mark))
    if order is None:
        shown_order = date_order(days)
        order = shown_order[0] if shown_order else None
        unclear = unclear_day(days)
        if shown_order and unclear:
            findings.append(_settled(table.name, match, "due", unclear, *shown_order))
    return Habits(told.bare, decimal, order), findings


def _settled(name: str, match: ColumnMatch, field: str, unclear: str, settled: str, by: str) -> Finding:
    """The note that cells which could mean two things were read by one that could not."""
    how = {".": sentence("with a decimal point"), ",": sentence("with a decimal comma")}.get(settled, settled)
    return Finding(
        "decimal-mark" if field == "decimal" else "date-order",
        Severity.NOTE,
        name,
        match.heading_row,
        None if field == "decimal" else field,
        unclear,
        sentence("was read {how}, as {by} shows, and so were all like it", how=how, by=by),
        "Nothing, if that is right; else say how the file is written",
    )


def _cells(table: RawTable, match: ColumnMatch, field: str) -> Iterator[RawCell]:
    index = match.index(field)
    if index is None:
        return
    for row in table.rows:
        if index < len(row.cells) and (match.heading_row is None or row.number > match.heading_row):
            yield row.cells[index]
