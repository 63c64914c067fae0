"""Which rule of the schema an error of the database speaks of, and whether another try could succeed."""

import re

from sqlalchemy.exc import DBAPIError, IntegrityError

_SQLITE_NAME = re.compile(r"(?:constraint failed: )?([\w. ,]+)$")
_AGAIN = {"40001", "40P01"}
"""SQLSTATE of a serialization failure and of a deadlock."""
_TAKEN = "23505"
"""SQLSTATE of a unique value that somebody else took in the meantime."""


def _state(error: DBAPIError) -> str:
    return str(getattr(error.orig, "sqlstate", "") or "")


def is_race(error: DBAPIError) -> bool:
    """Whether two writers met on PostgreSQL, so that doing it again from the beginning may succeed.

    A value that was taken may have been so for long: then another try breaks the rule again.
    """
    return _state(error) in _AGAIN or _state(error) == _TAKEN


def rule_of(error: IntegrityError) -> str:
    """Name of the constraint or trigger that refused."""
    details = getattr(error.orig, "diag", None)
    named = getattr(details, "constraint_name", None)
    if named:
        return str(named)
    first = str(error.orig).splitlines()[0]
    found = _SQLITE_NAME.search(first)
    return found.group(1) if found else first
