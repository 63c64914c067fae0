"""Long lists in pages: each page names the next, by what its last entry is called."""

from collections.abc import Callable, Sequence
from typing import Annotated, Generic, TypeVar
from urllib.parse import urlencode

from fastapi import HTTPException, Query
from pydantic import BaseModel

Item = TypeVar("Item")
MOST = 500

After = Annotated[str, Query(max_length=250, description="Where the page before ended: its `next` has it.")]
Limit = Annotated[int, Query(ge=1, le=MOST, description="Entries of a page at most.")]


class Page(BaseModel, Generic[Item]):
    """Entries, and the address of the next page; null where this is the last."""

    items: list[Item]
    next: str | None


def page_of(
    items: Sequence[Item], name: Callable[[Item], str], path: str, after: str, limit: int, **query: str
) -> Page[Item]:
    """The page of ``items`` that begins behind the one named ``after`` ("": with the first).

    Raises HTTPException (404) where nothing is called so (any more).
    """
    start = 0
    if after:
        found = next((place for place, item in enumerate(items) if name(item) == after), None)
        if found is None:
            raise HTTPException(404, f"nothing in this list is called {after!r}; begin again without it")
        start = found + 1
    shown = list(items[start : start + limit])
    more = start + limit < len(items)
    told = {**query, "after": name(shown[-1]), "limit": str(limit)} if more else {}
    return Page(items=shown, next=f"{path}?{urlencode(told)}" if more else None)
