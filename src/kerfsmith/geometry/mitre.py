"""The section as the band sees it: square, mitred or canted.

A mitre swings the head about the upright axis, so the cutting plane meets the section stretched along the
band by 1 / cos(angle), and the kerf takes k / cos(angle) of the bar. A canted band stays square to the bar
but runs inclined across it; the section then meets it turned.
"""

from __future__ import annotations

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.affine import cos_sin
from kerfsmith.geometry.outline import Outline
from kerfsmith.units.told import sentence


def mitre_factor(angle_deg: float) -> float:
    """1 / cos(angle): by what width, area and kerf along the bar grow; 30, 45, 60 degrees: 1.155, 1.414, 2.

    ``angle_deg`` is measured from the square cut. Raises InvalidValue at 89 degrees and beyond.
    """
    if not abs(angle_deg) < 89.0:
        raise InvalidValue(sentence("a mitre of {angle}° isn't a cut across the bar", angle=f"{angle_deg:g}"))
    return 1.0 / cos_sin(angle_deg)[0]


def mitred(outline: Outline, angle_deg: float) -> Outline:
    """The section in the cutting plane of a mitre, exact (circles become ellipses)."""
    return outline if angle_deg == 0.0 else outline.scaled_x(mitre_factor(angle_deg)).seated()


def kerf_along_bar_mm(kerf_mm: float, angle_deg: float) -> float:
    """How much of the bar one mitred cut takes, mm: kerf / cos(angle)."""
    return kerf_mm * mitre_factor(angle_deg)


def canted(outline: Outline, cant_deg: float) -> Outline:
    """The section as a band inclined by ``cant_deg`` meets it (positive: the band's right side is higher).

    Depth then runs square to the band. Raises InvalidValue beyond 45 degrees either way.
    """
    if not abs(cant_deg) <= 45.0:
        raise InvalidValue(sentence("a band can't be canted by {cant}°", cant=f"{cant_deg:g}"))
    return outline if cant_deg == 0.0 else outline.turned(-cant_deg).seated()
