"""The catalog as the shop has it: its own saws where it ever kept any, its drawn sections, its own words."""

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.library.tables import CatalogFault
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.shop.own_words import OwnTableFile
from kerfsmith.wiring.own_files import OwnFiles, over
from kerfsmith.workflow.ports import Look, Records


@dataclass(frozen=True, slots=True)
class Laid:
    """The tables with the shop's own files over them; ``faults`` are of files that can't be read any more."""

    marks: Mapping[str, datetime]
    files: OwnFiles
    tables: Catalog
    faults: tuple[CatalogFault, ...] = ()


@dataclass(frozen=True, slots=True)
class _Own:
    """The tables with all the shop had of its own when they were last looked at."""

    files: Mapping[str, datetime]
    sections: Mapping[str, datetime]
    names: Mapping[str, str]
    tables: Catalog


class ShopTables:
    """The tables as one shop reads them. Every question is answered from the records as they are now."""

    def __init__(self, records: Records, tables: Catalog) -> None:
        self._records = records
        self._tables = tables
        self._laid = Laid({}, (), tables)
        self._own = _Own({}, {}, {}, tables)
        self._made: dict[tuple[SawSheet, ...], Catalog] = {}
        self._lock = threading.Lock()

    @property
    def house(self) -> tuple[SawSheet, ...]:
        """The saws of the tables, which a shop has while it never kept any of its own."""
        return self._tables.saws

    @property
    def standard(self) -> Catalog:
        """The tables with the shop's files, without its drawn sections, its words and its saws."""
        return self.laid().tables

    def laid(self) -> Laid:
        """The shop's own files of tables over those of the package."""
        with self._records.look() as look, self._lock:
            return self._with_files(look)

    def files(self) -> OwnFiles:
        """The shop's own files of tables, for a process that lays them over the package's itself."""
        return self.laid().files

    @property
    def package(self) -> Catalog:
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
        laid = self._with_files(look)
        sections = look.own.section_marks()
        names = {one.word: one.grade for one in look.own.grade_names()}
        if (laid.marks, sections, names) != (self._own.files, self._own.sections, self._own.names):
            drawn = tuple(own.section for own in look.own.sections())
            self._own = _Own(laid.marks, sections, names, laid.tables.with_own(drawn, names))
            self._made = {}
        return self._own.tables

    def _with_files(self, look: Look) -> Laid:
        marks = look.own.table_marks()
        if marks != self._laid.marks:
            self._laid = _laid(self._tables, marks, look.own.table_files())
        return self._laid


def _laid(tables: Catalog, marks: Mapping[str, datetime], files: Sequence[OwnTableFile]) -> Laid:
    """One file after the other: one that a newer release can't read leaves the others in force."""
    good: OwnFiles = ()
    made, faults = tables, []
    for file in files:
        try:
            made = over(tables, (*good, (file.name, file.text.encode())))
        except CatalogFault as fault:
            faults.append(fault)
        else:
            good = (*good, (file.name, file.text.encode()))
    return Laid(marks, good, made, tuple(faults))
