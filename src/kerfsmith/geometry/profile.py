"""What every kind of section has in common."""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from functools import cached_property
from typing import ClassVar

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.outline import Outline
from kerfsmith.units.told import Told, quantity, sentence


def micrometres(length_mm: float) -> int:
    """A dimension in whole micrometres, as keys write it."""
    return round(length_mm * 1000.0)


def need_positive(kind: str, **lengths_mm: float) -> None:
    """Raise InvalidValue when a dimension isn't a finite length above zero."""
    for name, value in lengths_mm.items():
        if not (math.isfinite(value) and value > 0.0):
            raise InvalidValue(
                sentence(
                    "the {name} of {kind} must be more than 0 mm, not {value}",
                    name=Told(_plain(name)),
                    kind=Told(_a(kind)),
                    value=f"{value:g}",
                )
            )


def need_not_negative(kind: str, **values: float) -> None:
    """Raise InvalidValue when a radius or slope isn't finite or is below zero."""
    for name, value in values.items():
        if not (math.isfinite(value) and value >= 0.0):
            raise InvalidValue(
                sentence(
                    "the {name} of {kind} can't be {value}",
                    name=Told(_plain(name)),
                    kind=Told(_a(kind)),
                    value=f"{value:g}",
                )
            )


def need_less(kind: str, name: Told, value_mm: float, limit: Told, limit_mm: float) -> None:
    """Raise InvalidValue unless a dimension is less than what bounds it."""
    if not value_mm < limit_mm:
        raise InvalidValue(
            sentence(
                "the {name} of {kind}, {value}, must be less than {limit}, {most}",
                name=name,
                kind=Told(_a(kind)),
                value=quantity(value_mm, "mm"),
                limit=limit,
                most=quantity(limit_mm, "mm"),
            )
        )


def _a(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def _plain(name: str) -> str:
    return name.removesuffix("_mm").replace("_", " ")


class Profile(ABC):
    """A section of known form. Sub-classes are frozen dataclasses with all dimensions in mm.

    Each also tells ``wall_mm``: its thinnest wall, web or flange in mm, None for a solid section.
    """

    kind: ClassVar[str]
    is_structural: ClassVar[bool] = False
    """Whether it is a rolled profile of webs and flanges, cut with a contact that jumps."""
    can_bundle: ClassVar[bool] = True
    """Whether several can be clamped and cut together."""

    @property
    def is_hollow(self) -> bool:
        """Whether it is a tube: the band cuts wall, bore and wall."""
        return False

    @abstractmethod
    def key(self) -> str:
        """The section's own name in whole micrometres, the same whichever unit it was written in."""

    @abstractmethod
    def _drawn(self) -> Outline:
        """The outline about any origin."""

    @cached_property
    def _outline(self) -> Outline:
        return self._drawn().seated()

    def outline(self) -> Outline:
        """The outline in mm, seated: lowest point at y = 0, middle at x = 0. Kept."""
        return self._outline

    def _key(self, *lengths_mm: float, **further: float) -> str:
        """kind:AxBxC and, where they aren't zero, :letter and value of what else tells two sections apart."""
        tail = "".join(f":{tag}{micrometres(value)}" for tag, value in further.items() if micrometres(value))
        return f"{self.kind}:{'x'.join(str(micrometres(length)) for length in lengths_mm)}{tail}"
