"""What the page of the shop's own tables needs from behind it; the wiring implements it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from kerfsmith.errors import Finding
from kerfsmith.shop.person import Person
from kerfsmith.workflow.refusal import Refusal

MOST_TABLE_BYTES = 2 * 1024 * 1024
"""A file of tables is read no further."""


@dataclass(frozen=True, slots=True)
class TableFile:
    """A file on record: what it holds by kind (grade, band, ...), and what is wrong with it where this
    release can't read it any more."""

    name: str
    holds: tuple[tuple[str, tuple[str, ...]], ...]
    kept_at: datetime
    kept_by: str
    fault: str = ""


class TableStage(Protocol):
    """Everything behind that page."""

    def files(self) -> tuple[TableFile, ...]:
        """Every file, in the order they are laid over one another."""

    def text(self, name: str) -> str | None:
        """A file as it was sent, None for an unknown one."""

    def example(self) -> str:
        """A file to begin from."""

    def keep(self, name: str, data: bytes, *, by: Person) -> TableFile | Refusal | Finding:
        """Read a file and lay it over the tables, in place of the one of its name; or what is wrong in it."""

    def drop(self, name: str, *, by: Person) -> Refusal | None:
        """Take a file away."""
