"""What the shop calls by words of its own, in the tables."""

from collections.abc import Mapping
from datetime import datetime

from sqlalchemy import Connection, Table, delete, func, insert, select

from kerfsmith.catalog.naming import folded
from kerfsmith.records import floor_tables, tables
from kerfsmith.records import own_tables as t
from kerfsmith.records.codec import read_section_document, section_document
from kerfsmith.shop.own_words import OwnGradeName, OwnSection, SectionUse
from kerfsmith.shop.run import RunState


class OwnRead:
    """`workflow.own_ports.OwnReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def sections(self) -> tuple[OwnSection, ...]:
        """Every drawn section by its name."""
        rows = self._run.execute(select(t.own_sections).order_by(t.own_sections.c.folded))
        return tuple(
            OwnSection(read_section_document(row.document), row.file, row.kept_at, row.kept_by)
            for row in rows
        )

    def section_marks(self) -> Mapping[str, datetime]:
        """When each was kept, by its name."""
        own = t.own_sections.c
        return {row.name: row.kept_at for row in self._run.execute(select(own.name, own.kept_at))}

    def section_use(self, key: str) -> SectionUse:
        """Where the section of this key stands."""
        bars, runs = tables.bars, floor_tables.runs
        return SectionUse(
            self._count(tables.order_lines, tables.order_lines.c.section_key == key),
            self._count(bars, bars.c.section_key == key, bars.c.count.is_distinct_from(0)),
            self._count(runs, runs.c.section_key == key, runs.c.state == RunState.RELEASED.value),
        )

    def _count(self, table: Table, *where: object) -> int:
        counted = select(func.count()).select_from(table).where(*where)  # type: ignore[arg-type]
        return self._run.scalar(counted) or 0

    def grade_names(self) -> tuple[OwnGradeName, ...]:
        """Every own name of a grade, by its word."""
        rows = self._run.execute(select(t.own_grade_names).order_by(t.own_grade_names.c.folded))
        return tuple(OwnGradeName(row.word, row.grade, row.kept_at, row.kept_by) for row in rows)


class OwnWrite(OwnRead):
    """`workflow.own_ports.OwnBook` over one connection."""

    def keep_section(self, own: OwnSection) -> None:
        """Keep a drawn section of a new name."""
        values = {
            "folded": folded(own.section.name),
            "name": own.section.name,
            "key": own.section.key,
            "file": own.file,
            "document": section_document(own.section),
            "kept_at": own.kept_at,
            "kept_by": own.kept_by,
        }
        self._run.execute(insert(t.own_sections).values(**values))

    def drop_section(self, name: str) -> None:
        """Keep it no longer."""
        self._run.execute(delete(t.own_sections).where(t.own_sections.c.folded == folded(name)))

    def keep_grade_name(self, own: OwnGradeName) -> None:
        """Keep a name, in place of what the same word stood for."""
        self.drop_grade_name(own.word)
        values = {
            "folded": folded(own.word),
            "word": own.word,
            "grade": own.grade,
            "kept_at": own.kept_at,
            "kept_by": own.kept_by,
        }
        self._run.execute(insert(t.own_grade_names).values(**values))

    def drop_grade_name(self, word: str) -> None:
        """Keep it no longer."""
        self._run.execute(delete(t.own_grade_names).where(t.own_grade_names.c.folded == folded(word)))
