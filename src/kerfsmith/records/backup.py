"""Backup while the shop works, and restore into empty records of either database, each verified."""

import gzip
import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from sqlalchemy import Connection, Engine, Table, create_engine, func, insert, select, text
from sqlalchemy.exc import IntegrityError

from kerfsmith.records.dump import TABLES, BadBackup, Dumped, dump, revision, revision_of, rows_of
from kerfsmith.records.opening import WRITES, open_engine

_SQLITE = b"SQLite format 3\x00"
_GZIP = b"\x1f\x8b"
_BATCH = 500


def back_up(engine: Engine, file: Path) -> Dumped:
    """Write all records to ``file`` as they are at one moment, while others go on writing, and verify it.

    A name that ends in ``.sqlite`` gets a copy of the SQLite file by SQLite's own online backup; any other
    the dump that both databases can read, compressed. The file is there under its name only when it is whole
    and a restore of it has given the same records.
    Raises BadBackup when the restored records differ, or a copy is asked of PostgreSQL.
    """
    file.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=file.parent, prefix=f".{file.name}.") as folder:
        made = Path(folder) / "backup"
        if file.suffix == ".sqlite":
            done = _copy_sqlite(engine, made)
        else:
            with at_one_moment(engine) as connection, gzip.open(made, "wt", encoding="utf-8") as out:
                done = dump(connection, out.write)
        _flush(made)
        restored = restore(made, f"sqlite:///{Path(folder) / 'restored.sqlite'}")
        if restored != done:
            raise BadBackup("the backup, restored, is not what was backed up")
        made.replace(file)
    _flush(file.parent)
    return done


def restore(file: Path, url: str) -> Dumped:
    """Fill the empty records at ``url`` from a backup of either kind, all or nothing; what they hold now.

    Raises BadBackup for a file that is no whole backup, of another schema, or records that aren't empty.
    """
    with file.open("rb") as opened:
        begins = opened.read(len(_SQLITE))
    engine = open_engine(url)
    try:
        if begins == _SQLITE:
            _from_sqlite(file, engine)
        else:
            with _lines(file, begins) as lines:
                _fill(engine, lines)
        with at_one_moment(engine) as connection:
            return dump(connection, lambda _: None)
    finally:
        engine.dispose()


@contextmanager
def at_one_moment(engine: Engine) -> Iterator[Connection]:
    """A reading transaction that sees the records as they are when it begins, whoever writes meanwhile."""
    with engine.connect() as connection:
        if connection.dialect.name == "postgresql":
            connection = connection.execution_options(
                isolation_level="REPEATABLE READ", postgresql_readonly=True
            )
        with connection.begin():
            yield connection


def _copy_sqlite(engine: Engine, made: Path) -> Dumped:
    """SQLite's online backup. What it holds is told from the copy, since the records go on changing."""
    if engine.dialect.name != "sqlite":
        raise BadBackup("only records in a SQLite file can be copied to a .sqlite file")
    with engine.connect() as connection, sqlite3.connect(made) as copy:
        driver = connection.connection.driver_connection
        assert isinstance(driver, sqlite3.Connection), "SQLite's own driver"
        driver.backup(copy)  # in one step, which no writer can make begin again
        copy.execute("PRAGMA journal_mode=DELETE")
    copy.close()
    opened = create_engine(f"sqlite:///{made}")
    try:
        with at_one_moment(opened) as connection:
            return dump(connection, lambda _: None)
    finally:
        opened.dispose()


@contextmanager
def _lines(file: Path, begins: bytes) -> Iterator[IO[str]]:
    opener = gzip.open if begins.startswith(_GZIP) else open
    try:
        with opener(file, "rt", encoding="utf-8") as lines:
            yield lines
    except (EOFError, gzip.BadGzipFile, UnicodeDecodeError) as error:
        raise BadBackup(f"the backup is damaged: {error}") from error


def _from_sqlite(file: Path, engine: Engine) -> None:
    """Restore from a SQLite file by way of the dump, so that it can go to either database."""
    source = create_engine(f"sqlite:///{file}")
    try:
        with at_one_moment(source) as connection, tempfile.TemporaryFile("w+", encoding="utf-8") as lines:
            dump(connection, lines.write)
            lines.seek(0)
            _fill(engine, lines)
    finally:
        source.dispose()


def _fill(engine: Engine, lines: IO[str]) -> None:
    first = lines.readline()
    with engine.connect() as connection:
        connection = connection.execution_options(**{WRITES: True})
        with connection.begin():
            if revision_of(first) != revision(connection):
                raise BadBackup(
                    f"the backup has schema {revision_of(first)}, the records {revision(connection)}:"
                    " restore it with the program it was made by, then open it with this one"
                )
            _refuse_full(connection)
            with _triggers_off(connection):
                _insert(connection, _chain(first, lines))
            _set_counters(connection)


def _chain(first: str, lines: IO[str]) -> Iterator[str]:
    yield first
    yield from lines


def _refuse_full(connection: Connection) -> None:
    for table in TABLES:
        if connection.execute(select(table).limit(1)).first() is not None:
            raise BadBackup(f"the records to restore to aren't empty: there are rows in {table.name}")


def _insert(connection: Connection, lines: Iterator[str]) -> None:
    waiting: list[dict[str, object]] = []
    of: Table | None = None
    for table, row in rows_of(lines):
        if of is not None and (table is not of or len(waiting) >= _BATCH):
            _put(connection, of, waiting)
            waiting = []
        of = table
        waiting.append(row)
    if of is not None and waiting:
        _put(connection, of, waiting)


def _put(connection: Connection, table: Table, rows: list[dict[str, object]]) -> None:
    try:
        connection.execute(insert(table), rows)
    except IntegrityError as error:
        raise BadBackup(
            f"the backup has been changed or is damaged: its rows of {table.name} contradict the others"
        ) from error


@contextmanager
def _triggers_off(connection: Connection) -> Iterator[None]:
    """Rows are put back as they were: nothing is booked a second time. Constraints stay in force."""
    if connection.dialect.name == "postgresql":
        for table in TABLES:
            connection.execute(text(f"ALTER TABLE {table.name} DISABLE TRIGGER USER"))
        yield
        for table in TABLES:
            connection.execute(text(f"ALTER TABLE {table.name} ENABLE TRIGGER USER"))
        return
    named = text("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    triggers = connection.execute(named).all()
    for trigger in triggers:
        connection.execute(text(f"DROP TRIGGER {trigger.name}"))
    yield
    for trigger in triggers:
        connection.exec_driver_sql(trigger.sql)


def _set_counters(connection: Connection) -> None:
    """Have PostgreSQL count on from the highest number; SQLite does so by itself."""
    if connection.dialect.name != "postgresql":
        return
    for table in TABLES:
        column = table.autoincrement_column
        if column is None or column.name != "number":
            continue
        highest = connection.scalar(select(func.max(column)))
        if highest is not None:
            sequence = text("SELECT setval(pg_get_serial_sequence(:table, 'number'), :highest)")
            connection.execute(sequence, {"table": table.name, "highest": highest})


def _flush(path: Path) -> None:
    """Have the disk keep what was written."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
