"""Area, mass and second moments of an outline, exact for lines and arcs.

mm2, mm4, kg/m. The area a saw cuts is the nominal one: a table's design area of a hollow section (0.93 of the
wall) isn't what the band meets.
"""

from __future__ import annotations

from dataclasses import dataclass

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.outline import Outline


def mass_kg_per_m(area_mm2: float, density_kg_m3: float) -> float:
    """Mass of a metre of bar, kg: 1 mm2 over 1 m is 1e-6 m3. Raises InvalidValue unless both are above 0."""
    if not (area_mm2 > 0.0 and density_kg_m3 > 0.0):
        raise InvalidValue(f"no mass from {area_mm2:g} mm2 at {density_kg_m3:g} kg/m3")
    return area_mm2 * density_kg_m3 * 1e-6


@dataclass(frozen=True, slots=True)
class SecondMoments:
    """Second moments of area about the centroid, mm4: about the x axis, the y axis, and the product."""

    xx_mm4: float
    yy_mm4: float
    xy_mm4: float


def second_moments(outline: Outline) -> SecondMoments:
    """Second moments about the centroid by Green's theorem, in closed form along lines and arcs."""
    cx, cy = outline.centroid
    return SecondMoments(
        xx_mm4=outline.integral(lambda x, y: (x - cx) * (y - cy) ** 2),
        yy_mm4=outline.integral(lambda x, _: (x - cx) ** 3 / 3.0),
        xy_mm4=outline.integral(lambda x, y: (x - cx) ** 2 / 2.0 * (y - cy)),
    )
