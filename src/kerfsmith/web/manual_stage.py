"""What the pages of the manual need from behind them; the wiring implements it."""

from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True, slots=True)
class ManualEntry:
    """A page of the manual in its list."""

    name: str
    title: str


@dataclass(frozen=True, slots=True)
class ManualPart:
    """Entries under a heading."""

    title: str
    entries: tuple[ManualEntry, ...]


@dataclass(frozen=True, slots=True)
class ManualPage:
    """A page as HTML that holds no style and no script, with its places and its neighbours."""

    name: str
    title: str
    html: str
    places: tuple[tuple[str, str], ...]
    before: ManualEntry | None
    after: ManualEntry | None


class ManualStage(Protocol):
    """The manual."""

    def parts(self) -> tuple[ManualPart, ...]:
        """What there is to read, in order."""

    def page(self, name: str) -> ManualPage | None:
        """One page."""

    def picture(self, name: str) -> bytes | None:
        """A picture of the manual, a PNG."""
