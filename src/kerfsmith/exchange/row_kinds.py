"""What each row under the headings is: blank, a sum, the headings again, torn, or one to be read."""

import re
from enum import StrEnum

from kerfsmith.errors import Finding, Severity
from kerfsmith.exchange.cells import RawRow, RawTable
from kerfsmith.exchange.columns import ColumnMatch
from kerfsmith.exchange.heading_words import TOTAL_WORDS, fold
from kerfsmith.units.text import shown
from kerfsmith.units.told import Told

_TOTAL_HINT = re.compile(r"tot|su[mb]|gesamt|somm", re.IGNORECASE)


class RowKind(StrEnum):
    """What a row is to the reading of a list."""

    BLANK = "blank"
    HEADING = "heading"
    TOTAL = "total"
    TORN = "torn"
    ITEM = "item"


class RowSorter:
    """Sorts the rows of one table, knowing its columns."""

    def __init__(self, table: RawTable, match: ColumnMatch) -> None:
        self._table = table
        self._match = match
        self._headings = tuple(map(fold, match.headings))

    def kind(self, row: RawRow) -> RowKind:
        """The kind of ``row``."""
        if row.is_blank:
            return RowKind.BLANK
        if self._match.heading_row is not None and row.number <= self._match.heading_row:
            return RowKind.HEADING
        if row.number in self._table.unpaired or self._is_too_wide(row):
            return RowKind.TORN
        texts = row.texts()
        if self._headings and self._repeats_headings(texts):
            return RowKind.HEADING
        return RowKind.TOTAL if self._is_total(texts) else RowKind.ITEM

    def torn(self, row: RawRow) -> Finding:
        """The finding for a torn row."""
        if row.number in self._table.unpaired:
            code, problem = (
                "quotes-unpaired",
                Told("the quotes of this row don't pair, perhaps for an inch mark"),
            )
            remedy = Told("Write the inch mark twice inside quotes, or write in for it")
        else:
            code, problem = (
                "row-too-wide",
                Told("has more cells than there are headings, so that its columns may be shifted"),
            )
            remedy = Told(
                "Look for a decimal comma or a delimiter inside a cell, and put that cell in quotes"
            )
        read = shown(" | ".join(row.texts()))
        return Finding(code, Severity.ERROR, self._table.name, row.number, None, read, problem, remedy)

    def total(self, row: RawRow) -> Finding:
        """The note for a row of sums."""
        read = shown(" | ".join(filter(None, row.texts())))
        problem, remedy = (
            Told("was taken for a sum and left out"),
            Told("Nothing, if that is what it is; else complete the row"),
        )
        return Finding("total-row", Severity.NOTE, self._table.name, row.number, None, read, problem, remedy)

    def _is_too_wide(self, row: RawRow) -> bool:
        """Whether a row of a text file has cells beyond the headings, be they empty.

        An empty one too may come of ``1190,5`` in a file parted by commas, with an empty last column.
        """
        return self._table.delimiter is not None and 0 < len(self._match.headings) < len(row.cells)

    def _repeats_headings(self, texts: tuple[str, ...]) -> bool:
        """Whether the row holds the headings again, as lists printed in pages do."""
        repeated = zip(self._headings, texts, strict=False)
        return len(texts) >= len(self._headings) and all(fold(text) == heading for heading, text in repeated)

    def _is_total(self, texts: tuple[str, ...]) -> bool:
        said = [
            texts[index]
            for field in ("grade", "section", "shape")
            if (index := self._at(field, texts)) is not None
        ]
        if any(text and not _says_total(text) for text in said):
            return False
        if any(_says_total(text) for text in texts):
            return True
        mark = self._at("mark", texts)
        if (mark is not None and texts[mark]) or any(said):
            return False
        return all(re.fullmatch(r"[\d\s.,'%€$£]+(?: ?[^\W\d]{1,3})?", text) for text in texts if text)

    def _at(self, field: str, texts: tuple[str, ...]) -> int | None:
        index = self._match.index(field)
        return index if index is not None and index < len(texts) else None


def _says_total(text: str) -> bool:
    if len(text) > 60 or not _TOTAL_HINT.search(text):
        return False
    words = re.split(r"[:=]|\s\d", text.strip(), maxsplit=1)[0]
    return TOTAL_WORDS.fullmatch(fold(words)) is not None
