"""Hatches: what tells areas apart on a screen, on paper and for an eye that doesn't see their colours."""

from markupsafe import Markup

from kerfsmith.cutting.setting import Limit
from kerfsmith.web.drawing.svg import element

LIMIT_HATCH: dict[Limit, str] = {
    Limit.GREATEST_CHIP: "rising",
    Limit.AREA_RATE: "falling",
    Limit.GULLET: "dots",
    Limit.MOTOR_POWER: "level",
    Limit.BAND_FORCE: "upright",
    Limit.TEETH_IN_CUT: "cross",
    Limit.LEAST_CHIP: "wide",
    Limit.SAW_FEED: "grid",
    Limit.SAW_FORCE: "dashes",
}
"""The hatch of each limit, the same on every page."""

_LINES: dict[str, tuple[int, tuple[str, ...], int]] = {
    "rising": (6, ("M0 0V6",), 45),
    "falling": (6, ("M0 0V6",), -45),
    "level": (5, ("M0 2.5H5",), 0),
    "upright": (5, ("M2.5 0V5",), 0),
    "cross": (7, ("M0 0V7", "M0 0H7"), 45),
    "wide": (12, ("M0 0V12",), 45),
    "grid": (7, ("M0 3.5H7", "M3.5 0V7"), 0),
    "dashes": (8, ("M1 2H5", "M5 6H8"), 0),
}


def hatch_name(limit: Limit, key: str) -> str:
    """The paint of a limit's hatch as an attribute names it."""
    return f"url(#{key}-{LIMIT_HATCH[limit]})"


def limit_hatches(limits: tuple[Limit, ...], key: str) -> Markup:
    """Definitions of the hatches these limits need; ``key`` keeps names apart on a page of many pictures."""
    return element("defs", *(_pattern(LIMIT_HATCH[limit], key) for limit in limits))


def hatches(names: tuple[str, ...], key: str) -> Markup:
    """Definitions of hatches by name."""
    return element("defs", *(_pattern(name, key) for name in names))


def _pattern(name: str, key: str) -> Markup:
    if name == "dots":
        dots = (element("circle", cx=cx, cy=cy, r=1.1, class_="dot") for cx, cy in ((2, 2), (6, 6)))
        return _tile(name, key, 8, 0, *dots)
    size, paths, turn = _LINES[name]
    return _tile(name, key, size, turn, *(element("path", d=path, class_="stroke") for path in paths))


def _tile(name: str, key: str, size: int, turn: int, *marks: Markup) -> Markup:
    return element(
        "pattern",
        *marks,
        id=f"{key}-{name}",
        patternUnits="userSpaceOnUse",
        width=size,
        height=size,
        patternTransform=f"rotate({turn})",
        class_=f"hatch hatch-{name}",
    )
