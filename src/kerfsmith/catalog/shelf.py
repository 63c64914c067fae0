"""A long row of sections, each drawn when it is first asked for.

A catalog holds some two thousand standard sections of which a shop uses fifty; drawing an outline takes
longer than reading its row.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import overload

from kerfsmith.catalog.section import Section


@dataclass(frozen=True, slots=True)
class SectionRow:
    """What is known of a section before it is drawn. ``draw`` makes it, the same one each time."""

    name: str
    aliases: tuple[str, ...]
    standard: str
    draw: Callable[[], Section]


class SectionShelf(Sequence[Section]):
    """The sections of ``rows`` in their order, drawn as they are taken and kept."""

    def __init__(self, rows: Iterable[SectionRow]) -> None:
        self._rows = tuple(rows)
        self._drawn: dict[int, Section] = {}

    @property
    def rows(self) -> tuple[SectionRow, ...]:
        """The rows, undrawn: names, aliases and standards for lists and searches."""
        return self._rows

    def __len__(self) -> int:
        return len(self._rows)

    @overload
    def __getitem__(self, index: int) -> Section: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[Section, ...]: ...
    def __getitem__(self, index: int | slice) -> Section | tuple[Section, ...]:
        if isinstance(index, slice):
            return tuple(self._at(each) for each in range(len(self._rows))[index])
        return self._at(range(len(self._rows))[index])

    def _at(self, index: int) -> Section:
        if index not in self._drawn:
            self._drawn[index] = self._rows[index].draw()
        return self._drawn[index]


def shelf_of(sections: Iterable[Section]) -> SectionShelf:
    """A shelf of sections that are drawn already."""
    return SectionShelf(map(row_of, sections))


def row_of(section: Section) -> SectionRow:
    """The row of a section that is drawn already."""
    return SectionRow(section.name, section.aliases, section.standard, _giver(section))


def _giver(section: Section) -> Callable[[], Section]:
    return lambda: section
