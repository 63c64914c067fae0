"""A table to be handed out: its columns, each documented, and its rows."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import TypeAlias

from kerfsmith.errors import InvalidValue

Cell: TypeAlias = str | int | float | Decimal | bool | date | datetime | None


class CellKind(StrEnum):
    """What stands in a column's cells; any of them may also be empty where the column says so."""

    TEXT = "text"
    WHOLE = "whole number"
    NUMBER = "number"
    MONEY = "money"
    FLAG = "yes or no"
    DAY = "day"
    MOMENT = "moment"


_TYPES: dict[CellKind, tuple[type, ...]] = {
    CellKind.TEXT: (str,),
    CellKind.WHOLE: (int,),
    CellKind.NUMBER: (int, float),
    CellKind.MONEY: (Decimal,),
    CellKind.FLAG: (bool,),
    CellKind.DAY: (date,),
    CellKind.MOMENT: (datetime,),
}


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name with the unit behind it, what it holds, what that says, whether it may be empty.

    ``choices`` are the only texts that stand in it, where they are few.
    """

    name: str
    kind: CellKind
    says: str
    may_be_empty: bool = False
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under columns. Raises InvalidValue for a cell that isn't of its column's kind."""

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def __post_init__(self) -> None:
        for number, row in enumerate(self.rows, start=1):
            if len(row) != len(self.columns):
                raise InvalidValue(
                    f"{self.name}, row {number}: {len(row)} cells for {len(self.columns)} columns"
                )
            for column, cell in zip(self.columns, row, strict=True):
                if not _fits(column, cell):
                    raise InvalidValue(f"{self.name}, row {number}: {column.name} can't hold {cell!r}")


def _fits(column: Column, cell: Cell) -> bool:
    if cell is None:
        return column.may_be_empty
    if isinstance(cell, bool) != (column.kind is CellKind.FLAG):
        return False
    if column.kind is CellKind.DAY and isinstance(cell, datetime):
        return False
    if column.choices and cell not in column.choices:
        return False
    return isinstance(cell, _TYPES[column.kind])


def mm(length_um: int) -> float:
    """A length in mm: whole micrometres have three decimals, which a float writes exactly."""
    return length_um / 1000


def mm_or_none(length_um: int | None) -> float | None:
    """The same where there may be none."""
    return None if length_um is None else mm(length_um)
