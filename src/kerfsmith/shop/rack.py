"""The rack: bars and remnants ready to be sawn."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.units.told import sentence


class BarKind(StrEnum):
    """Whether a bar is on the rack as bought, left by a former run, or still to be bought."""

    BAR = "bar"
    REMNANT = "remnant"
    TO_BUY = "to buy"


@dataclass(frozen=True, slots=True)
class Bar:
    """``count`` equal bars of one grade, section, length, heat and place; ``price`` is for one, or None.

    Only a bar still to be bought may have the count None: as many as wanted. ``end_is_good``: the far end is
    square and sound, so that the last piece may be what is left in the vise.

    Raises InvalidValue for a length or count that isn't above zero.
    """

    id: str
    grade: str
    section: Section
    length_um: int
    count: int | None
    heat: str = ""
    place: str = ""
    price: Decimal | None = None
    kind: BarKind = BarKind.BAR
    row: int | None = None
    end_is_good: bool = False

    def __post_init__(self) -> None:
        if self.length_um <= 0 or (self.count is not None and self.count <= 0):
            raise InvalidValue(sentence("bar {id}: length and count must be above zero", id=self.id))
        if self.count is None and self.kind is not BarKind.TO_BUY:
            raise InvalidValue(sentence("bar {id}: what is on the rack has been counted", id=self.id))


@dataclass(frozen=True, slots=True)
class Rack:
    """All bars and remnants of the shop."""

    bars: tuple[Bar, ...]

    def holding(self, grade: str, section: Section) -> tuple[Bar, ...]:
        """The bars of one grade and section, remnants first, then the shorter before the longer."""
        found = [bar for bar in self.bars if bar.grade == grade and bar.section.key == section.key]
        order = (BarKind.REMNANT, BarKind.BAR, BarKind.TO_BUY)
        return tuple(sorted(found, key=lambda bar: (order.index(bar.kind), bar.length_um, bar.id)))
