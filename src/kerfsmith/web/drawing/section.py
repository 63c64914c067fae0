"""A section as a draughtsman draws it: outline, hatching at 45 degrees, centre lines and dimensions."""

from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.geometry.outline import Loop, Outline
from kerfsmith.geometry.pieces import Arc, Piece
from kerfsmith.web.drawing.hatch import hatches
from kerfsmith.web.drawing.svg import element, number, picture
from kerfsmith.web.reading import Reading

_ARROW = 7.0


@dataclass(frozen=True, slots=True)
class Frame:
    """Where millimetres of the section land on the picture: pixels = origin + scale * mm, y turned over."""

    left: float
    top: float
    scale: float
    x_min: float
    y_max: float

    @classmethod
    def fit(cls, outline: Outline, *, left: float, top: float, width: float, height: float) -> "Frame":
        """The frame that holds the outline in a box of pixels, as large as it goes, centred."""
        scale = min(width / outline.width_mm, height / outline.height_mm)
        x_min, _, _, y_max = outline.bounds
        return cls(
            left + (width - outline.width_mm * scale) / 2,
            top + (height - outline.height_mm * scale) / 2,
            scale,
            x_min,
            y_max,
        )

    def at(self, point: tuple[float, float]) -> tuple[float, float]:
        """A point of the section in pixels."""
        return self.left + (point[0] - self.x_min) * self.scale, self.top + (self.y_max - point[1]) * self.scale


def outline_path(outline: Outline, frame: Frame) -> str:
    """The outline as path data, arcs as true arcs."""
    return "".join(_loop_path(loop, frame) for loop in outline.loops)


def _loop_path(loop: Loop, frame: Frame) -> str:
    x, y = frame.at(loop.pieces[0].start)
    return f"M{number(x)} {number(y)}" + "".join(_piece_path(piece, frame) for piece in loop.pieces) + "Z"


def _piece_path(piece: Piece, frame: Frame) -> str:
    x, y = frame.at(piece.end)
    if not isinstance(piece, Arc):
        return f"L{number(x)} {number(y)}"
    greater, lesser, direction = piece.half_axes
    large = int(abs(piece.sweep_rad) > 3.141592653589793)
    turn = int(not piece.ccw)  # y is turned over, and so is the sense of turning
    radii = f"{number(greater * frame.scale)} {number(lesser * frame.scale)} {number(-direction)}"
    return f"A{radii} {large} {turn} {number(x)} {number(y)}"


def section_drawing(
    outline: Outline, *, name: str, reading: Reading, key: str, width: float = 190, height: float = 170
) -> Markup:
    """The section with its two overall dimensions, to fit in ``width`` by ``height`` pixels."""
    frame = Frame.fit(outline, left=14, top=14, width=width - 62, height=height - 56)
    words = (
        f"Section drawn to scale: {reading.size(outline.width_mm)} wide, {reading.size(outline.height_mm)} high, "
        f"area {reading.area(outline.area_mm2 / 100)}."
    )
    parts = [hatches(("rising",), key), *body(outline, frame, key), *centre_lines(outline, frame)]
    parts += overall_dimensions(outline, frame, reading)
    return picture(
        name, words, parts, key=key, class_="section", viewBox=f"0 0 {number(width)} {number(height)}",
        width=width, height=height,
    )  # fmt: skip


def body(outline: Outline, frame: Frame, key: str) -> list[Markup]:
    """Hatched outline. The hatch named ``{key}-rising`` must be defined in the picture."""
    path = outline_path(outline, frame)
    return [
        element("path", d=path, fill_rule="evenodd", class_="section-paper"),
        element("path", d=path, fill_rule="evenodd", fill=f"url(#{key}-rising)", class_="section-outline"),
    ]


def centre_lines(outline: Outline, frame: Frame) -> list[Markup]:
    """Chain lines through the middle of the section, a little beyond its edges."""
    x0, y0, x1, y1 = outline.bounds
    left, top = frame.at((x0, y1))
    right, low = frame.at((x1, y0))
    x, y, over = (left + right) / 2, (top + low) / 2, 8
    return [
        element("line", x1=left - over, x2=right + over, y1=y, y2=y, class_="centre"),
        element("line", x1=x, x2=x, y1=top - over, y2=low + over, class_="centre"),
    ]


def overall_dimensions(outline: Outline, frame: Frame, reading: Reading) -> list[Markup]:
    """Width below and height at the right, with extension lines and arrows."""
    x0, y0, x1, y1 = outline.bounds
    left, top = frame.at((x0, y1))
    right, low = frame.at((x1, y0))
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
            "text", words, x=x + 14, y=middle, text_anchor="middle", class_="rule-text",
            transform=f"rotate(-90 {number(x + 14)} {number(middle)})",
        ),
    ]  # fmt: skip


def _arrow(x: float, y: float, dx: int, dy: int) -> str:
    """A slender arrowhead with its point at (x, y), its body lying in direction (dx, dy)."""
    back_x, back_y, half = x + dx * _ARROW, y + dy * _ARROW, 1.8
    return (
        f"M{number(x)} {number(y)}L{number(back_x - dy * half)} {number(back_y - dx * half)}"
        f"L{number(back_x + dy * half)} {number(back_y + dx * half)}Z"
    )
