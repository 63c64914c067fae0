"""A figure with its source: the only form in which a fact of the trade enters the program."""

from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.errors import InvalidValue


class Confidence(StrEnum):
    """How far a figure can be trusted, from the source read in full to a placeholder of the house."""

    READ = "read"
    ABSTRACT = "abstract"
    DERIVED = "derived"
    MEMORY_GOOD = "memory, good"
    MEMORY = "memory"
    MEMORY_LOW = "memory, low"
    COMMON_PRACTICE = "common practice"
    SHOP = "shop"

    @property
    def is_low(self) -> bool:
        """Whether a page must show the figure as an interval and ask the shop to correct it."""
        return self in (Confidence.MEMORY, Confidence.MEMORY_LOW, Confidence.COMMON_PRACTICE)


@dataclass(frozen=True, slots=True)
class Figure:
    """A value with unit, source, place in the source, range and confidence.

    ``value`` is in ``unit``; ``low`` and ``high`` bracket it (equal to it where the source gives one number).
    ``source`` is a key of the catalog's bibliography; ``where`` is the page or table in it.

    Raises InvalidValue when low <= value <= high doesn't hold or a text is empty.
    """

    value: float
    unit: str
    source: str
    where: str
    confidence: Confidence
    low: float
    high: float
    note: str = ""

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise InvalidValue(f"figure {self.value} lies outside its range {self.low}..{self.high}")
        if not self.source or not self.unit:
            raise InvalidValue("a figure needs a source and a unit")


@dataclass(frozen=True, slots=True)
class Source:
    """One entry of the bibliography: ``key`` is what figures name, ``title`` what a page shows."""

    key: str
    title: str
    year: int | None
    kind: str
    note: str = ""
