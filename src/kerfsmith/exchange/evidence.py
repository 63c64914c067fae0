"""What a whole file shows about how its numbers and days are written, so that no cell has to be guessed.

One cell that can mean one thing only, such as ``12,5`` or ``13/01/2026``, settles it for the cells of the
same file that could mean two. Where nothing settles it, or two cells contradict, those cells are findings.
"""

import re
from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from kerfsmith.errors import UnreadableText
from kerfsmith.exchange.cells import RawCell
from kerfsmith.units.number_text import readings
from kerfsmith.units.parse import DateOrder, parse_date
from kerfsmith.units.text import LONGEST_TEXT

_NUMBERS = re.compile(r"(?<![\d.,/])\d[\d.,]*\d(?![\d.,/])", re.ASCII)


def decimal_mark(cells: Iterable[RawCell]) -> tuple[str, str] | None:
    """The decimal mark that the texts among ``cells`` agree on, and one that shows it; None where they don't.

    Numbers of a spreadsheet have no mark and say nothing; neither does ``1,190``, which could be either.
    """
    shown_by: dict[str, str] = {}
    for cell in cells:
        for token in _tokens(cell):
            found = readings(token)
            # 1.190.500 shows that its points are thousands marks as surely as 12,5 shows a decimal comma.
            if len(found) == 1 and {".", ","} & set(token):
                shown_by.setdefault(next(iter(found)), token)
    return next(iter(shown_by.items())) if len(shown_by) == 1 else None


def unclear_number(cells: Iterable[RawCell]) -> str | None:
    """The first number among ``cells`` that means one thing with a decimal point and another with a comma."""
    for cell in cells:
        for token in _tokens(cell):
            if len({Fraction(value) for value in readings(token).values()}) == 2:
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
