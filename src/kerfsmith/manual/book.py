"""The manual as one value: its parts in order, each page with its title and text."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from kerfsmith.errors import KerfsmithError


class ManualFault(KerfsmithError):
    """The manual contradicts itself: a page is listed but not there, or there but not listed."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A page: ``name`` is its place (``rack-list``), ``title`` its first heading, ``text`` its Markdown."""

    name: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Part:
    """Pages that belong together, under a heading."""

    title: str
    leaves: tuple[Leaf, ...]


@dataclass(frozen=True, slots=True)
class Book:
    """The whole manual, in the order it is read."""

    parts: tuple[Part, ...]

    @property
    def leaves(self) -> tuple[Leaf, ...]:
        """All pages, first to last."""
        return tuple(leaf for part in self.parts for leaf in part.leaves)

    def leaf(self, name: str) -> Leaf | None:
        """The page of that name."""
        return next((leaf for leaf in self.leaves if leaf.name == name), None)

    def around(self, leaf: Leaf) -> tuple[Leaf | None, Leaf | None]:
        """The pages before and after one."""
        leaves = self.leaves
        at = leaves.index(leaf)
        return (leaves[at - 1] if at else None, leaves[at + 1] if at + 1 < len(leaves) else None)


@cache
def open_book() -> Book:
    """The manual of this program. Raises ManualFault."""
    folder = resources.files("kerfsmith.manual").joinpath("pages")
    contents = tomllib.loads(folder.joinpath("contents.toml").read_text(encoding="utf-8"))
    texts = {
        entry.name.removesuffix(".md"): entry.read_text(encoding="utf-8")
        for entry in folder.iterdir()
        if entry.name.endswith(".md")
    }
    listed = [name for part in contents["part"] for name in part["pages"]]
    if set(listed) != set(texts) or len(listed) != len(set(listed)):
        odd = sorted(set(listed) ^ set(texts)) or sorted(listed)
        raise ManualFault(f"contents.toml and the pages differ: {', '.join(odd)}")
    leaves = {name: Leaf(name, _title(name, text), text) for name, text in texts.items()}
    parts = (Part(part["title"], tuple(leaves[name] for name in part["pages"])) for part in contents["part"])
    return Book(tuple(parts))


def _title(name: str, text: str) -> str:
    first = text.split("\n", 1)[0]
    if not first.startswith("# "):
        raise ManualFault(f"{name}.md doesn't begin with its title")
    return first[2:].strip()
