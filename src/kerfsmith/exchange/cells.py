"""A table as it stands in a file, before anything in it is understood."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from kerfsmith.errors import Finding
from kerfsmith.units.text import shown

RawCell = str | int | float | date | None
"""Text as written (never blank), a spreadsheet's number or day, or None for an empty cell."""

MOST_BYTES = 20 * 1024 * 1024
MOST_ROWS = 200_000
MOST_COLUMNS = 200
_FORMULA_STARTS = ("=", "+", "-", "@")


@dataclass(frozen=True, slots=True)
class RawRow:
    """One row; ``number`` is the one its spreadsheet shows, the first row of the file being 1."""

    number: int
    cells: tuple[RawCell, ...]

    @property
    def is_blank(self) -> bool:
        """Whether no cell holds anything."""
        return all(cell is None for cell in self.cells)

    def texts(self) -> tuple[str, ...]:
        """All cells as text."""
        return tuple(cell_text(cell) for cell in self.cells)


@dataclass(frozen=True, slots=True)
class RawTable:
    """All rows of one sheet or text file ``name``, blank ones included, with what was found on the way.

    ``sheet`` is the sheet's name in a workbook; ``delimiter`` what parts the cells of a text file. Each is
    None for the other kind. ``unpaired`` holds the numbers of rows whose quotes don't pair.
    """

    name: str
    rows: tuple[RawRow, ...]
    findings: tuple[Finding, ...] = ()
    sheet: str | None = None
    delimiter: str | None = None
    unpaired: frozenset[int] = frozenset()


def cell_text(cell: RawCell) -> str:
    """The cell as a person would write it: ``2450.0`` as ``2450``, a day as 2026-12-01, empty as nothing."""
    if cell is None:
        return ""
    if isinstance(cell, float):
        return number_text(cell)
    return cell.isoformat() if isinstance(cell, date) else str(cell)


def number_text(number: float) -> str:
    """A spreadsheet's number in plain digits, to the fifteen figures that a spreadsheet holds."""
    text = f"{Decimal(f'{number:.15g}'):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def text_cell(text: str) -> RawCell:
    """Text as a cell: outer blanks off and the shield of :func:`shielded` too, None where nothing is left."""
    bare = text.strip(" \t\r\n\u00a0\ufeff")
    return (bare[1:] if bare[:1] == "'" and bare[1:2] in _FORMULA_STARTS else bare) or None


def shielded(text: str) -> str:
    """Text that a spreadsheet would work out as a formula, with an apostrophe in front; else as it is."""
    starts = text.lstrip()[:1]
    return "'" + text if (starts and starts in _FORMULA_STARTS) or (text[:1] in "\t\r\n" and text) else text


def read_text(cell: RawCell) -> str:
    """The cell as it stands in a finding."""
    return shown(cell_text(cell))
