"""How a section can lie in the vise, and what the band then meets.

    lies(shape) -> (Lie, ...)      the usual way first
    Lie(name, outline)             .width_mm .height_mm
    lie_called(shape, name)        one of them; raises UnknownName

Every outline is seated: y = 0 on the bed, x = 0 in the middle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from kerfsmith.errors import UnknownName
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.shapes import (
    Angle,
    Beam,
    Channel,
    Drawn,
    Flat,
    Hexagon,
    RectTube,
    Round,
    RoundTube,
    Shape,
    Square,
    Tee,
)


@dataclass(frozen=True, slots=True)
class Lie:
    """One way to lay a section: its trade name and the seated outline."""

    name: str
    outline: Outline

    @property
    def width_mm(self) -> float:
        """Room taken between the jaws in mm."""
        return self.outline.width_mm

    @property
    def height_mm(self) -> float:
        """Room taken under the band in mm."""
        return self.outline.height_mm


def _turned(shape: Shape, *ways: tuple[str, float]) -> Iterator[Lie]:
    outline = shape.outline()
    for name, angle_deg in ways:
        yield Lie(name, outline.turned(angle_deg).seated() if angle_deg else outline)


def _tent_deg(angle: Angle) -> float:
    """By how much an angle is turned to stand on both toes with its heel up.

    The two toes have one radius, so the bed touches both along a line parallel to the one through the inner
    toe corners (t, a) and (b, t); see rolled.Angle for the corners.
    """
    rise, run = angle.leg_a_mm - angle.thickness_mm, angle.leg_b_mm - angle.thickness_mm
    return 180.0 + (45.0 if rise == run else math.degrees(math.atan2(rise, run)))


def _is_square(tube: RectTube) -> bool:
    return math.isclose(tube.width_mm, tube.height_mm, rel_tol=1e-9)


@lru_cache(maxsize=4096)
def lies(shape: Shape) -> tuple[Lie, ...]:
    """Every way a section is laid, the usual one first. A way that only mirrors another is left out."""
    match shape:
        case Round() | RoundTube():
            ways = _turned(shape, ("as drawn", 0.0))
        case Square():
            ways = _turned(shape, ("flat", 0.0), ("on the corner", 45.0))
        case Hexagon():
            ways = _turned(shape, ("flat", 0.0), ("on the corner", 90.0))
        case RectTube() if _is_square(shape):
            ways = _turned(shape, ("flat", 0.0), ("on the corner", 45.0))
        case Flat() | RectTube():
            ways = _turned(shape, ("flat", 0.0), ("on edge", 90.0))
        case Beam():
            ways = _turned(shape, ("web upright", 0.0), ("web flat", 90.0))
        case Channel():
            ways = _turned(shape, ("legs down", -90.0), ("legs up", 90.0), ("web upright", 0.0))
        case Angle():
            tent = _tent_deg(shape)
            ways = _turned(
                shape,
                ("legs down", tent),
                ("legs up", tent + 180.0),
                ("long leg upright", 0.0),
                ("long leg flat", 90.0),
            )
        case Tee():
            ways = _turned(shape, ("flange down", 180.0), ("flange up", 0.0), ("stem flat", 90.0))
        case Drawn():
            quarter = (90.0, 180.0, 270.0)
            ways = _turned(shape, ("as drawn", 0.0), *((f"turned {a:.0f}", a) for a in quarter))
    return tuple(ways)


def lie_called(shape: Shape, name: str) -> Lie:
    """The lie of that name. Raises UnknownName when the section has none such."""
    for lie in lies(shape):
        if lie.name == name:
            return lie
    raise UnknownName("lie", name, tuple(lie.name for lie in lies(shape)))
