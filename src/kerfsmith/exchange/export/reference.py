"""The reference of the tables that can be handed out, as files: a page of their columns, a schema each."""

import json
from collections.abc import Iterator, Mapping

from kerfsmith.exchange.export.schema import json_schema
from kerfsmith.exchange.export.table import Column
from kerfsmith.exchange.export.tables import TABLES

_HEAD = """# Tables that leave the shop

Made from the program by `scripts/write_export_schemas.py`; a test holds it to the program.

Each table comes as CSV, XLSX and JSON: `kerfsmith export TABLE FILE`, the page *Exports*, or
`/exports/TABLE.csv` (`.xlsx`, `.json`) of the application. Column names keep their meaning; a change of
meaning is a new column. Lengths are in mm, days and moments in ISO 8601 (moments in UTC), decimals with a
point. In CSV a text that a spreadsheet would take for a formula has an apostrophe in front, which our own
readers of lists take off. `cut-list` and `rack` can be read back as a cut list and a rack list.
"""


def reference_files() -> Mapping[str, str]:
    """Name and text of each file."""
    page = "\n".join((_HEAD, *(line for name in TABLES for line in _table(name))))
    schemas = {
        f"{name}.schema.json": json.dumps(json_schema(name), ensure_ascii=False, indent=2) + "\n"
        for name in TABLES
    }
    return {"README.md": page, **schemas}


def _table(name: str) -> Iterator[str]:
    offer = TABLES[name]
    yield f"## {offer.title}: `{name}`\n"
    yield f"{offer.says}. Schema of the JSON: [{name}.schema.json]({name}.schema.json).\n"
    yield "| column | holds | says |\n| --- | --- | --- |"
    yield "\n".join(f"| `{column.name}` | {_holds(column)} | {column.says} |" for column in offer.columns)
    yield ""


def _holds(column: Column) -> str:
    held = ", ".join(f"`{choice}`" for choice in column.choices) or column.kind.value
    return f"{held}; may be empty" if column.may_be_empty else held
