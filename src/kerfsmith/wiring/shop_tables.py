"""The catalog as the shop has it: its own saws where it ever kept any, its drawn sections, its own words."""

import threading
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.errors import InvalidValue
from kerfsmith.library.load import load_catalog
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.wiring.records import open_store
from kerfsmith.workflow.ports import Look, Records


@dataclass(frozen=True, slots=True)
class _Own:
    """The tables with the sections and words that the shop had when they were last looked at."""

    sections: Mapping[str, datetime]
    names: Mapping[str, str]
    tables: Catalog


class ShopTables:
    """The tables as one shop reads them. Every question is answered from the records as they are now."""

    def __init__(self, records: Records, tables: Catalog) -> None:
        self._records = records
        self._tables = tables
        self._own = _Own({}, {}, tables)
        self._made: dict[tuple[SawSheet, ...], Catalog] = {}
        self._lock = threading.Lock()

    @property
    def house(self) -> tuple[SawSheet, ...]:
        """The saws of the tables, which a shop has while it never kept any of its own."""
        return self._tables.saws

    @property
    def standard(self) -> Catalog:
        """The tables without anything of the shop's own."""
        return self._tables

    def kept(self) -> tuple[KeptSaw, ...] | None:
        """Every sheet on record, None where the shop never kept any."""
        with self._records.look() as look:
            return look.saw_sheets.saws()

    def now(self) -> Catalog:
        """With the saws that work is planned on."""
        return self._with((SawStanding.OWN,))

    def ever(self) -> Catalog:
        """With every saw on record, retired ones too: for what was planned before."""
        return self._with(tuple(SawStanding))

    def _with(self, standings: tuple[SawStanding, ...]) -> Catalog:
        with self._records.look() as look:
            kept = look.saw_sheets.saws()
            with self._lock:
                tables = self._with_own(look)
                if kept is None:
                    return tables
                saws = tuple(saw.sheet for saw in kept if saw.standing in standings)
                if saws not in self._made:
                    if len(self._made) > 8:
                        self._made = {}
                    self._made[saws] = replace(tables, saws=saws)
                return self._made[saws]

    def _with_own(self, look: Look) -> Catalog:
        """The tables with what is the shop's own, made again only when that has changed."""
        sections = look.own.section_marks()
        names = {one.word: one.grade for one in look.own.grade_names()}
        if (sections, names) != (self._own.sections, self._own.names):
            drawn = tuple(own.section for own in look.own.sections())
            self._own = _Own(sections, names, self._tables.with_own(drawn, names))
            self._made = {}
        return self._own.tables


def catalog_of(shop: str) -> Catalog:
    """The tables for the command line: a shop's own where its records are named, else those of the package.

    Raises InvalidValue where there are no such records.
    """
    if not shop:
        return load_catalog()
    if "://" not in shop and not Path(shop).expanduser().is_file():
        raise InvalidValue(f"there are no records in {shop}; name those of a shop")
    return ShopTables(open_store(shop), load_catalog()).now()
