"""The JSON Schema of each table's JSON document, made from its columns."""

from typing import Any

from kerfsmith.exchange.export.table import CellKind, Column
from kerfsmith.exchange.export.tables import TABLES, Offer
from kerfsmith.exchange.export.write import VERSION

_KINDS: dict[CellKind, dict[str, str]] = {
    CellKind.TEXT: {"type": "string"},
    CellKind.WHOLE: {"type": "integer"},
    CellKind.NUMBER: {"type": "number"},
    CellKind.MONEY: {"type": "number"},
    CellKind.FLAG: {"type": "boolean"},
    CellKind.DAY: {"type": "string", "format": "date"},
    CellKind.MOMENT: {"type": "string", "format": "date-time"},
}


def json_schema(name: str) -> dict[str, Any]:
    """The schema (draft 2020-12) of the table called ``name``. Raises KeyError where there is none."""
    offer = TABLES[name]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": offer.title,
        "description": offer.says,
        "type": "object",
        "required": ["table", "version", "rows"],
        "additionalProperties": False,
        "properties": {
            "table": {"const": name},
            "version": {"const": VERSION},
            "rows": {"type": "array", "items": _row(offer)},
        },
    }


def _row(offer: Offer) -> dict[str, Any]:
    names = [column.name for column in offer.columns]
    return {
        "type": "object",
        "required": names,
        "additionalProperties": False,
        "properties": {column.name: _cell(column) for column in offer.columns},
    }


def _cell(column: Column) -> dict[str, Any]:
    schema: dict[str, Any] = {"description": column.says, **_KINDS[column.kind]}
    choices: list[str | None] = list(column.choices)
    if column.may_be_empty:
        schema["type"] = [schema["type"], "null"]
        choices += [None] if choices else []
    return schema | ({"enum": choices} if choices else {})
