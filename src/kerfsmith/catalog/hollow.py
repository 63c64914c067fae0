"""Square and rectangular hollow sections: the corner radii that their standards give them.

A saw cuts the nominal wall. (Tables of structural design use 0.93 of it for ASTM A500, which is 6 to 7 % too
little for a saw.)
"""

from enum import StrEnum

from kerfsmith.geometry.shapes import RectTube


class CornerRule(StrEnum):
    """Which standard's corner radii a hollow section takes."""

    ASTM_A500 = "ASTM-A500"
    EN_10219 = "EN10219-2"
    EN_10210 = "EN10210-2"


def hollow_section(width_mm: float, height_mm: float, wall_mm: float, rule: CornerRule) -> RectTube:
    """A hollow section with the corner radii of its standard, of nominal wall.

    Sources: ASTM A500, outside corner 2 t as its nominal weights are worked out with; EN 10219-2, outside 2 t
    up to 6 mm, 2.5 t up to 10 mm, 3 t above, inside 1 t less; EN 10210-2, outside 1.5 t, inside 1 t.
    Raises InvalidValue when the dimensions make no section.
    """
    outside, inside = _corners(wall_mm, rule)
    return RectTube(width_mm, height_mm, wall_mm, outside * wall_mm, inside * wall_mm)


def _corners(wall_mm: float, rule: CornerRule) -> tuple[float, float]:
    """Outside and inside corner radius as multiples of the wall."""
    if rule is CornerRule.ASTM_A500:
        return 2.0, 1.0
    if rule is CornerRule.EN_10210:
        return 1.5, 1.0
    if wall_mm <= 6:
        return 2.0, 1.0
    return (2.5, 1.5) if wall_mm <= 10 else (3.0, 2.0)
