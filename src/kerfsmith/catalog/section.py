"""Sections: a closed shape under the name that people call it by."""

from dataclasses import dataclass, field

from kerfsmith.geometry.shapes import Shape


@dataclass(frozen=True, slots=True)
class Section:
    """A section wanted or on the rack. Two sections are the same when their ``key`` is.

    ``name`` is the standard's designation ("W12X26", "NPS 4 Sch 40") or, for a plain shape, words and
    dimensions ("round 4 in"). ``aliases`` are other ways of writing it, ``standard`` the source of its
    dimensions.
    """

    name: str = field(compare=False)
    shape: Shape
    standard: str = field(default="", compare=False)
    aliases: tuple[str, ...] = field(default=(), compare=False)

    @property
    def key(self) -> str:
        """Canonical text in whole micrometres, equal for equal shapes."""
        return self.shape.key()
