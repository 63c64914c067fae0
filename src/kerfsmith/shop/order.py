"""An order: the pieces wanted."""

from dataclasses import dataclass, replace
from datetime import date
from itertools import product

from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.units.told import sentence


@dataclass(frozen=True, slots=True)
class Material:
    """What a piece is cut from: a grade in a section."""

    grade: str
    section: Section

    @property
    def key(self) -> str:
        """Key of its group in a plan: grade and section."""
        return f"{self.grade}|{self.section.key}"

    @property
    def name(self) -> str:
        """As people say it."""
        return f"{self.grade} {self.section.name}"

    def unlike(self, other: "Material") -> str:
        """What of it is not as in ``other``: grade, section or both; "" where they are the same."""
        grade = self.grade if self.grade != other.grade else ""
        section = self.section.name if self.section != other.section else ""
        return " ".join(filter(None, (grade, section)))


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of a cut list.

    ``length_um`` is long point to long point. ``plus_um``/``minus_um`` are how far a piece may be over or
    under (None: not stated). ``angle_a_deg`` and ``angle_b_deg`` are the end angles from square: equal signs
    make a parallelogram, opposite signs a trapezoid. ``lie`` is how the section must lie in the vise for
    those ends, by its name in :mod:`kerfsmith.geometry.lay`; "" where nobody said. ``row`` is the row of the
    file it came from. ``or_grades`` and ``or_sections`` are what may be taken in place of ``grade`` and of
    ``section``, as the order says it: any of the grades in any of the sections.

    Raises InvalidValue for a length or quantity that isn't above zero, an angle of 80 degrees or more, or a
    substitute named twice or for itself.
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
    or_grades: tuple[str, ...] = ()
    or_sections: tuple[Section, ...] = ()

    def __post_init__(self) -> None:
        if self.length_um <= 0 or self.quantity <= 0:
            raise InvalidValue(sentence("line {id}: length and quantity must be above zero", id=self.id))
        if max(abs(self.angle_a_deg), abs(self.angle_b_deg)) >= 80:
            raise InvalidValue(
                sentence("line {id}: an end angle of 80 degrees or more can't be sawn", id=self.id)
            )
        if len({self.grade, *self.or_grades}) <= len(self.or_grades):
            raise InvalidValue(
                sentence("line {id}: a grade is named twice among those it may be cut from", id=self.id)
            )
        if len({self.section.key, *(one.key for one in self.or_sections)}) <= len(self.or_sections):
            raise InvalidValue(
                sentence("line {id}: a section is named twice among those it may be cut from", id=self.id)
            )

    @property
    def material(self) -> Material:
        """What is ordered."""
        return Material(self.grade, self.section)

    @property
    def materials(self) -> tuple[Material, ...]:
        """All that it may be cut from, what is ordered first."""
        either = product((self.grade, *self.or_grades), (self.section, *self.or_sections))
        return tuple(Material(grade, section) for grade, section in either)

    def cut_from(self, material: Material, quantity: int) -> "OrderLine":
        """So many of its pieces as they are planned from ``material``, with nothing left to choose."""
        return replace(
            self,
            grade=material.grade,
            section=material.section,
            quantity=quantity,
            or_grades=(),
            or_sections=(),
        )

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
