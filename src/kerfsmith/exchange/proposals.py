"""Which unread column looks most like a field that has none: a proposal for a person, never a decision."""

import re
from collections.abc import Iterable

from kerfsmith.errors import UnreadableText
from kerfsmith.exchange.cells import RawTable
from kerfsmith.units.length_text import has_unit
from kerfsmith.units.parse import Unit, parse_length, parse_quantity

_ROWS_LOOKED_AT = 20


def ranked(field: str, table: RawTable, start: int, indices: Iterable[int]) -> tuple[int, ...]:
    """``indices`` of columns by how much their first cells from row index ``start`` look like ``field``.

    Columns with nothing like it in them are left out; of equals the left one comes first.
    """
    likeness = {index: _likeness(field, table, start, index) for index in indices}
    return tuple(
        sorted((index for index in likeness if likeness[index] > 0), key=lambda index: -likeness[index])
    )


def _likeness(field: str, table: RawTable, start: int, index: int) -> float:
    texts = [
        text
        for row in table.rows[start : start + _ROWS_LOOKED_AT]
        if index < len(row.cells) and (text := row.texts()[index])
    ]
    return sum(_text_likeness(field, text) for text in texts) / len(texts) if texts else 0.0


def _text_likeness(field: str, text: str) -> float:
    """From 0, nothing like it, to 1, hardly anything else."""
    if field == "length":
        return 0.0 if not _reads_as_length(text) else 1.0 if has_unit(text) else 0.5 if len(text) > 2 else 0.2
    if field in ("quantity", "count"):
        return 0.0 if not _reads_as_count(text) else 0.8 if len(text) < 3 else 0.3
    if _reads_as_length(text) and has_unit(text):
        return 0.0
    letters, digits = re.search(r"[^\W\d]", text) is not None, re.search(r"\d", text) is not None
    if field == "section":
        has_sizes = re.search(r"\d\s*[x×*]\s*\d", text, re.IGNORECASE) is not None
        return 1.0 if has_sizes else 0.6 if letters and digits and " " in text.strip() else 0.2 * letters
    return 0.0 if re.search(r"\d\s*[x×*]\s*\d", text) else 0.5 * letters + 0.2 * digits


def _reads_as_length(text: str) -> bool:
    try:
        parse_length(text, bare=Unit.MM)
    except UnreadableText:
        return False
    return True


def _reads_as_count(text: str) -> bool:
    try:
        parse_quantity(text)
    except UnreadableText:
        return False
    return True
