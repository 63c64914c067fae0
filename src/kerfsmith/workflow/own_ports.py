"""What the verbs of a shop's own sections and names ask of the records."""

from collections.abc import Collection, Mapping
from datetime import datetime
from typing import Protocol

from kerfsmith.shop.own_words import OwnGradeName, OwnSection, OwnTableFile, SectionUse


class OwnReading(Protocol):
    """What the shop has drawn and named, to be read."""

    def sections(self) -> tuple[OwnSection, ...]:
        """Every drawn section by its name."""

    def section_marks(self) -> Mapping[str, datetime]:
        """When each was kept, by its name: what tells that none has changed."""

    def section_use(self, key: str) -> SectionUse:
        """Where the section of this key stands."""

    def grade_names(self) -> tuple[OwnGradeName, ...]:
        """Every own name of a grade, by its word."""

    def table_files(self) -> tuple[OwnTableFile, ...]:
        """Every file of tables, in the order they are laid over one another."""

    def table_marks(self) -> Mapping[str, datetime]:
        """When each was kept, by its name: what tells that none has changed."""

    def names_in_use(self, grades: Collection[str], bands: Collection[str]) -> tuple[str, ...]:
        """Those of the grades that stand on the book, on the rack or in an open run, and of the kinds of
        band that are in the crib."""


class OwnBook(OwnReading, Protocol):
    """What the shop has drawn and named."""

    def keep_section(self, own: OwnSection) -> None:
        """Keep a drawn section of a new name."""

    def drop_section(self, name: str) -> None:
        """Keep it no longer."""

    def keep_table_file(self, own: OwnTableFile) -> None:
        """Keep a file, in place of the one of its name."""

    def drop_table_file(self, name: str) -> None:
        """Keep it no longer."""

    def keep_grade_name(self, own: OwnGradeName) -> None:
        """Keep a name, in place of what the same word stood for."""

    def drop_grade_name(self, word: str) -> None:
        """Keep it no longer."""
