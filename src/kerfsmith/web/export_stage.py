"""What the page of exports needs from behind it; the wiring implements it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol


@dataclass(frozen=True, slots=True)
class OfferedTable:
    """A table that can be had: its name, title and what a row of it is; each column with what it says."""

    name: str
    title: str
    says: str
    columns: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class ExportedFile:
    """A table as a file."""

    name: str
    media_type: str
    content: bytes


class ExportStage(Protocol):
    """Everything behind the exports."""

    def tables(self) -> tuple[OfferedTable, ...]:
        """Every table there is."""

    def forms(self) -> tuple[str, ...]:
        """The forms it can be had in, by the endings of files."""

    def file(self, table: str, form: str) -> ExportedFile | None:
        """A table as it stands now; None for a table or form that there isn't."""

    def schema(self, table: str) -> Mapping[str, Any] | None:
        """The JSON Schema of a table; None where there is no such table."""
