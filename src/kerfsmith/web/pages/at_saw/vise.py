"""The vise seen along the bars: as many as are cut at once, side by side, each with its place and its mark.

Places that no bar has yet are dashed. Marks carry their place, by which the panel's script fills them.
"""

from collections.abc import Sequence

from markupsafe import Markup

from kerfsmith.geometry.draw import Frame, path
from kerfsmith.geometry.outline import Outline
from kerfsmith.web.drawing.svg import element, number
from kerfsmith.web.words import say_many

_WIDE, _HIGH = 460.0, 150.0
_JAW, _CLAMP, _UNDER = 34.0, 16.0, 30.0
_LETTER = 12.0
"""Width that a letter of a mark is allowed."""


def vise_picture(outline: Outline, count: int, marks: Sequence[str]) -> Markup:
    """``count`` places, of which the first are taken, one for each of ``marks`` ("" for none)."""
    room = _WIDE - 2 * _JAW
    high = _HIGH - _CLAMP - _UNDER
    scale = min(room / (count * outline.width_mm), high / outline.height_mm)
    left = (_WIDE - count * outline.width_mm * scale) / 2
    floor = _HIGH - _UNDER
    width = outline.width_mm * scale
    top = floor - outline.height_mm * scale
    parts = _vise(left, left + count * width, top, floor)
    for at in range(count):
        mark = marks[at] if at < len(marks) else None
        parts.append(_bar(outline, scale, left + at * width, top, at + 1, mark))
    words = say_many(
        "1 bar in the vise.", "{count} bars side by side between the jaws, held from the top too.", count
    )
    box = f"0 0 {number(_WIDE)} {number(_HIGH)}"
    # Named without ids: the same picture stands in two scenes of one page.
    return element("svg", *parts, role="img", aria_label=words, class_="vise", viewBox=box)


def _vise(left: float, right: float, top: float, floor: float) -> list[Markup]:
    boxes = (
        (left - _JAW, top, _JAW - 1, floor - top),
        (right + 1, top, _JAW - 1, floor - top),
        (left, top - _CLAMP, right - left, _CLAMP - 1),
    )
    return [
        *(
            element("rect", x=x, y=y, width=wide, height=high, class_="vise-jaw")
            for x, y, wide, high in boxes
        ),
        element("line", x1=left - _JAW, x2=right + _JAW, y1=floor, y2=floor, class_="vise-bed"),
    ]


def _bar(outline: Outline, scale: float, left: float, top: float, place: int, mark: str | None) -> Markup:
    x_min, _, _, y_max = outline.bounds
    frame = Frame(x_min - left / scale, y_max + top / scale, scale, 0.0, _WIDE, _HIGH)
    middle = left + outline.width_mm * scale / 2
    letters = max(2, int(outline.width_mm * scale / _LETTER))
    return element(
        "g",
        element("path", d=path(outline, frame), fill_rule="evenodd", class_="vise-bar"),
        element(
            "text",
            str(place),
            x=middle,
            y=top + outline.height_mm * scale / 2 + 9,
            text_anchor="middle",
            class_="vise-place",
        ),
        element(
            "text",
            shortened(mark or "", letters),
            x=middle,
            y=_HIGH - 8,
            text_anchor="middle",
            class_="vise-mark",
        ),
        class_="is-empty" if mark is None else "is-laid",
        data_place=str(place),
        data_letters=str(letters),
    )


def shortened(mark: str, letters: int) -> str:
    """A mark in at most so many letters, so that it doesn't run into its neighbour's."""
    return mark if len(mark) <= letters else f"{mark[: letters - 1]}…"
