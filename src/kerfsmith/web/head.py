"""The head of every sheet: which pages there are, and how they are grouped for who looks for one."""

from collections.abc import Collection
from dataclasses import dataclass

from kerfsmith.web.words import say


@dataclass(frozen=True, slots=True)
class Entry:
    """A page that the head leads to; ``needs`` names the stage without which it isn't there."""

    name: str
    href: str
    needs: str = ""


HEAD: tuple[tuple[str, tuple[Entry, ...]], ...] = (
    (
        "",
        (
            Entry("Plan", "/"),
            Entry("Week", "/week", "week"),
            Entry("Orders", "/orders"),
            Entry("Rack", "/rack"),
            Entry("At the saw", "/at-saw", "floor"),
            Entry("Trace", "/trace", "floor"),
            Entry("One cut", "/cut"),
        ),
    ),
    (
        "Reckoning",
        (
            Entry("Quotes", "/quotes", "quotes"),
            Entry("Which saw", "/which-saw", "which_saw"),
            Entry("Learned", "/learned", "learning"),
            Entry("Charts", "/charts", "learning"),
            Entry("Faults", "/faults", "faults"),
        ),
    ),
    (
        "Tables",
        (
            Entry("Saws", "/saws"),
            Entry("Bands", "/bands"),
            Entry("Grades", "/grades"),
            Entry("Sections", "/sections"),
            Entry("Sources", "/sources"),
            Entry("Own tables", "/own-tables", "own_tables"),
        ),
    ),
    (
        "Shop",
        (
            Entry("Rules", "/rules", "rules"),
            Entry("People", "/people", "floor"),
            Entry("Ledger", "/ledger", "floor"),
            Entry("Exports", "/exports", "exports"),
            Entry("Cautions", "/about-safety"),
        ),
    ),
    ("", (Entry("Manual", "/manual", "manual"),)),
)
"""In order: entries of a group without a name stand in the head, the others unfold from its name."""


@dataclass(frozen=True, slots=True)
class NavItem:
    """One entry of the head: ``here`` on the page itself."""

    name: str
    href: str
    here: bool


@dataclass(frozen=True, slots=True)
class NavGroup:
    """Entries that stand in the head (``name`` is ""), or unfold from ``name``."""

    name: str
    items: tuple[NavItem, ...]

    @property
    def here(self) -> bool:
        """Whether the page is one of the group's."""
        return any(item.here for item in self.items)


def head(here: str, *, there: Collection[str]) -> tuple[NavGroup, ...]:
    """The head as seen from the page ``here`` (its path); ``there`` names the stages that are there."""
    groups = (
        NavGroup(
            say(name) if name else "",
            tuple(
                NavItem(say(entry.name), entry.href, entry.href == here)
                for entry in entries
                if not entry.needs or entry.needs in there
            ),
        )
        for name, entries in HEAD
    )
    return tuple(group for group in groups if group.items)
