"""The grade of a row, with a word to the sender where his name for it is only the nearest."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from kerfsmith.errors import Severity
from kerfsmith.exchange.row_reader import RowReader
from kerfsmith.units.told import Told


@dataclass(frozen=True, slots=True)
class GradeReading:
    """The catalog's ``name`` of a grade, and what the sender should be told about the match, if anything.

    ``caution`` asks him to check it, ``note`` only tells him.
    """

    name: str
    caution: str = ""
    note: str = ""


GradeReader = Callable[[str], GradeReading]
"""Finds the grade in a text. Raises UnreadableText or UnknownName."""


class GradeCells:
    """Reads the grades of one list; what is to be told is told at the first row it holds for, not at each."""

    def __init__(self, read_grade: GradeReader) -> None:
        self._read_grade = lru_cache(read_grade)
        self._told: set[str] = set()

    def read(self, row: RowReader) -> str | None:
        """The grade's name, or None with a finding."""
        reading = row.read("grade", self._read_grade, required=True)
        if reading is None:
            return None
        if reading.caution and reading.caution not in self._told:
            self._told.add(reading.caution)
            remedy = Told("Check that this grade will do, here and in every row below that names it")
            row.add("grade-nearest", Severity.WARNING, "grade", reading.caution, remedy)
        if reading.note and reading.note not in self._told:
            self._told.add(reading.note)
            row.add("grade-words", Severity.NOTE, "grade", reading.note, "Nothing, unless those words matter")
        return reading.name
