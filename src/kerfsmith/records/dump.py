"""Records as lines of JSON: the same from SQLite and from PostgreSQL, and read back into either.

The first line says what it is and of which schema; then comes one line for each row,
``[table, {column: value}]``, table after table in an order that every foreign key allows, rows by their keys;
the last line has each table's count and the SHA-256 of all lines before it.
"""

import base64
import hashlib
import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import (
    JSON,
    Column,
    ColumnElement,
    Connection,
    Date,
    LargeBinary,
    Numeric,
    String,
    Table,
    select,
    text,
)

from kerfsmith.errors import KerfsmithError
from kerfsmith.records.all_tables import metadata
from kerfsmith.records.tables import UtcTime

FORMAT = "kerfsmith records"
TABLES: tuple[Table, ...] = tuple(metadata.sorted_tables)
_PRICE_PLACES = Decimal("0.0001")


class BadBackup(KerfsmithError):
    """The file is no whole backup, or of a schema that this program doesn't know."""


@dataclass(frozen=True, slots=True)
class Dumped:
    """What a backup holds: rows of each table, and the SHA-256 of its lines."""

    counts: dict[str, int]
    digest: str

    @property
    def rows(self) -> int:
        """All rows."""
        return sum(self.counts.values())


def revision(connection: Connection) -> str:
    """The schema's revision."""
    return str(connection.scalar(text("SELECT version_num FROM alembic_version")))


def dump(connection: Connection, write: Callable[[str], object]) -> Dumped:
    """Write all records of one transaction; ``connection`` must see them as they are at one moment."""
    digest = hashlib.sha256()
    counts = dict.fromkeys((table.name for table in TABLES), 0)

    def line(value: object) -> None:
        told = json.dumps(value, ensure_ascii=False, separators=(",", ":")) + "\n"
        digest.update(told.encode())
        write(told)

    line({"format": FORMAT, "revision": revision(connection)})
    for table in TABLES:
        rows = connection.execution_options(yield_per=500).execute(
            select(table).order_by(*(_ordered(connection, column) for column in table.primary_key.columns))
        )
        for row in rows.mappings():
            counts[table.name] += 1
            line([table.name, {column.name: _told(column, row[column.name]) for column in table.columns}])
    done = Dumped(counts, digest.hexdigest())
    write(json.dumps({"counts": counts, "sha256": done.digest}, sort_keys=True) + "\n")
    return done


def _ordered(connection: Connection, column: Column[Any]) -> ColumnElement[Any]:
    """A key to sort by in the order of its characters, whatever language PostgreSQL was set up in."""
    if connection.dialect.name == "postgresql" and isinstance(column.type, String):
        return column.collate("C")
    return column


def rows_of(lines: Iterable[str]) -> Iterator[tuple[Table, dict[str, Any]]]:
    """Rows of a dump, in its order. Raises BadBackup at its end when the dump isn't whole."""
    by_name = {table.name: table for table in TABLES}
    digest = hashlib.sha256()
    counts = dict.fromkeys(by_name, 0)
    for number, line in enumerate(lines):
        value = _parsed(line, number)
        if number == 0:
            if not isinstance(value, dict) or value.get("format") != FORMAT:
                raise BadBackup("this is no backup of Kerfsmith's records")
        elif isinstance(value, dict):
            if value.get("sha256") != digest.hexdigest() or value.get("counts") != counts:
                raise BadBackup("the backup has been changed or is damaged: its checksum doesn't fit")
            return
        else:
            table, row = _row(by_name, value, number)
            counts[table.name] += 1
            yield table, row
        digest.update(line.encode())
    raise BadBackup("the backup is not whole: its last line is missing")


def revision_of(first_line: str) -> str:
    """The schema's revision that a dump was made of. Raises BadBackup for a file that is no dump."""
    value = _parsed(first_line, 0)
    if not isinstance(value, dict) or value.get("format") != FORMAT:
        raise BadBackup("this is no backup of Kerfsmith's records")
    return str(value.get("revision"))


def _parsed(line: str, number: int) -> Any:
    try:
        return json.loads(line)
    except json.JSONDecodeError as error:
        raise BadBackup(f"line {number + 1} of the backup can't be read: {error}") from error


def _row(by_name: dict[str, Table], value: Any, number: int) -> tuple[Table, dict[str, Any]]:
    match value:
        case [str(name), dict(told)] if name in by_name:
            table = by_name[name]
            columns = table.columns
            if set(told) != {column.name for column in columns}:
                raise BadBackup(f"line {number + 1} of the backup has other columns than table {name}")
            return table, {column.name: _read(column, told[column.name]) for column in columns}
    raise BadBackup(f"line {number + 1} of the backup is no row of a known table")


def _told(column: Column[Any], value: Any) -> Any:
    if value is None or isinstance(column.type, JSON):
        return value
    if isinstance(column.type, LargeBinary):
        return base64.b64encode(value).decode()
    if isinstance(column.type, UtcTime):
        return value.astimezone(UTC).isoformat()
    if isinstance(column.type, Date):
        return value.isoformat()
    if isinstance(column.type, Numeric) and isinstance(value, Decimal):
        return str(value.quantize(_PRICE_PLACES))
    return value


def _read(column: Column[Any], told: Any) -> Any:
    if told is None or isinstance(column.type, JSON):
        return told
    if isinstance(column.type, LargeBinary):
        return base64.b64decode(told)
    if isinstance(column.type, UtcTime):
        return datetime.fromisoformat(told)
    if isinstance(column.type, Date):
        return date.fromisoformat(told)
    if isinstance(column.type, Numeric) and isinstance(told, str):
        return Decimal(told)
    return told
