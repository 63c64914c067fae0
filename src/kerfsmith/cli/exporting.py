"""`kerfsmith export`."""

import json as json_text
import sys
from pathlib import Path

from kerfsmith.cli.main import DONE, INPUT_AT_FAULT
from kerfsmith.errors import InvalidValue
from kerfsmith.exchange.export.schema import json_schema
from kerfsmith.exchange.export.table import Table
from kerfsmith.exchange.export.tables import TABLES
from kerfsmith.exchange.export.write import Form, written
from kerfsmith.library.load import load_catalog
from kerfsmith.wiring.exporting import shop_table
from kerfsmith.wiring.records import open_store


def run_export(name: str, to: Path | None, records: str, form: str | None, schema: bool) -> int:
    """Write one table of the shop to a file or to standard output, or say what its columns are."""
    if name not in TABLES:
        raise InvalidValue(f"a table is one of {', '.join(TABLES)}, not {name!r}")
    if schema:
        print(json_text.dumps(json_schema(name), ensure_ascii=False, indent=2))
        return DONE
    wanted = form_of(to, form)
    if "://" not in records and not Path(records).expanduser().is_file():
        print(f"kerfsmith: there are no records in {records}; name those of a shop", file=sys.stderr)
        return INPUT_AT_FAULT
    table = shop_table(name, open_store(records), load_catalog())
    if to is None:
        sys.stdout.buffer.write(written(table, wanted))
        sys.stdout.buffer.flush()
    else:
        write_table(table, to, wanted)
    return DONE


def write_table(table: Table, to: Path, form: Form) -> None:
    """Write a table and say so. Raises OSError for a place that can't be used."""
    to.write_bytes(written(table, form))
    print(f"{to}: {len(table.rows)} rows of {table.name}", file=sys.stderr)


def form_of(to: Path | None, form: str | None) -> Form:
    """The form told, else by the file's ending, else CSV. Raises InvalidValue for another."""
    word = form or (to.suffix.removeprefix(".").lower() if to is not None else Form.CSV.value)
    if word not in list(Form):
        raise InvalidValue(
            f"a table is written as {', '.join(Form)}, not as {word!r}: say --as or end the name so"
        )
    return Form(word)
