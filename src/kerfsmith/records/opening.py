"""Opening the records: one engine, its pragmas, and the schema brought up to date."""

from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, create_engine, event

MIGRATIONS = Path(__file__).parent / "migrations"


def open_engine(url: str) -> Engine:
    """Engine for ``url`` (sqlite:///file or postgresql+psycopg://...), its schema at the newest revision."""
    engine = create_engine(url)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _set_pragmas)
        event.listen(engine, "begin", _begin_for_writing)
    upgrade(engine)
    return engine


def _set_pragmas(connection: Any, _record: object) -> None:
    # The driver must not begin by itself: SQLAlchemy's own BEGIN below takes the write lock at once, so that
    # two writers wait for each other instead of failing half-way.
    connection.isolation_level = None
    for pragma in ("journal_mode=WAL", "foreign_keys=ON", "busy_timeout=10000", "synchronous=FULL"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_for_writing(connection: Any) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE" if connection.info.get("writes") else "BEGIN")


def upgrade(engine: Engine) -> None:
    """Bring the schema to the newest revision."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
