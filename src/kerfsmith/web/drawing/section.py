"""A section as a draughtsman draws it: outline, hatching at 45 degrees, centre lines and dimensions."""

from markupsafe import Markup

from kerfsmith.geometry.draw import Frame, centre_lines, path
from kerfsmith.geometry.outline import Outline
from kerfsmith.web.drawing.hatch import hatches
from kerfsmith.web.drawing.svg import element, number, picture
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say

_ARROW = 7.0


def fit(outline: Outline, *, left: float, top: float, width: float, height: float) -> Frame:
    """The frame that holds the outline in a box of pixels, as large as it goes, centred."""
    scale = min(width / outline.width_mm, height / outline.height_mm)
    x_min, _, _, y_max = outline.bounds
    left += (width - outline.width_mm * scale) / 2
    top += (height - outline.height_mm * scale) / 2
    return Frame(x_min - left / scale, y_max + top / scale, scale, 0.0, width, height)


def section_drawing(
    outline: Outline, *, name: str, reading: Reading, key: str, width: float = 190, height: float = 170
) -> Markup:
    """The section with its two overall dimensions, to fit in ``width`` by ``height`` pixels."""
    frame = fit(outline, left=14, top=14, width=width - 62, height=height - 56)
    words = say(
        "Section drawn to scale: {width} wide, {height} high, area {area}.",
        width=reading.size(outline.width_mm),
        height=reading.size(outline.height_mm),
        area=reading.area(outline.area_mm2 / 100),
    )
    parts = [hatches(("rising",), key), *body(outline, frame, key), *chain_lines(outline, frame)]
    parts += overall_dimensions(outline, frame, reading)
    return picture(
        name,
        words,
        parts,
        key=key,
        class_="section",
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
    )


def body(outline: Outline, frame: Frame, key: str) -> list[Markup]:
    """Hatched outline. The hatch named ``{key}-rising`` must be defined in the picture."""
    edge = path(outline, frame)
    return [
        element("path", d=edge, fill_rule="evenodd", class_="section-paper"),
        element("path", d=edge, fill_rule="evenodd", fill=f"url(#{key}-rising)", class_="section-outline"),
    ]


def chain_lines(outline: Outline, frame: Frame) -> list[Markup]:
    """Centre lines of every body about its axes of symmetry, a little beyond its edges."""
    ends = (frame.segment(line) for line in centre_lines(outline, 8 / frame.scale))
    return [element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_="centre") for (x1, y1), (x2, y2) in ends]


def overall_dimensions(outline: Outline, frame: Frame, reading: Reading) -> list[Markup]:
    """Width below and height at the right, with extension lines and arrows."""
    x0, y0, x1, y1 = outline.bounds
    left, top = frame.point((x0, y1))
    right, low = frame.point((x1, y0))
    across = _dimension(left, right, low, reading.bare_size(outline.width_mm))
    return across + _dimension_upright(top, low, right, reading.bare_size(outline.height_mm))


def _dimension(left: float, right: float, from_y: float, words: str) -> list[Markup]:
    y = from_y + 20
    return [
        *(element("line", x1=x, x2=x, y1=from_y + 4, y2=y + 5, class_="extension") for x in (left, right)),
        element("line", x1=left, x2=right, y1=y, y2=y, class_="rule"),
        element("path", d=_arrow(left, y, 1, 0) + _arrow(right, y, -1, 0), class_="arrow"),
        element("text", words, x=(left + right) / 2, y=y + 15, text_anchor="middle", class_="rule-text"),
    ]


def _dimension_upright(top: float, low: float, from_x: float, words: str) -> list[Markup]:
    x, middle = from_x + 20, (top + low) / 2
    return [
        *(element("line", x1=from_x + 4, x2=x + 5, y1=y, y2=y, class_="extension") for y in (top, low)),
        element("line", x1=x, x2=x, y1=top, y2=low, class_="rule"),
        element("path", d=_arrow(x, top, 0, 1) + _arrow(x, low, 0, -1), class_="arrow"),
        element(
            "text",
            words,
            x=x + 14,
            y=middle,
            text_anchor="middle",
            class_="rule-text",
            transform=f"rotate(-90 {number(x + 14)} {number(middle)})",
        ),
    ]


def _arrow(x: float, y: float, dx: int, dy: int) -> str:
    """A slender arrowhead with its point at (x, y), its body lying in direction (dx, dy)."""
    back_x, back_y, half = x + dx * _ARROW, y + dy * _ARROW, 1.8
    return (
        f"M{number(x)} {number(y)}L{number(back_x - dy * half)} {number(back_y - dx * half)}"
        f"L{number(back_x + dy * half)} {number(back_y + dx * half)}Z"
    )
