"""Figures against depth: profiles that grow to the right from an upright axis, depth running down."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.cutting.setting import Limit
from kerfsmith.units.show import MM_PER_INCH
from kerfsmith.web.drawing.hatch import LIMIT_HATCH, hatch_name
from kerfsmith.web.drawing.scale import tick_text, ticks
from kerfsmith.web.drawing.svg import element, number
from kerfsmith.web.reading import Reading

TOP, LOW = 62.0, 392.0
"""Where the charts begin and end on the picture, pixels."""

Points = Sequence[tuple[float, float]]
"""Depth in mm with a figure in mm or mm/min."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Depths in a row that one limit rules, mm."""

    limit: Limit
    start_mm: float
    end_mm: float


@dataclass(frozen=True, slots=True)
class Depth:
    """Where depths of a cut stand on the charts."""

    depth_mm: float

    def at(self, place_mm: float) -> float:
        """A depth in pixels from the picture's top."""
        return TOP + (LOW - TOP) * place_mm / self.depth_mm


@dataclass(frozen=True, slots=True)
class Column:
    """One chart: ``kind`` for the style sheet, caption, place in pixels, and the figure at its right."""

    kind: str
    caption: str
    left: float
    right: float
    top: float

    def at(self, figure: float) -> float:
        """A figure in pixels from the picture's left."""
        return self.left + (self.right - self.left) * figure / self.top if self.top else self.left


def profile(
    figures: Points,
    down: Depth,
    reading: Reading,
    column: Column,
    ruled: tuple[Stretch, ...] = (),
    key: str = "",
) -> list[Markup]:
    """One figure against depth, hatched by ``ruled`` where given."""
    left = number(column.left)
    line = "L".join(f"{number(column.at(figure))} {number(down.at(depth))}" for depth, figure in figures)
    area = f"M{left} {number(TOP)}L{line}L{left} {number(LOW)}Z"
    plain = [element("path", d=area, class_=f"area {column.kind}")]
    return [
        *_grid(column, reading),
        *(_hatched(area, ruled, down, column, key) if ruled else plain),
        element("path", d=f"M{line}", class_=f"profile {column.kind}"),
        element("line", x1=column.left, x2=column.left, y1=TOP, y2=LOW, class_="axis"),
        element("text", column.caption, x=column.left, y=TOP - 28, class_="axis-name"),
    ]


def limit_box(limit: Limit, x: float, y: float, width: float, height: float, key: str) -> list[Markup]:
    """A box in the tint and the hatch of a limit."""
    box = {"x": x, "y": y, "width": width, "height": max(0.5, height)}
    return [
        element("rect", class_=f"tint tint-{LIMIT_HATCH[limit]}", **box),
        element("rect", class_="limit-box", fill=hatch_name(limit, key), **box),
    ]


def unit_mm(reading: Reading) -> float:
    """Millimetres in the unit that a reader's axes count in."""
    return 1.0 if reading.is_metric else MM_PER_INCH


def _grid(column: Column, reading: Reading) -> list[Markup]:
    parts = []
    for value in ticks(column.top / unit_mm(reading), 4):
        x = column.at(value * unit_mm(reading))
        parts += [
            element("line", x1=x, x2=x, y1=TOP, y2=LOW, class_="grid"),
            element("text", tick_text(value), x=x, y=TOP - 8, text_anchor="middle", class_="tick"),
        ]
    return parts


def _hatched(area: str, ruled: tuple[Stretch, ...], down: Depth, column: Column, key: str) -> list[Markup]:
    """The area of a profile, each stretch in the tint and the hatch of its limit."""
    boxes = []
    for part in ruled:
        y, end = down.at(part.start_mm), down.at(part.end_mm)
        boxes += limit_box(part.limit, column.left, y, column.right - column.left, end - y, key)
    clip = f"{key}-{column.kind}-area"
    return [
        element("defs", element("clipPath", element("path", d=area), id=clip)),
        element("g", *boxes, clip_path=f"url(#{clip})"),
    ]
