"""What a row says its pieces may be cut from instead: several of each parted by semicolons or ``or``."""

import re
from collections.abc import Callable, Iterable
from typing import TypeVar

from kerfsmith.catalog.section import Section
from kerfsmith.errors import Severity, UnknownName, UnreadableText
from kerfsmith.exchange.grade_cells import GradeReader, GradeReading
from kerfsmith.exchange.row_reader import RowReader
from kerfsmith.exchange.section_cells import SectionReader
from kerfsmith.units.told import Told, either, sentence

T = TypeVar("T")
_BETWEEN = re.compile(r";|\bor\b", re.IGNORECASE)


class SubstituteCells:
    """Reads the substitutes of one list; what is to be told is told at the first row it holds for."""

    def __init__(self, read_grade: GradeReader, read_section: SectionReader) -> None:
        self._read_grade = read_grade
        self._read_section = read_section
        self._told: set[str] = set()

    def grades(self, row: RowReader, ordered: str | None) -> tuple[str, ...]:
        """The grades that may be taken instead; none with a finding."""
        readings = row.read("or_grade", lambda text: _each(text, self._read_grade)) or ()
        for reading in readings:
            self._tell_reading(row, reading)
        return self._others(row, "or_grade", (reading.name for reading in readings), ordered)

    def sections(self, row: RowReader, ordered: Section | None) -> tuple[Section, ...]:
        """The sections that may be taken instead; none with a finding. A smaller one is told of."""
        column = row.match.columns.get("or_section")
        bare = (column.unit if column else None) or row.habits.bare
        decimal = row.decimal("or_section")

        def reader(text: str) -> Section:
            return self._read_section(text, bare=bare, decimal=decimal)

        found = row.read("or_section", lambda text: _each(text, reader)) or ()
        others = self._others(row, "or_section", found, ordered)
        for section in others:
            if ordered is not None:
                self._tell_section(row, section, ordered)
        return others

    def _others(self, row: RowReader, field: str, found: Iterable[T], ordered: T | None) -> tuple[T, ...]:
        """Each once, without what is ordered."""
        given = list(found)
        others = tuple(dict.fromkeys(one for one in given if one != ordered))
        if len(others) < len(given):
            self._tell(
                row,
                "substitute-needless",
                field,
                "names what is ordered, or one thing twice; that says nothing new",
                "Nothing, if no other was meant",
            )
        return others

    def _tell_reading(self, row: RowReader, reading: GradeReading) -> None:
        if reading.caution:
            remedy = Told("Check that this grade will do, here and in every row below that names it")
            self._tell(row, "grade-nearest", "or_grade", reading.caution, remedy, Severity.WARNING)
        if reading.note:
            self._tell(row, "grade-words", "or_grade", reading.note, "Nothing, unless those words matter")

    def _tell_section(self, row: RowReader, section: Section, ordered: Section) -> None:
        mine, theirs = section.shape.outline().area_mm2, ordered.shape.outline().area_mm2
        if type(section.shape) is not type(ordered.shape):
            problem = sentence(
                "{section} is another shape than {ordered}; it is taken as the list says",
                section=section.name,
                ordered=ordered.name,
            )
        elif mine < theirs:
            smaller = 100 * (1 - mine / theirs)
            problem = sentence(
                "{section} has {smaller} % less section than {ordered}; it is taken even so",
                section=section.name,
                smaller=f"{smaller:.0f}",
                ordered=ordered.name,
            )
        else:
            return
        self._tell(row, "substitute-smaller", "or_section", problem, "Check that the order allows it")

    def _tell(
        self,
        row: RowReader,
        code: str,
        field: str,
        problem: str,
        remedy: str,
        severity: Severity = Severity.NOTE,
    ) -> None:
        if (key := f"{code} {field} {problem}") not in self._told:
            self._told.add(key)
            row.add(code, severity, field, problem, remedy)


def _each(text: str, read: Callable[[str], T]) -> tuple[T, ...]:
    """What ``read`` makes of each part of a cell.

    Raises UnreadableText naming the part that can't be read or isn't known.
    """
    return tuple(_part(part.strip(), read) for part in _BETWEEN.split(text) if part.strip())


def _part(part: str, read: Callable[[str], T]) -> T:
    try:
        return read(part)
    except UnknownName as fault:
        remedy = Told("write it another way, or add it to the catalog")
        if fault.near:
            remedy = sentence("write {near}, or add it to the catalog", near=either(fault.near))
        raise UnreadableText(
            part,
            sentence(
                "names {name}, which is no {kind} that is known", name=f"{part[:60]!r}", kind=Told(fault.kind)
            ),
            remedy,
        ) from fault
