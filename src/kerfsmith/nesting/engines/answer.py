"""What an engine for the pure problem hands back."""

from dataclasses import dataclass
from typing import Literal

Ended = Literal["optimal", "feasible", "infeasible", "open"]


@dataclass(frozen=True, slots=True)
class PurePattern:
    """``times`` bars of one kind, each with these (item, count)."""

    kind: int
    counts: tuple[tuple[int, int], ...]
    times: int


@dataclass(frozen=True, slots=True)
class PureAnswer:
    """Patterns and their cost (None without a plan), a bound that holds for every plan, and where it comes
    from. ``cut_short``: the clock ended the search, or a part of it.
    """

    ended: Ended
    patterns: tuple[PurePattern, ...]
    cost: int | None
    bound: int
    source: str
    cut_short: bool = False
