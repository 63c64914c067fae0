"""What the shop calls by words of its own, in the tables."""

from collections.abc import Collection, Mapping
from datetime import datetime

from sqlalchemy import Connection, Table, delete, func, insert, select

from kerfsmith.catalog.naming import folded
from kerfsmith.records import floor_tables, tables
from kerfsmith.records import own_tables as t
from kerfsmith.records.codec import read_section_document, section_document
from kerfsmith.shop.own_words import OwnGradeName, OwnSection, OwnTableFile, SectionUse
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

    def table_files(self) -> tuple[OwnTableFile, ...]:
        """Every file of tables, in the order they are laid over one another: by when they were kept."""
        own = t.own_table_files.c
        rows = self._run.execute(select(t.own_table_files).order_by(own.kept_at, own.name))
        return tuple(OwnTableFile(row.name, row.text, row.kept_at, row.kept_by) for row in rows)

    def table_marks(self) -> Mapping[str, datetime]:
        """When each was kept, by its name."""
        own = t.own_table_files.c
        return {row.name: row.kept_at for row in self._run.execute(select(own.name, own.kept_at))}

    def names_in_use(self, grades: Collection[str], bands: Collection[str]) -> tuple[str, ...]:
        """Those of the grades and kinds of band that stand anywhere."""
        runs, bars, crib = floor_tables.runs.c, tables.bars.c, floor_tables.bands.c
        lines = tables.order_lines.c
        found: set[str] = set()
        for column, names, where in (
            (lines.grade, grades, ()),
            (bars.grade, grades, (bars.count.is_distinct_from(0),)),
            (runs.grade, grades, (runs.state == RunState.RELEASED.value,)),
            (crib.kind, bands, (crib.retired.is_(None),)),
        ):
            found |= set(self._run.scalars(select(column).where(column.in_(names), *where).distinct()))
        for instead in self._run.scalars(select(lines.or_grades).where(lines.or_grades.is_not(None))):
            found |= set(instead or ()) & set(grades)
        return tuple(sorted(found))


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

    def keep_table_file(self, own: OwnTableFile) -> None:
        """Keep a file, in place of the one of its name."""
        self.drop_table_file(own.name)
        values = {"name": own.name, "text": own.text, "kept_at": own.kept_at, "kept_by": own.kept_by}
        self._run.execute(insert(t.own_table_files).values(**values))

    def drop_table_file(self, name: str) -> None:
        """Keep it no longer."""
        self._run.execute(delete(t.own_table_files).where(t.own_table_files.c.name == name))
