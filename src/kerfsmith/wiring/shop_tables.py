"""The catalog with the saws that the shop has: its own where it ever kept any, else the tables'."""

import threading
from dataclasses import replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.workflow.ports import Records


class ShopTables:
    """The tables as one shop reads them. Every question is answered from the records as they are now."""

    def __init__(self, records: Records, tables: Catalog) -> None:
        self._records = records
        self._tables = tables
        self._made: dict[tuple[SawSheet, ...], Catalog] = {tables.saws: tables}
        self._lock = threading.Lock()

    @property
    def house(self) -> tuple[SawSheet, ...]:
        """The saws of the tables, which a shop has while it never kept any of its own."""
        return self._tables.saws

    def kept(self) -> tuple[KeptSaw, ...] | None:
        """Every sheet on record, None where the shop never kept any."""
        with self._records.look() as look:
            return look.saw_sheets.saws()

    def now(self) -> Catalog:
        """With the saws that work is planned on."""
        kept = self.kept()
        if kept is None:
            return self._tables
        return self._with(tuple(saw.sheet for saw in kept if saw.standing is SawStanding.OWN))

    def ever(self) -> Catalog:
        """With every saw on record, retired ones too: for what was planned before."""
        kept = self.kept()
        if kept is None:
            return self._tables
        return self._with(tuple(saw.sheet for saw in kept))

    def _with(self, saws: tuple[SawSheet, ...]) -> Catalog:
        with self._lock:
            if saws not in self._made:
                if len(self._made) > 8:
                    self._made = {self._tables.saws: self._tables}
                self._made[saws] = replace(self._tables, saws=saws)
            return self._made[saws]
