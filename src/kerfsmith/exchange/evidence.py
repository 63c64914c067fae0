"""What a whole file shows about how its numbers and days are written, so that no cell has to be guessed.

One cell that can mean one thing only, such as ``12,5`` or ``13/01/2026``, settles it for the cells of the
same file that could mean two. Where nothing settles it, or two cells contradict, those cells are findings.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction

from kerfsmith.errors import UnreadableText
from kerfsmith.exchange.cells import RawCell
from kerfsmith.units.number_text import readings
from kerfsmith.units.parse import DateOrder, parse_date
from kerfsmith.units.text import LONGEST_TEXT

_NUMBERS = re.compile(r"(?<![\d.,/])\d[\d.,]*\d(?![\d.,/])", re.ASCII)


def decimal_mark(
    numbers: Sequence[RawCell], sections: Sequence[RawCell], delimiter: str | None
) -> tuple[str, str] | None:
    """The decimal mark of a file and what shows it; None where nothing does or two things contradict.

    Clear numbers speak first, then sizes in sections (designations such as W310x38.7 keep their point in
    every country), and where neither says anything the delimiter: a program whose decimal mark is the comma
    does not part its cells by commas, and numbers with commas alone are why one parts them by semicolons.
    """
    for cells in (numbers, sections):
        clear = _clear_numbers(cells)
        if clear:
            return next(iter(clear.items())) if len(clear) == 1 else None
    unclear = [
        token for cell in (*numbers, *sections) for token in _tokens(cell) if len(readings(token)) == 2
    ]
    if delimiter == ",":
        return ".", "a file whose cells are parted by commas"
    if (
        delimiter == ";"
        and unclear
        and not any("." in token for token in unclear)
        and "," in "".join(unclear)
    ):
        return ",", "a file with commas in its numbers and semicolons between its cells"
    return None


def _clear_numbers(cells: Iterable[RawCell]) -> dict[str, str]:
    """The decimal marks that numbers of one meaning show, each with the first number that shows it."""
    shown_by: dict[str, str] = {}
    for cell in cells:
        for token in _tokens(cell):
            found = readings(token)
            # 1.190.500 shows that its points are thousands marks as surely as 12,5 shows a decimal comma.
            if len(found) == 1 and {".", ","} & set(token):
                shown_by.setdefault(next(iter(found)), token)
    return shown_by


def unclear_number(cells: Iterable[RawCell]) -> str | None:
    """The first number among ``cells`` that means one thing with a decimal point and another with a comma."""
    for cell in cells:
        for token in _tokens(cell):
            found = readings(token)
            if len(found) == 2 and len({Fraction(value) for value in found.values()}) == 2:
                return token
    return None


def date_order(cells: Iterable[RawCell]) -> tuple[DateOrder, str] | None:
    """Which comes first in days like 13/01/2026, and one that shows it; None where they don't agree."""
    shown_by: dict[DateOrder, str] = {}
    for cell in cells:
        days = _days(cell)
        if len(set(days.values())) == 1 and isinstance(cell, str):
            day = days[DateOrder.DAY_FIRST]
            if day.day != day.month:
                first = int(re.split(r"\D", cell.strip(), maxsplit=1)[0])
                order = DateOrder.DAY_FIRST if first == day.day else DateOrder.MONTH_FIRST
                shown_by.setdefault(order, cell)
    return next(iter(shown_by.items())) if len(shown_by) == 1 else None


def unclear_day(cells: Iterable[RawCell]) -> str | None:
    """The first day among ``cells`` that is one day with the day first and another with the month first."""
    return next((str(cell) for cell in cells if len(set(_days(cell).values())) == 2), None)


def _tokens(cell: RawCell) -> list[str]:
    return _NUMBERS.findall(cell) if isinstance(cell, str) and len(cell) <= LONGEST_TEXT else []


def _days(cell: RawCell) -> dict[DateOrder, date]:
    """The day a text means under each order; empty where it has no two numbers to put in order."""
    if not isinstance(cell, str) or not re.match(r"\s*\d{1,2} ?[/-] ?\d{1,2} ?[/-]", cell, re.ASCII):
        return {}
    try:
        return {order: parse_date(cell, order=order) for order in DateOrder}
    except UnreadableText:
        return {}
