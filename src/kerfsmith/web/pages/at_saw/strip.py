"""The bar in the saw, true to scale: what is cut, what is next, what is still to come, what will be left.

Done is hatched and ticked, next is framed twice and has the band at its end, the rest is plain: no colour is
needed to tell them apart. Parts carry their step's key, by which the panel's script marks them.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.web.drawing.hatch import hatches
from kerfsmith.web.drawing.svg import element, percent, picture
from kerfsmith.web.words import say

_TOP, _DEEP = 16, 44
_BOTTOM = _TOP + _DEEP
HEIGHT = 84
_WIDE = 1180
"""Pixels the strip has on the panel it is made for; decides which marks fit."""
_LETTER = 9.5


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch: ``kind`` is facing, piece, trim, scrapped or rest; ``state`` is done, next or to-come."""

    key: str
    kind: str
    state: str
    length_um: int
    kerf_um: int
    mark: str


def panel_strip(parts: Iterable[Part], length_um: int, words: str, key: str) -> Markup:
    """The strip of a bar ``length_um`` long. ``words`` say the same for who doesn't see it."""
    drawn = [hatches(("rising", "wide", "cross"), key), _box(0, length_um, length_um, "bar-body")]
    place = 0
    for part in parts:
        drawn.append(_part(part, place, length_um, key))
        place += part.length_um + part.kerf_um
    drawn.append(_box(0, length_um, length_um, "bar-edge"))
    return picture(
        say("The bar in the saw"),
        words,
        drawn,
        key=key,
        class_="strip panel-strip",
        width="100%",
        height=HEIGHT,
    )


def _at(place_um: float, length_um: int) -> str:
    return percent(place_um / length_um * 0.996 + 0.002)


def _box(start_um: int, wide_um: int, length_um: int, class_: str, paint: str | None = None) -> Markup:
    return element(
        "rect",
        x=_at(start_um, length_um),
        y=_TOP,
        width=percent(wide_um / length_um * 0.996),
        height=_DEEP,
        class_=class_,
        fill=paint,
    )


_HATCH = {"facing": "cross", "trim": "cross", "scrapped": "wide", "rest": "rising"}


def _part(part: Part, place_um: int, length_um: int, key: str) -> Markup:
    centre = place_um + part.length_um / 2
    wide_px = part.length_um / length_um * _WIDE
    hatch = _HATCH.get(part.kind)
    children = [
        _box(
            place_um,
            part.length_um,
            length_um,
            f"part-body of-{part.kind}",
            f"url(#{key}-{hatch})" if hatch else None,
        )
    ]
    if part.kerf_um:
        children.append(_box(place_um + part.length_um, part.kerf_um, length_um, "bar-kerf"))
    if part.mark and len(part.mark) * _LETTER + 10 <= wide_px:
        children.append(_plate(part.mark, centre, length_um))
    if part.kind in ("piece", "facing"):
        children.append(_hung("M-7 0L-2 6L8 -7", centre, _BOTTOM + 13, length_um, "part-tick"))
        children.append(_hung("M-8 -13H8L0 -2Z", centre, _TOP, length_um, "part-point"))
        end = place_um + part.length_um + part.kerf_um / 2
        children.append(_hung(f"M0 -10V{_DEEP + 10}", end, _TOP, length_um, "part-band"))
    return element("g", *children, class_=f"part is-{part.state}", data_part=part.key)


def _plate(words: str, centre_um: float, length_um: int) -> Markup:
    half = (len(words) * _LETTER + 8) / 2
    return element(
        "svg",
        element("rect", x=-half, y=-12, width=2 * half, height=24, class_="bar-plate"),
        element("text", words, x=0, y=6, text_anchor="middle", class_="part-mark"),
        x=_at(centre_um, length_um),
        y=_TOP + _DEEP / 2,
        width=1,
        height=1,
        overflow="visible",
    )


def _hung(path: str, place_um: float, y: float, length_um: int, class_: str) -> Markup:
    return element(
        "svg",
        element("path", d=path, class_=class_),
        x=_at(place_um, length_um),
        y=y,
        width=1,
        height=1,
        overflow="visible",
    )
