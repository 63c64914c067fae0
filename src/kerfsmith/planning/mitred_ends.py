"""Mitred ends as the nesting engine wants them: how far a face leans, and how a section may be turned."""

import math
from functools import lru_cache

from kerfsmith.catalog.section import Section
from kerfsmith.geometry.lay import lie_called
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.shapes import Drawn
from kerfsmith.nesting.ends import Turn, bottom_length
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.length import mm_to_um


def depth_um(section: Section, lie: str) -> int:
    """Size of the section across the slant: its width as it lies, for the head swings level."""
    return mm_to_um(lie_called(section.shape, lie).width_mm)


def lean_um(angle_deg: float, across_um: int) -> int:
    """How much further along the bar one edge of a face is than the other: width x tan(angle), derived."""
    return round(across_um * math.tan(math.radians(angle_deg)))


def ends_cross(line: OrderLine, across_um: int) -> bool:
    """Whether the slants of both ends meet before the piece ends, so that there is no such piece."""
    left_um, right_um = lean_um(line.angle_a_deg, across_um), lean_um(line.angle_b_deg, across_um)
    bottom_um = bottom_length(line.length_um, left_um, right_um)
    return min(bottom_um, bottom_um + right_um - left_um) < 0


@lru_cache(maxsize=1024)
def turns_allowed(section: Section, lie: str) -> frozenset[Turn]:
    """The turns after which the section looks the same to the band, from its outline as it lies.

    Rolled half round the bar's axis it is turned by 180 degrees; end for end it is seen upside down; half
    turned on the table it is seen mirrored left to right.
    """
    outline = lie_called(section.shape, lie).outline
    seen = {
        Turn.OVER: outline.turned(180.0),
        Turn.END_FOR_END: outline.turned(180.0).mirrored(),
        Turn.HALF_TURN: outline.mirrored(),
    }
    own = _looks(outline)
    return frozenset({Turn.AS_IS} | {turn for turn, look in seen.items() if _looks(look) == own})


def _looks(outline: Outline) -> str:
    return Drawn(outline.seated(), "as it lies").key()
