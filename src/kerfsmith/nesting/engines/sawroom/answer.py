"""What the saw-room engine hands back."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from kerfsmith.nesting.result import Run


@dataclass(frozen=True, slots=True)
class RoomAnswer:
    """Runs (None without a plan), a bound for each aim in order (None: nothing proven), and how it was
    proven.

    ``refuted``: it is proven that there is no plan. ``uncut`` then says how many of each piece stay uncut
    when the other rules are kept and the least length is left out; it is empty where that isn't known or
    can't be."""

    runs: tuple[Run, ...] | None
    bounds: tuple[int | None, ...]
    source: str
    refuted: bool = False
    uncut: Mapping[str, int] = field(default_factory=dict)
    uncut_is_least: bool = False
    cut_short: bool = False
    """Whether the clock ended a part of the search before its work was done."""
