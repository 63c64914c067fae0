"""Searching a table of the catalog: words that must all be found, and only so many rows at once."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from kerfsmith.catalog.naming import folded
from kerfsmith.web.words import say

Entry = TypeVar("Entry")


@dataclass(frozen=True, slots=True)
class Found(Generic[Entry]):
    """The entries found and what to say about them."""

    wanted: str
    entries: tuple[Entry, ...]
    words: str


def search(
    entries: Sequence[Entry],
    wanted: str,
    text: Callable[[Entry], str],
    counted: Callable[[int], str],
    *,
    most: int = 80,
) -> Found[Entry]:
    """The entries whose text holds every word of ``wanted``, compared as names are (no case, no marks).

    ``counted`` says how many were found.
    """
    words = [folded(word) for word in wanted.split()[:8]]
    matching = [entry for entry in entries if not words or all(word in folded(text(entry)) for word in words)]
    shown = tuple(matching[:most])
    said = counted(len(matching))
    if len(shown) < len(matching):
        said = say("{found}, the first {most} shown; write more to narrow them down", found=said, most=most)
    return Found(wanted, shown, said)
