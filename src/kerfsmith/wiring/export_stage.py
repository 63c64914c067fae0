"""The page of exports over one shop's records."""

from collections.abc import Mapping
from typing import Any

from kerfsmith.exchange.export.schema import json_schema
from kerfsmith.exchange.export.tables import TABLES
from kerfsmith.exchange.export.write import Form, written
from kerfsmith.records.store import Store
from kerfsmith.web.export_stage import ExportedFile, OfferedTable
from kerfsmith.wiring.exporting import shop_table
from kerfsmith.wiring.shop_tables import ShopTables


class ShopExportStage:
    """`web.export_stage.ExportStage` over the records."""

    def __init__(self, store: Store, tables: ShopTables) -> None:
        self._store = store
        self._tables = tables

    def tables(self) -> tuple[OfferedTable, ...]:
        """Every table there is."""
        return tuple(
            OfferedTable(name, offer.title, offer.says, tuple((one.name, one.says) for one in offer.columns))
            for name, offer in TABLES.items()
        )

    def forms(self) -> tuple[str, ...]:
        """The forms it can be had in."""
        return tuple(form.value for form in Form)

    def file(self, table: str, form: str) -> ExportedFile | None:
        """A table as it stands now. Costs are reckoned with every saw that was ever on record."""
        if table not in TABLES or form not in list(Form):
            return None
        wanted = Form(form)
        content = written(shop_table(table, self._store, self._tables.ever()), wanted)
        return ExportedFile(f"{table}.{form}", wanted.media_type, content)

    def schema(self, table: str) -> Mapping[str, Any] | None:
        """The JSON Schema of a table."""
        return json_schema(table) if table in TABLES else None
