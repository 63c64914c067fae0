"""How a section must lie for a slant across its web or its flange.

A head swings about the upright axis, so what it slants across must lie level: a slant across the web wants
the web flat, one across the flange wants it upright. Derived from the saw's geometry (geometry.mitre).
"""

from kerfsmith.exchange.nc.ends import Plane
from kerfsmith.exchange.nc.part import NcHeader
from kerfsmith.geometry.lay import lies
from kerfsmith.geometry.shapes import Beam, Channel, Flat, Round, RoundTube, Shape, Square, Tee

_WEB_FLAT = {Beam: "web flat", Channel: "legs down", Tee: "stem flat"}
_WEB_UPRIGHT = {Beam: "web upright", Channel: "web upright", Tee: "flange down"}
_SLACK = 0.02


def lie_for(shape: Shape, plane: Plane, header: NcHeader) -> str | None:
    """The lie's name, "" for a round, which lies anyhow; None where no lie has that face level.

    A slant through the thickness of a flat is a bevel of its edge, which no vise holds it for.
    """
    if isinstance(shape, Round | RoundTube):
        return ""
    if isinstance(shape, Flat | Square) and plane is Plane.FLANGE:
        return None
    known = (_WEB_FLAT if plane is Plane.WEB else _WEB_UPRIGHT).get(type(shape))
    if known is not None:
        return known
    thickness_mm = header.web_thickness_mm or header.flange_thickness_mm
    flange_mm = header.flange_width_mm if header.code != "B" else thickness_mm
    level_mm = header.height_mm if plane is Plane.WEB else flange_mm
    for lie in lies(shape):
        upright_mm = flange_mm if plane is Plane.WEB else header.height_mm
        if _near(lie.width_mm, level_mm) and _near(lie.height_mm, upright_mm):
            return lie.name
    return None


def _near(one_mm: float, other_mm: float) -> bool:
    return abs(one_mm - other_mm) <= max(1.5, _SLACK * other_mm)
