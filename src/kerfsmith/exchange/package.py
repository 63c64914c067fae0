"""The zip package of a workbook, unpacked within limits and looked over before a reader touches it.

A workbook of some kilobytes can ask for terabytes: packed zeros, or one cell at the far corner of a sheet,
which a reader answers with a table for all cells before it. Each part is therefore unpacked up to a limit,
its XML read through once, and a fresh package made of the parts that were looked at.
"""

import io
import re
import zipfile
import zlib
from dataclasses import dataclass, field
from xml.parsers import expat

from kerfsmith.exchange.cells import MOST_COLUMNS, MOST_ROWS
from kerfsmith.units.told import sentence

MOST_UNPACKED_BYTES = 200 * 1024 * 1024
_MOST_PARTS = 2_000
_MOST_CELLS = 5_000_000
_REFERENCE = re.compile(r"([A-Z]{1,3})([1-9]\d{0,6})", re.ASCII)
_ODS_TYPE = b"application/vnd.oasis.opendocument.spreadsheet"


class PackageError(Exception):
    """The package can't be used; the message says what is the matter with it, as a phrase of a finding."""


@dataclass(slots=True)
class Package:
    """Parts of a workbook that were looked over. ``failed`` holds, for each part, the cells without a value.

    A failed cell is one whose formula gave an error or was never worked out, as (row, column) from 0.
    """

    is_ods: bool
    parts: dict[str, bytes]
    failed: dict[str, frozenset[tuple[int, int]]] = field(default_factory=dict)

    def repacked(self) -> bytes:
        """A fresh package of exactly the parts that were looked at."""
        buffer = io.BytesIO()
        with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as archive:
            for name, content in self.parts.items():
                archive.writestr(name, content)
        return buffer.getvalue()


def open_package(data: bytes) -> Package:
    """Unpack and look over a workbook. Raises PackageError."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = _unpack(archive)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError, ValueError):
        raise PackageError("is damaged or locked with a password") from None
    is_ods = parts.get("mimetype", b"").strip() == _ODS_TYPE
    if not is_ods and "xl/workbook.xml" not in parts:
        raise PackageError("is a zip file but not an XLSX or ODS workbook")
    package = Package(is_ods, parts)
    for name, content in parts.items():
        if name.endswith(".xml"):
            package.failed[name] = _look_over(content, is_ods=is_ods)
    return package


def _unpack(archive: zipfile.ZipFile) -> dict[str, bytes]:
    infos = archive.infolist()
    if len(infos) > _MOST_PARTS:
        raise PackageError(sentence("has more than {most_parts} parts", most_parts=_MOST_PARTS))
    parts: dict[str, bytes] = {}
    left = MOST_UNPACKED_BYTES
    for info in infos:
        if not (info.filename.endswith((".xml", ".rels")) or info.filename == "mimetype"):
            continue
        if info.filename in parts:
            raise PackageError("is damaged: it has a part twice")
        with archive.open(info) as stream:
            content = stream.read(left + 1)
        left -= len(content)
        if left < 0:
            raise PackageError(
                sentence(
                    "unpacks to more than {most_unpacked_bytes} MB",
                    most_unpacked_bytes=MOST_UNPACKED_BYTES // 2**20,
                )
            )
        parts[info.filename] = content
    return parts


def _look_over(content: bytes, *, is_ods: bool) -> frozenset[tuple[int, int]]:
    scan = _OdsScan() if is_ods else _XlsxScan()
    parser = expat.ParserCreate()
    parser.StartElementHandler = scan.start
    parser.EndElementHandler = scan.end
    parser.CharacterDataHandler = scan.characters
    parser.StartDoctypeDeclHandler = _refuse_doctype
    try:
        parser.Parse(content, True)
    except (expat.ExpatError, ValueError, LookupError):
        raise PackageError("is damaged: a part of it is not whole") from None
    return frozenset(scan.failed)


def _refuse_doctype(*_: object) -> None:
    raise PackageError("holds a document type, which no workbook needs")


def _local(name: str) -> str:
    return name.rpartition(":")[2]


class _Extent:
    """How far the values of a sheet reach, which is what a reader's table for it will span."""

    def __init__(self) -> None:
        self.rows = 0
        self.columns = 0

    def reach(self, row: int, column: int) -> None:
        """Take in a value at (row, column), from 0. Raises PackageError where the sheet grows too large."""
        if row >= MOST_ROWS:
            raise PackageError(
                sentence(
                    "has a value in row {row}, beyond {most_rows} rows", row=row + 1, most_rows=MOST_ROWS
                )
            )
        if column >= MOST_COLUMNS:
            raise PackageError(
                sentence(
                    "has a value in column {column}, beyond {most_columns} columns",
                    column=column + 1,
                    most_columns=MOST_COLUMNS,
                )
            )
        self.rows, self.columns = max(self.rows, row + 1), max(self.columns, column + 1)
        if self.rows * self.columns > _MOST_CELLS:
            raise PackageError(
                sentence("spreads its values over more than {most_cells} cells", most_cells=_MOST_CELLS)
            )


class _XlsxScan:
    """Follows rows and cells of a worksheet part; other parts have none and pass."""

    def __init__(self) -> None:
        self.extent = _Extent()
        self.row = -1
        self.column = -1
        self.is_cell = False
        self.is_error = False
        self.has_formula = False
        self.in_formula = False
        self.has_value = False
        self.failed: set[tuple[int, int]] = set()

    def start(self, name: str, attributes: dict[str, str]) -> None:
        tag = _local(name)
        if tag == "c":
            self.column += 1
            self._place(attributes.get("r"))
            self.is_cell, self.has_formula, self.has_value = True, False, False
            self.is_error = attributes.get("t") == "e"
        elif tag == "row":
            number = attributes.get("r")
            self.row, self.column = (int(number) - 1 if number else self.row + 1), -1
        elif self.is_cell and tag == "f":
            self.has_formula = self.in_formula = True

    def characters(self, text: str) -> None:
        """Text inside a cell and outside its formula is its value."""
        if self.is_cell and not self.in_formula and text.strip():
            self.has_value = True
            self.extent.reach(self.row, self.column)

    def end(self, name: str) -> None:
        self.in_formula = False
        if _local(name) != "c" or not self.is_cell:
            return
        self.is_cell = False
        if self.is_error or (self.has_formula and not self.has_value):
            self.extent.reach(self.row, self.column)
            self.failed.add((self.row, self.column))

    def _place(self, reference: str | None) -> None:
        if reference is None:
            return
        match = _REFERENCE.fullmatch(reference)
        if match is None:
            raise PackageError("is damaged: a cell has no place")
        self.row = int(match[2]) - 1
        column = 0
        for letter in match[1]:
            column = column * 26 + ord(letter) - ord("A") + 1
        self.column = column - 1


class _OdsScan:
    """Follows the rows and cells of a sheet, each of which may stand for many."""

    def __init__(self) -> None:
        self.extent = _Extent()
        self.row = 0
        self.row_repeats = 1
        self.column = 0
        self.last_column = -1
        self.failed: set[tuple[int, int]] = set()

    def start(self, name: str, attributes: dict[str, str]) -> None:
        tag = _local(name)
        if tag == "table":
            self.row, self.extent = 0, _Extent()
        elif tag == "table-row":
            self.row_repeats = int(attributes.get("table:number-rows-repeated", "1"))
            self.column, self.last_column = 0, -1
        elif tag in ("table-cell", "covered-table-cell"):
            self._cell(attributes)

    def end(self, name: str) -> None:
        if _local(name) == "table-row":
            self.row += max(self.row_repeats, 1)
            if self.last_column >= 0:
                self.extent.reach(self.row - 1, self.last_column)

    def characters(self, text: str) -> None:
        """The text of an ODS cell only repeats its value."""

    def _cell(self, attributes: dict[str, str]) -> None:
        repeats = int(attributes.get("table:number-columns-repeated", "1"))
        kind = attributes.get("office:value-type")
        has_formula = "table:formula" in attributes
        first, self.column = self.column, self.column + max(repeats, 1)
        if kind or has_formula:
            self.last_column = self.column - 1
            self.extent.reach(self.row, self.last_column)
        if attributes.get("calcext:value-type") == "error" or (has_formula and not kind):
            self.failed.update((self.row, column) for column in range(first, self.column))
