"""The head of every sheet: which pages there are, and how they are grouped for who looks for one."""

from dataclasses import dataclass

from kerfsmith.web.words import say


@dataclass(frozen=True, slots=True)
class Entry:
    """A page that the head leads to; ``of_floor``: only where people and saws are kept."""

    name: str
    href: str
    of_floor: bool = False


_HEAD: tuple[tuple[str, tuple[Entry, ...]], ...] = (
    (
        "",
        (
            Entry("Plan", "/"),
            Entry("Orders", "/orders"),
            Entry("Rack", "/rack"),
            Entry("At the saw", "/at-saw", of_floor=True),
            Entry("Trace", "/trace", of_floor=True),
            Entry("One cut", "/cut"),
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
        ),
    ),
    ("", (Entry("Cautions", "/about-safety"),)),
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


def head(here: str, *, with_floor: bool) -> tuple[NavGroup, ...]:
    """The head as seen from the page ``here`` (its path)."""
    return tuple(
        NavGroup(
            say(name) if name else "",
            tuple(
                NavItem(say(entry.name), entry.href, entry.href == here)
                for entry in entries
                if with_floor or not entry.of_floor
            ),
        )
        for name, entries in _HEAD
    )
