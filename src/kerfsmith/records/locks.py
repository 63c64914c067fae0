"""Locks by name, held until the transaction ends.

SQLite has one writer at a time, so there is nothing to lock. On PostgreSQL writers go on side by side; those
that change the same saw or take from the same bars wait for each other here. Every verb takes the saw's lock
before the rack's, so that none waits in a circle.
"""

from typing import Any

from sqlalchemy import Connection, Select, text


def hold(run: Connection, kind: str, name: str) -> None:
    """Wait until no other transaction holds this name, and hold it."""
    if run.dialect.name == "postgresql":
        run.execute(
            text("SELECT pg_advisory_xact_lock(hashtextextended(:name, 0))"), {"name": f"{kind} {name}"}
        )


def hold_found(run: Connection, kind: str, name: Select[Any]) -> None:
    """Hold the one name that a query finds, if it finds any; it must be a name that never changes."""
    if run.dialect.name == "postgresql":
        found = run.scalar(name)
        if found is not None:
            hold(run, kind, found)
