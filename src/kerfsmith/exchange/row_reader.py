"""One row read field by field: each bad field is a finding, and a row with one gives no value."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TypeVar

from kerfsmith.errors import Finding, InvalidValue, Severity, UnknownName, UnreadableText
from kerfsmith.exchange.cells import RawCell, RawRow, cell_text, read_text
from kerfsmith.exchange.columns import ColumnMatch
from kerfsmith.exchange.workbook import FAILED_CELL
from kerfsmith.units.parse import (
    DateOrder,
    ParsedLength,
    Unit,
    UnitMissing,
    parse_date,
    parse_length,
    parse_quantity,
    unit_named,
)
from kerfsmith.units.told import Told, either, sentence, with_capital

T = TypeVar("T")

_TAUGHT = {
    "grade": Told(
        "write it another way, or teach it: as a word for a known grade under Grades or with --grade, as a "
        "new grade in a file of tables"
    ),
    "section": Told("write it another way, draw it in under Sections, or give its sizes in a file of tables"),
}
"""How a name that the tables don't know becomes known, by its kind."""
_TAUGHT_ELSE = Told("write it another way, or give it in a file of tables")
_LONGEST_NAME = 80
_LONGEST_NOTE = 2_000
_FAILURES = frozenset(
    {
        FAILED_CELL,
        "#REF!",
        "#N/A",
        "#VALUE!",
        "#DIV/0!",
        "#NAME?",
        "#NUM!",
        "#NULL!",
        "#SPILL!",
        "#BEZUG!",
        "#WERT!",
    }
)
_DAY_ZERO = date(1899, 12, 30)
_SERIAL_DAYS = range(36_526, 73_415)
"""Day numbers of a spreadsheet from 2000 to 2100, counted from the last days of 1899."""


@dataclass(frozen=True, slots=True)
class Habits:
    """How numbers without a unit, numbers of two meanings and days of two meanings are read in one file."""

    bare: Unit | None
    decimal: str | None
    date_order: DateOrder | None


@dataclass(slots=True)
class RowReader:
    """Reads the fields of ``row`` and gathers what is wrong with them in ``findings``."""

    file: str
    row: RawRow
    match: ColumnMatch
    habits: Habits
    findings: list[Finding] = field(default_factory=list)

    @property
    def is_good(self) -> bool:
        """Whether nothing read so far was an error."""
        return not any(finding.is_error for finding in self.findings)

    def cell(self, field_name: str) -> RawCell:
        """The raw cell of a field, None where it is empty or has no column."""
        index = self.match.index(field_name)
        return self.row.cells[index] if index is not None and index < len(self.row.cells) else None

    def text(self, field_name: str) -> str:
        """The cell of a field as text."""
        return cell_text(self.cell(field_name))

    def decimal(self, field_name: str) -> str | None:
        """The decimal mark that holds for a cell: a spreadsheet's own numbers have the point."""
        return "." if isinstance(self.cell(field_name), int | float) else self.habits.decimal

    def add(self, code: str, severity: Severity, field_name: str | None, problem: str, remedy: str) -> None:
        """A finding about a field of this row, or about the row."""
        read = read_text(self.cell(field_name)) if field_name else ""
        self.findings.append(
            Finding(code, severity, self.file, self.row.number, field_name, read, problem, remedy)
        )

    def fail(self, code: str, field_name: str | None, problem: str, remedy: str) -> None:
        """An error, which leaves the row out."""
        self.add(code, Severity.ERROR, field_name, problem, remedy)

    def read(self, field_name: str, reader: Callable[[str], T], *, required: bool = False) -> T | None:
        """What ``reader`` makes of a field's text; None where it is empty or at fault, which is noted."""
        cell = self.cell(field_name)
        if cell is None:
            if required:
                self.fail(
                    f"{field_name}-missing",
                    field_name,
                    "is empty",
                    sentence("Write the {field}", field=_spoken(field_name)),
                )
            return None
        if isinstance(cell, date) and field_name != "due":
            self.fail(
                f"{field_name}-unreadable",
                field_name,
                "is a day, perhaps made by the spreadsheet from something like 1/16 or 3-4",
                "Format the column as text and write the value again",
            )
            return None
        if isinstance(cell, str) and cell.upper() in _FAILURES:
            self.fail(
                f"{field_name}-unreadable",
                field_name,
                "is a formula without a value",
                "Mend the formula, or write the value in its place, and save the file again",
            )
            return None
        try:
            return reader(cell_text(cell))
        except UnreadableText as fault:
            kind = "unit-missing" if isinstance(fault, UnitMissing) else "unreadable"
            self.fail(f"{field_name}-{kind}", field_name, fault.problem, with_capital(fault.remedy))
        except UnknownName as fault:
            remedy = _TAUGHT.get(fault.kind, _TAUGHT_ELSE)
            if fault.near:
                near = either(fault.near)
                remedy = sentence("Did you mean {near}? Else {remedy}", near=near, remedy=remedy)
            else:
                remedy = with_capital(remedy)
            self.fail(
                f"{field_name}-unknown",
                field_name,
                sentence("is no {kind} that is known", kind=Told(fault.kind)),
                remedy,
            )
        except InvalidValue as fault:
            self.fail(f"{field_name}-unreadable", field_name, fault.said, "Check its sizes")
        return None

    def length(self, field_name: str) -> ParsedLength | None:
        """The length in a required field, bare numbers in the unit of the row, the heading or the file."""
        bare = self.bare_unit(field_name)
        decimal = self.decimal(field_name)
        return self.read(
            field_name, lambda text: parse_length(text, bare=bare, decimal=decimal), required=True
        )

    def bare_unit(self, field_name: str) -> Unit | None:
        """The unit of a bare length: that of the row's unit column, of the heading, or of the file."""
        of_heading = self.match.columns[field_name].unit if field_name in self.match.columns else None
        of_row = self.read("unit", _unit)
        if of_row and of_heading and of_row is not of_heading:
            self.fail(
                "unit-unreadable",
                "unit",
                sentence("contradicts the heading, which says {of_heading}", of_heading=of_heading),
                "Take one of them out",
            )
        return of_row or of_heading or self.habits.bare

    def quantity(self, field_name: str) -> int | None:
        """The whole number of pieces in a required field."""
        decimal = self.decimal(field_name)
        return self.read(field_name, lambda text: parse_quantity(text, decimal=decimal), required=True)

    def day(self, field_name: str) -> date | None:
        """The day in a field: a spreadsheet's day, its bare day number (with a warning) or text."""
        cell = self.cell(field_name)
        if isinstance(cell, date):
            return self.read(field_name, lambda text: parse_date(text))
        if isinstance(cell, int) and cell in _SERIAL_DAYS:
            day = _DAY_ZERO + timedelta(days=cell)
            self.add(
                "due-as-number",
                Severity.WARNING,
                field_name,
                sentence("is a bare number and was read as the spreadsheet's day {day}", day=day.isoformat()),
                "Format the column as a date",
            )
            return day
        return self.read(field_name, lambda text: parse_date(text, order=self.habits.date_order))

    def name(self, field_name: str) -> str:
        """A name or number that stands as written (mark, heat, place), in one line."""
        return self.read(field_name, lambda text: _one_line(text, _LONGEST_NAME)) or ""

    def note(self, field_name: str) -> str:
        """Free words in one line."""
        return self.read(field_name, lambda text: _one_line(text, _LONGEST_NOTE)) or ""


def _one_line(text: str, longest: int) -> str:
    line = " ".join("".join(character if character.isprintable() else " " for character in text).split())
    if len(line) > longest:
        raise UnreadableText(
            line[:60],
            sentence("is {count} characters long", count=len(line)),
            sentence("write at most {longest}", longest=longest),
        )
    return line


def _unit(text: str) -> Unit:
    unit = unit_named(text) if len(text) <= 20 else None
    if unit is None:
        raise UnreadableText(text[:60], "is no unit of length", "write mm, cm, m, in or ft")
    return unit


def _spoken(field_name: str) -> Told:
    return Told(field_name.replace("_", " "))
