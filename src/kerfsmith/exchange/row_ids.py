"""An id of its own for each row of a list, made from the name that stands in it."""

from kerfsmith.errors import Severity
from kerfsmith.exchange.row_reader import RowReader
from kerfsmith.units.told import sentence


class RowIds:
    """Gives ids within one file and tells of names that are missing or stand in two rows."""

    def __init__(self) -> None:
        self._first_rows: dict[tuple[str, str], int] = {}

    def give(self, row: RowReader, field: str, name: str, *, group: str = "", needed: bool = True) -> str:
        """The id of ``row``: ``name`` (in ``group``, if any), or its row number where it has no name.

        A name that was there before is kept and told; so is a missing one where it is ``needed``.
        """
        number = row.row.number
        if not name:
            if needed:
                problem = sentence("has no {field} and was called row {number}", field=field, number=number)
                row.add(
                    f"{field}-missing",
                    Severity.WARNING,
                    field,
                    problem,
                    sentence("Give it a {field}", field=field),
                )
            return f"row {number}"
        first = self._first_rows.setdefault((group, name), number)
        prefix = f"{group}/" if group else ""
        if first == number:
            return prefix + name
        row.add(
            f"{field}-repeated",
            Severity.WARNING,
            field,
            sentence("is the {field} of row {first} too; both rows are kept", field=field, first=first),
            sentence("Give each row a {field} of its own, or make one row of them", field=field),
        )
        return f"{prefix}{name} (row {number})"
