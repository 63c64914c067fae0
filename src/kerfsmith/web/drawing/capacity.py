"""What passes a saw at its square cut: the largest round, square and rectangle, one behind the other."""

from markupsafe import Markup

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.web.drawing.svg import element, number, picture
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say

_WIDTH, _HEIGHT = 330.0, 270.0
_LARGEST_MM = 620.0
"""All saws are drawn to one scale, so that they can be compared by eye; a larger one fills its picture."""


def capacity_drawing(saw: SawSheet, reading: Reading, key: str) -> Markup:
    """Vise seen along the bar, bed below, with the three largest works standing on it."""
    row = saw.capacities[0]
    largest = max(_LARGEST_MM, row.rect_width_mm, row.rect_height_mm * 1.2)
    scale = (_WIDTH - 70) / largest
    bed, middle = _HEIGHT - 34, _WIDTH / 2
    words = say(
        "At the square cut it takes a round of {round}, a square of {square} and a rectangle "
        "{rect_width} wide and {rect_height} high.",
        round=reading.size(row.round_mm),
        square=reading.size(row.square_mm),
        rect_width=reading.size(row.rect_width_mm),
        rect_height=reading.size(row.rect_height_mm),
    )

    def box(width_mm: float, height_mm: float, class_: str) -> Markup:
        width, height = width_mm * scale, height_mm * scale
        return element(
            "rect", x=middle - width / 2, y=bed - height, width=width, height=height, class_=class_
        )

    half = row.rect_width_mm * scale / 2
    jaw = row.rect_height_mm * scale * 0.8
    radius = row.round_mm * scale / 2
    parts = [
        *(
            element("rect", x=x, y=bed - jaw, width=12, height=jaw, class_="saw-jaw")
            for x in (middle - half - 13, middle + half + 1)
        ),
        element("rect", x=18, y=bed, width=_WIDTH - 36, height=7, class_="saw-jaw"),
        box(row.rect_width_mm, row.rect_height_mm, "saw-work"),
        box(row.square_mm, row.square_mm, "saw-work"),
        element("circle", cx=middle, cy=bed - radius, r=radius, class_="saw-work"),
        element(
            "text",
            f"Ø {reading.bare_size(row.round_mm)}",
            x=middle,
            y=bed - radius + 5,
            text_anchor="middle",
            class_="rule-text",
        ),
        element(
            "text",
            f"{reading.bare_size(row.rect_width_mm)} × {reading.bare_size(row.rect_height_mm)}",
            x=middle,
            y=bed - max(row.rect_height_mm, row.square_mm, row.round_mm) * scale - 7,
            text_anchor="middle",
            class_="rule-text",
        ),
        element(
            "text",
            say("vise and bed, seen along the bar"),
            x=middle,
            y=bed + 24,
            text_anchor="middle",
            class_="note",
        ),
    ]
    return picture(
        say("Capacity of the {name}", name=saw.name),
        words,
        parts,
        key=key,
        class_="section",
        viewBox=f"0 0 {number(_WIDTH)} {number(_HEIGHT)}",
        width=_WIDTH,
        height=_HEIGHT,
    )
