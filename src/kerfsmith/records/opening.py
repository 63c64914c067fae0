"""Opening the records: one engine, its pragmas, and the schema brought up to date."""

from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, create_engine, event
from sqlalchemy.exc import SQLAlchemyError

from kerfsmith.errors import InvalidValue

MIGRATIONS = Path(__file__).parent / "migrations"


WRITES = "kerfsmith_writes"
"""Option of a connection that is going to write: it waits for its turn before it reads anything."""
POOL = 8
MOST_WAITING = 64
"""Connections kept, and how many more there may be at once: each of 40 panels may be waiting for its turn."""


def open_engine(url: str) -> Engine:
    """Engine for ``url`` (sqlite:///file or postgresql+psycopg://...), its schema at the newest revision.

    Raises InvalidValue where there is no database that can be opened.
    """
    try:
        engine = make_engine(url)
        upgrade(engine)
    except (SQLAlchemyError, ImportError) as error:
        place = url.rpartition("@")[2]
        why = getattr(error, "orig", None) or error
        raise InvalidValue(
            f"the records in {place} can't be opened ({' '.join(str(why).split())}); "
            "name a SQLite file of the shop's records, or the URL of their database"
        ) from error
    return engine


def make_engine(url: str) -> Engine:
    """Engine for records whose schema is at the newest revision already."""
    # The ping lets panels find a server again that was restarted.
    engine = create_engine(url, pool_size=POOL, max_overflow=MOST_WAITING, pool_pre_ping=True)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _set_pragmas)
        event.listen(engine, "begin", _begin_for_writing)
    return engine


def _set_pragmas(connection: Any, _record: object) -> None:
    # The driver must not begin by itself: SQLAlchemy's own BEGIN below takes the write lock at once, so that
    # two writers wait for each other instead of failing half-way.
    connection.isolation_level = None
    for pragma in ("journal_mode=WAL", "foreign_keys=ON", "busy_timeout=10000", "synchronous=FULL"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_for_writing(connection: Any) -> None:
    connection.exec_driver_sql(
        "BEGIN IMMEDIATE" if connection.get_execution_options().get(WRITES) else "BEGIN"
    )


def upgrade(engine: Engine) -> None:
    """Bring the schema to the newest revision."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
