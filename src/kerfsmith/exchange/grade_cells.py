"""The grade of a row, with a word to the sender where his name for it is only the nearest."""

from collections.abc import Callable
from dataclasses import dataclass

from kerfsmith.errors import Severity
from kerfsmith.exchange.row_reader import RowReader


@dataclass(frozen=True, slots=True)
class GradeReading:
    """The catalog's ``name`` of a grade, and what the sender should be told about the match, if anything."""

    name: str
    caution: str = ""


GradeReader = Callable[[str], GradeReading]
"""Finds the grade in a text. Raises UnreadableText or UnknownName."""


def read_row_grade(row: RowReader, read_grade: GradeReader) -> str | None:
    """The grade's name, or None with a finding; a caution becomes a warning."""
    reading = row.read("grade", read_grade, required=True)
    if reading is None:
        return None
    if reading.caution:
        row.add("grade-nearest", Severity.WARNING, "grade", reading.caution, "Check that this grade will do")
    return reading.name
