"""An order: the pieces wanted."""

from dataclasses import dataclass
from datetime import date

from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of a cut list.

    ``length_um`` is long point to long point. ``plus_um``/``minus_um`` are how far a piece may be over or
    under (None: not stated). ``angle_a_deg`` and ``angle_b_deg`` are the end angles from square: equal signs
    make a parallelogram, opposite signs a trapezoid. ``lie`` is how the section must lie in the vise for
    those ends, by its name in :mod:`kerfsmith.geometry.lay`; "" where nobody said. ``row`` is the row of the
    file it came from.

    Raises InvalidValue for a length or quantity that isn't above zero, or an angle of 80 degrees or more.
    """

    id: str
    mark: str
    grade: str
    section: Section
    length_um: int
    quantity: int
    plus_um: int | None = None
    minus_um: int | None = None
    due: date | None = None
    angle_a_deg: float = 0.0
    angle_b_deg: float = 0.0
    notes: str = ""
    order: str = ""
    customer: str = ""
    row: int | None = None
    lie: str = ""

    def __post_init__(self) -> None:
        if self.length_um <= 0 or self.quantity <= 0:
            raise InvalidValue(f"line {self.id}: length and quantity must be above zero")
        if max(abs(self.angle_a_deg), abs(self.angle_b_deg)) >= 80:
            raise InvalidValue(f"line {self.id}: an end angle of 80 degrees or more can't be sawn")

    @property
    def is_mitred(self) -> bool:
        """Whether either end is not square."""
        return self.angle_a_deg != 0 or self.angle_b_deg != 0


@dataclass(frozen=True, slots=True)
class Order:
    """A named list of lines, as one customer or one job sent it."""

    id: str
    name: str
    lines: tuple[OrderLine, ...]

    @property
    def pieces(self) -> int:
        """How many pieces the order asks for."""
        return sum(line.quantity for line in self.lines)
