"""Text files with parted cells: which characters, which delimiter, which cells."""

import codecs
from collections import Counter
from collections.abc import Callable

from kerfsmith.errors import Finding, Severity
from kerfsmith.exchange.cells import MOST_COLUMNS, MOST_ROWS, RawRow, RawTable, text_cell
from kerfsmith.exchange.quoted import Record, records
from kerfsmith.units.told import Told, sentence

_DELIMITERS = (",", ";", "\t", "|")
_SAMPLE_ROWS = 200
_BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)

Recognise = Callable[[tuple[str, ...]], float]
"""How many of the looked-for headings a row of texts holds."""


def read_delimited(name: str, data: bytes, recognise: Recognise) -> RawTable:
    """The table in a CSV, TSV or like text file; faults come back as its findings.

    Rows count as in a spreadsheet: a quoted cell with line breaks in it is one row. A row whose quotes
    don't pair is kept apart as ``unpaired``, so that one stray quote can't swallow the rows below it.
    """
    text, findings = _decode(name, data)
    if text is None:
        return RawTable(name, (), findings)
    hinted, body = _delimiter_hint(text)
    delimiter = hinted or _vote(body, recognise)
    rows: list[RawRow] = [RawRow(1, (text_cell(text[: len(text) - len(body)]),))] if hinted else []
    unpaired: set[int] = set()
    for record in records(body, delimiter):
        number = len(rows) + 1
        if number > MOST_ROWS:
            return RawTable(name, (), (*findings, _too_many(name, "rows", MOST_ROWS)), None, delimiter)
        if len(record.cells) > MOST_COLUMNS:
            return RawTable(name, (), (*findings, _too_many(name, "columns", MOST_COLUMNS)), None, delimiter)
        if not record.paired:
            unpaired.add(number)
        rows.append(RawRow(number, tuple(map(text_cell, record.cells))))
    return RawTable(name, tuple(rows), findings, None, delimiter, frozenset(unpaired))


def _too_many(name: str, what: str, most: int) -> Finding:
    return Finding(
        "file-too-large",
        Severity.ERROR,
        name,
        None,
        None,
        "",
        sentence("has more than {most} {what}", most=most, what=Told(what)),
        "Split the file",
    )


def _decode(name: str, data: bytes) -> tuple[str | None, tuple[Finding, ...]]:
    for mark, encoding in _BOMS:
        if data.startswith(mark):
            return _checked(name, _try(data, encoding))
    wide = _wide_encoding(data)
    if wide:
        return _checked(name, _try(data, wide))
    text = _try(data, "utf-8")
    if text is not None:
        return _checked(name, text)
    text, findings = _checked(name, _try(data, "cp1252"))
    if text is None:
        return None, findings
    note = Finding(
        "encoding",
        Severity.NOTE,
        name,
        None,
        None,
        "",
        "is not UTF-8 and was read as Windows-1252",
        "Check letters with accents and the inch and degree marks, or save the file as UTF-8",
    )
    return text, (note,)


def _try(data: bytes, encoding: str) -> str | None:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError:
        return None


def _wide_encoding(data: bytes) -> str | None:
    """UTF-16 without its mark shows in every second byte of plain text being zero."""
    head = data[:400]
    if len(head) < 4:
        return None
    if head[1::2].count(0) > len(head) * 0.4 and head[::2].count(0) == 0:
        return "utf-16-le"
    if head[::2].count(0) > len(head) * 0.4 and head[1::2].count(0) == 0:
        return "utf-16-be"
    return None


def _checked(name: str, text: str | None) -> tuple[str | None, tuple[Finding, ...]]:
    if text is not None and not any(character < " " and character not in "\t\r\n\f\v" for character in text):
        return text, ()
    finding = Finding(
        "file-unreadable",
        Severity.ERROR,
        name,
        None,
        None,
        "",
        "is not a table in text form",
        "Save it as CSV in UTF-8, or as XLSX",
    )
    return None, (finding,)


def _delimiter_hint(text: str) -> tuple[str | None, str]:
    """A first line such as ``sep=;``, which some spreadsheets write, and the text after it."""
    for ending in ("\r\n", "\n", "\r"):
        head, found, body = text.partition(ending)
        if found and len(head) == 5 and head.lower().startswith("sep=") and head[4] in _DELIMITERS:
            return head[4], body
    return None, text


def _vote(text: str, recognise: Recognise) -> str:
    """The delimiter under which most headings are known; then the one that gives the most even rows."""
    best, best_score = _DELIMITERS[0], (-1.0, -1.0, -1)
    for delimiter in _DELIMITERS:
        sample = _sample(text, delimiter)
        widths = Counter(len(record.cells) for record in sample if any(map(text_cell, record.cells)))
        if not widths:
            continue
        width, rows = max(widths.items(), key=lambda item: (item[1] * (item[0] > 1), item[0]))
        known = max(recognise(tuple(cell.strip() for cell in record.cells)) for record in sample[:30])
        score = (known, rows / sum(widths.values()) if width > 1 else 0.0, width)
        if score > best_score:
            best, best_score = delimiter, score
    return best


def _sample(text: str, delimiter: str) -> list[Record]:
    sample: list[Record] = []
    for record in records(text, delimiter):
        sample.append(record)
        if len(sample) == _SAMPLE_ROWS:
            break
    return sample
