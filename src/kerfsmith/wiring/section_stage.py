"""What stands behind the pages of drawn sections and of own grade names."""

import secrets
import threading
from collections import OrderedDict
from dataclasses import replace
from datetime import UTC, datetime

from kerfsmith.exchange.dxf.read import read_dxf_section
from kerfsmith.geometry.shapes import Drawn
from kerfsmith.library.load import load_catalog
from kerfsmith.shop.own_words import OwnGradeName, OwnSection, SectionUse
from kerfsmith.shop.person import Person
from kerfsmith.units.length import Unit
from kerfsmith.units.told import sentence
from kerfsmith.web.section_stage import DrawingRead
from kerfsmith.wiring.records import open_store
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.workflow.keep_section import RenameSection, drop_section, keep_section, rename_section
from kerfsmith.workflow.name_grade import NameGrade, drop_grade_name, name_grade
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.refusal import Refusal

MOST_HELD = 20
"""Drawings held at once; the oldest goes when one more comes."""


class ShopSectionStage:
    """`web.section_stage.SectionStage` over one shop's records."""

    def __init__(self, records: Records, tables: ShopTables) -> None:
        self._records, self._tables = records, tables
        self._held: OrderedDict[str, tuple[DrawingRead, bytes]] = OrderedDict()
        self._lock = threading.Lock()

    def sections(self) -> tuple[OwnSection, ...]:
        """Every section the shop has drawn."""
        with self._records.look() as look:
            return look.own.sections()

    def use(self, key: str) -> SectionUse:
        """Where the section of this key stands."""
        with self._records.look() as look:
            return look.own.section_use(key)

    def read(self, file: str, data: bytes) -> DrawingRead:
        """Read a drawing and hold it until it is kept."""
        return self._hold(secrets.token_urlsafe(9), file, data, None)

    def again(self, drawing_id: str, unit: Unit | None) -> DrawingRead | None:
        """Read a held drawing in another unit, its own where None."""
        held = self._held.get(drawing_id)
        return self._hold(drawing_id, held[0].file, held[1], unit) if held else None

    def held(self, drawing_id: str) -> DrawingRead | None:
        """A held drawing as read last."""
        held = self._held.get(drawing_id)
        return held[0] if held else None

    def _hold(self, drawing_id: str, file: str, data: bytes, unit: Unit | None) -> DrawingRead:
        name = (file.rsplit(".", 1)[0].strip() or file)[:60]
        found = read_dxf_section(file, data, name=name, unit=unit)
        read = DrawingRead(
            drawing_id,
            file,
            name,
            unit,
            found.unit_mm,
            found.section,
            found.findings,
            found.pieces,
            found.amiss,
        )
        with self._lock:
            self._held[drawing_id] = (read, data)
            while len(self._held) > MOST_HELD:
                self._held.popitem(last=False)
        return read

    def keep(self, drawing_id: str, name: str, *, by: Person) -> OwnSection | Refusal | None:
        """Keep the section of a held drawing under a name."""
        read = self.held(drawing_id)
        if read is None:
            return None
        if read.section is None:
            return Refusal(
                "no-section",
                sentence("{file} makes no section", file=read.file),
                "Look at what is wrong with it",
            )
        named = " ".join(name.split())
        section, shape = read.section, read.section.shape
        # A name that can't be one is refused below, in the ledger; no drawing can be made with it before.
        if named and isinstance(shape, Drawn):
            section = replace(section, name=named, shape=replace(shape, name=named))
        else:
            section = replace(section, name=named)
        kept = keep_section(self._records, section, read.file, self._tables.standard, by=by, at=_now())
        if not isinstance(kept, Refusal):
            with self._lock:
                self._held.pop(drawing_id, None)
        return kept

    def rename(self, name: str, to: str, *, by: Person) -> OwnSection | Refusal:
        """Call a drawn section otherwise."""
        told = RenameSection(name, " ".join(to.split()))
        return rename_section(self._records, told, self._tables.standard, by=by, at=_now())

    def drop(self, name: str, *, by: Person) -> OwnSection | Refusal:
        """Take a drawn section away."""
        return drop_section(self._records, name, by=by, at=_now())

    def grade_names(self) -> tuple[OwnGradeName, ...]:
        """The shop's own names of grades."""
        with self._records.look() as look:
            return look.own.grade_names()

    def name_grade(self, word: str, grade: str, *, by: Person) -> OwnGradeName | Refusal:
        """Keep a word for a grade."""
        return name_grade(self._records, NameGrade(word, grade), self._tables.standard, by=by, at=_now())

    def drop_grade_name(self, word: str, *, by: Person) -> OwnGradeName | Refusal:
        """Keep it no longer."""
        return drop_grade_name(self._records, word, by=by, at=_now())


def sections_of(records: str) -> ShopSectionStage:
    """The stage over the records in a SQLite file or at a database URL, for the command line."""
    store = open_store(records)
    return ShopSectionStage(store, ShopTables(store, load_catalog()))


def _now() -> datetime:
    return datetime.now(UTC)
