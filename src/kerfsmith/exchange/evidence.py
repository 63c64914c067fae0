"""What a whole file shows about how its numbers and days are written, so that no cell has to be guessed.

One cell that can mean one thing only, such as ``12,5`` or ``13/01/2026``, settles it for the cells of the
same file that could mean two. Where nothing settles it, or two cells contradict, those cells are findings.
"""

import re
from collections.abc import Iterable
from fractions import Fraction

from kerfsmith.errors import UnreadableText
from kerfsmith.exchange.cells import RawCell
from kerfsmith.units.number_text import readings
from kerfsmith.units.parse import DateOrder, parse_date
from kerfsmith.units.text import LONGEST_TEXT

_NUMBERS = re.compile(r"(?<![\d.,/])\d[\d.,]*\d(?![\d.,/])", re.ASCII)


def decimal_mark(cells: Iterable[RawCell]) -> str | None:
    """The decimal mark that the texts among ``cells`` agree on, None where none or both show.

    Numbers of a spreadsheet have no mark and say nothing; neither does ``1,190``, which could be either.
    """
    shown_marks: set[str] = set()
    for cell in cells:
        if isinstance(cell, str) and len(cell) <= LONGEST_TEXT:
            for token in _NUMBERS.findall(cell):
                shown_marks |= _mark_of(token)
    return shown_marks.pop() if len(shown_marks) == 1 else None


def _mark_of(token: str) -> set[str]:
    """The one mark under which ``token`` is a number; empty where it has no mark or could have either."""
    found = readings(token)
    marks = set(found)
    if len(marks) == 2 or not marks or not ({".", ","} & set(token)):
        return set()
    mark = marks.pop()
    # 1.190.500 shows that its points are thousands marks as surely as 12,5 shows a decimal comma.
    whole = Fraction(found[mark]).denominator == 1 and mark not in token
    return {mark} if mark in token or whole else set()


def date_order(cells: Iterable[RawCell]) -> DateOrder | None:
    """Which comes first in the days written like 13/01/2026, None where none shows it or two contradict."""
    shown_orders: set[DateOrder] = set()
    for cell in cells:
        if not isinstance(cell, str) or not re.match(r"\s*\d{1,2} ?[/-]", cell, re.ASCII):
            continue
        try:
            by_order = {order: parse_date(cell, order=order) for order in DateOrder}
        except UnreadableText:
            continue
        if len(set(by_order.values())) == 1:
            first = int(re.match(r"\s*(\d+)", cell, re.ASCII)[1])  # type: ignore[index]  # matched above
            day = by_order[DateOrder.DAY_FIRST]
            if day.day != day.month:
                shown_orders.add(DateOrder.DAY_FIRST if first == day.day else DateOrder.MONTH_FIRST)
    return shown_orders.pop() if len(shown_orders) == 1 else None
