"""What a shop adds to the tables: sections it has drawn, its names of grades, whole files of tables."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.catalog.section import Section


@dataclass(frozen=True, slots=True)
class OwnSection:
    """A section that the shop has drawn, under the name it has there; ``file`` is its drawing."""

    section: Section
    file: str
    kept_at: datetime
    kept_by: str


@dataclass(frozen=True, slots=True)
class OwnGradeName:
    """A word of the shop, or of who sends it work, for a grade of the tables."""

    word: str
    grade: str
    kept_at: datetime
    kept_by: str


@dataclass(frozen=True, slots=True)
class OwnTableFile:
    """A file of tables (TOML) that the shop lays over those of the package: grades, bands, sections,
    sources."""

    name: str
    text: str
    kept_at: datetime
    kept_by: str


@dataclass(frozen=True, slots=True)
class SectionUse:
    """Where a section stands: lines on the book, entries of the rack, and runs that are open."""

    lines: int
    bars: int
    runs: int

    @property
    def any(self) -> bool:
        """Whether it stands anywhere."""
        return bool(self.lines or self.bars or self.runs)
