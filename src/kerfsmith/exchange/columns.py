"""Where each field of a list stands in one file, and how sure that is."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.units.length import Unit

SECTION_PARTS = ("shape", "size", "diameter", "width", "height", "thickness", "wall", "schedule")
"""Fields that together say what the section is, where it has no column of its own."""
HARMLESS = frozenset({"mark", "notes", "order", "customer", "place"})
"""Fields where taking the wrong one of two columns cuts nothing wrong: the first is taken, with a warning."""


class Confidence(StrEnum):
    """How sure it is which column holds a field."""

    SURE = "sure"
    UNSURE = "unsure"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class Column:
    """Where one field stands: ``index`` from 0, or None; ``unit`` where the heading names one.

    ``detail`` is what else the heading says in brackets or after a slash (``per kg``). ``alternatives`` are
    the other columns that could hold the field, the best first.
    """

    field: str
    index: int | None
    heading: str
    confidence: Confidence
    reason: str
    alternatives: tuple[int, ...] = ()
    unit: Unit | None = None
    detail: str = ""


@dataclass(frozen=True, slots=True)
class ColumnMatch:
    """The heading row and the column of each field.

    ``heading_row`` is its number in the file, None where there is none. ``samples`` are the first rows under
    it, for a person who matches the columns himself.
    """

    heading_row: int | None
    headings: tuple[str, ...]
    columns: Mapping[str, Column]
    unused: tuple[int, ...] = ()
    samples: tuple[tuple[str, ...], ...] = ()

    def has(self, field: str) -> bool:
        """Whether a column is known for ``field``."""
        return self.columns[field].index is not None if field in self.columns else False

    def index(self, field: str) -> int | None:
        """Column of ``field`` from 0, or None."""
        return self.columns[field].index if field in self.columns else None
