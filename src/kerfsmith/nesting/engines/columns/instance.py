"""The pure cutting-stock problem and its result, in whole numbers."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Status = Literal["optimal", "feasible", "infeasible", "unknown"]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of bar: what it holds, how many there are (None: as many as wanted), what one costs."""

    capacity: int
    supply: int | None = None
    cost: int = 1

    def __post_init__(self) -> None:
        if self.capacity < 0 or self.cost < 0 or (self.supply is not None and self.supply < 0):
            raise ValueError("a kind of bar needs capacity, supply and cost of at least 0")


@dataclass(frozen=True, slots=True)
class Item:
    """A size of piece and how many of it are wanted."""

    size: int
    demand: int

    def __post_init__(self) -> None:
        if self.size <= 0 or self.demand <= 0:
            raise ValueError("an item needs a size and a demand above 0")


@dataclass(frozen=True, slots=True)
class ColumnsInstance:
    """Kinds of bars and sizes of pieces; positions in the two tuples are their names in the result."""

    kinds: tuple[Kind, ...]
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class PatternUse:
    """One pattern: the kind of bar it is cut from, how many times, and how many of each item it holds."""

    kind: int
    times: int
    counts: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class ColumnsResult:
    """The plan found with its proof.

    `lower_bound` holds for every plan (0 where nothing better is known); `bound_from` says in a word or
    two what proves it. `duals` (one whole number an item, over `dual_scale`) lets a reader check a bound
    got by column generation with one knapsack a kind; it is empty where the bound comes from elsewhere.
    `short_length` is a proven least total length that cannot be cut when the status is infeasible for
    want of bars (else 0).
    """

    status: Status
    patterns: tuple[PatternUse, ...]
    cost: int | None
    lower_bound: int
    bound_from: str
    duals: tuple[int, ...] = ()
    dual_scale: int = 1
    short_length: int = 0
    counters: Mapping[str, int] = field(default_factory=dict)
