"""Records of parted cells, some of them in quotes, from text in which inch marks stand everywhere.

The quoting is that of RFC 4180: a cell in quotes may hold delimiters, line breaks and doubled quotes. A quote
inside a cell that doesn't start with one is an inch mark and stays.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kerfsmith.exchange.cells import MOST_COLUMNS

_LONGEST_QUOTED = 5_000
_LINE_END = re.compile(r"\r\n|\n|\r")


@dataclass(frozen=True, slots=True)
class Record:
    """One row's cells; where its quotes don't pair (not ``paired``), its first line parted as it stands."""

    cells: tuple[str, ...]
    paired: bool


def records(text: str, delimiter: str, most_cells: int = MOST_COLUMNS) -> Iterator[Record]:
    """All records of ``text``, empty lines too; of one with more than ``most_cells`` the rest is dropped.

    After a record whose quotes don't pair, reading goes on with the next line: rows below a stray quote
    stay rows.
    """
    plain_cell = re.compile(rf"[^{re.escape(delimiter)}\r\n]*")
    position, end = 0, len(text)
    while position < end:
        start = position
        cells: list[str] = []
        while True:
            cell, after = _cell(text, position, delimiter, plain_cell)
            if cell is None:
                cells, position = _line(text, start, delimiter, most_cells)
                yield Record(tuple(cells), paired=False)
                break
            cells.append(cell)
            if len(cells) > most_cells:
                position = _line(text, after, delimiter, 0)[1]
                yield Record(tuple(cells), paired=True)
                break
            if after < end and text[after] == delimiter:
                position = after + 1
                continue
            ending = _LINE_END.match(text, after)
            position = ending.end() if ending else end
            yield Record(tuple(cells), paired=True)
            break


def _cell(text: str, position: int, delimiter: str, plain_cell: re.Pattern[str]) -> tuple[str | None, int]:
    """The cell that starts at ``position`` and where it ends; None where its quotes don't pair."""
    opening = position
    while opening < len(text) and text[opening] == " ":
        opening += 1
    if opening == len(text) or text[opening] != '"':
        match = plain_cell.match(text, position)
        return (match[0], match.end()) if match else ("", position)
    closing = _closing_quote(text, opening)
    if closing is None:
        return None, position
    after = closing + 1
    while after < len(text) and text[after] == " ":
        after += 1
    inside = text[opening + 1 : closing]
    ends = after == len(text) or text[after] in (delimiter, "\r", "\n")
    # An inch mark that its writer didn't double closes a cell early and opens the next one late: the
    # swallowed text then holds a doubled quote before a delimiter and runs over a line's end.
    swallowed = f'""{delimiter}' in inside and _LINE_END.search(inside) is not None
    if not ends or swallowed:
        return None, position
    return inside.replace('""', '"'), after


def _closing_quote(text: str, opening: int) -> int | None:
    limit = opening + _LONGEST_QUOTED
    position = opening + 1
    while True:
        quote = text.find('"', position, limit)
        if quote < 0:
            return None
        if text[quote + 1 : quote + 2] != '"':
            return quote
        position = quote + 2


def _line(text: str, start: int, delimiter: str, most_parts: int) -> tuple[list[str], int]:
    """The line at ``start`` parted at up to so many delimiters, and where the next line starts."""
    ending = _LINE_END.search(text, start)
    stop, following = (ending.start(), ending.end()) if ending else (len(text), len(text))
    return text[start:stop].split(delimiter, most_parts), following
