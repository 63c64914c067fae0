"""What the pages of drawn sections and of own grade names need from behind them; the wiring implements it."""

from dataclasses import dataclass
from typing import Protocol

from kerfsmith.catalog.section import Section
from kerfsmith.errors import Finding
from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.pieces import Piece
from kerfsmith.shop.own_words import OwnGradeName, OwnSection, SectionUse
from kerfsmith.shop.person import Person
from kerfsmith.units.length import Unit
from kerfsmith.workflow.refusal import Refusal

MOST_DRAWING_BYTES = 10 * 1024 * 1024
"""A drawing is read no further: a section has some tens of lines."""


@dataclass(frozen=True, slots=True)
class DrawingRead:
    """A drawing as it was read, not yet kept: its section, or None with findings that say why.

    ``unit`` is the one a person said it is in, None where the drawing's own word was taken; ``unit_mm`` is
    the length of it. ``name`` is what the section would be called. ``pieces`` are its lines and arcs and
    ``amiss`` the places where they don't close, mm.
    """

    id: str
    file: str
    name: str
    unit: Unit | None
    unit_mm: float | None
    section: Section | None
    findings: tuple[Finding, ...]
    pieces: tuple[Piece, ...] = ()
    amiss: tuple[Point, ...] = ()


class SectionStage(Protocol):
    """Everything behind the pages of drawn sections, and of the shop's own names for grades."""

    def sections(self) -> tuple[OwnSection, ...]:
        """Every section the shop has drawn."""

    def use(self, key: str) -> SectionUse:
        """Where the section of this key stands."""

    def read(self, file: str, data: bytes) -> DrawingRead:
        """Read a drawing and hold it until it is kept."""

    def again(self, drawing_id: str, unit: Unit | None) -> DrawingRead | None:
        """Read a held drawing in another unit, its own where None; None where it is no longer held."""

    def held(self, drawing_id: str) -> DrawingRead | None:
        """A held drawing as read last."""

    def keep(self, drawing_id: str, name: str, *, by: Person) -> OwnSection | Refusal | None:
        """Keep the section of a held drawing under a name; None where it is no longer held."""

    def rename(self, name: str, to: str, *, by: Person) -> OwnSection | Refusal:
        """Call a drawn section otherwise."""

    def drop(self, name: str, *, by: Person) -> OwnSection | Refusal:
        """Take a drawn section away."""

    def grade_names(self) -> tuple[OwnGradeName, ...]:
        """The shop's own names of grades."""

    def name_grade(self, word: str, grade: str, *, by: Person) -> OwnGradeName | Refusal:
        """Keep a word for a grade."""

    def drop_grade_name(self, word: str, *, by: Person) -> OwnGradeName | Refusal:
        """Keep it no longer."""
