"""Saws side by side: a figure of each with its range on one scale; and how near a limit the work comes."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.web.drawing.svg import element, percent

WIDTH, NAME, FIGURE, ROW, BAR = 960, 190, 190, 44, 18


@dataclass(frozen=True, slots=True)
class SideBar:
    """One saw's figure: low, likely and high on a common scale, and the words that say the same."""

    name: str
    low: float
    likely: float
    high: float
    words: str


def side_by_side(bars: Sequence[SideBar], title: str) -> Markup:
    """A bar to the likely figure of each, with its ends as a span; from nothing, so that lengths compare."""
    most = max((bar.high for bar in bars), default=0.0) or 1.0
    room = WIDTH - NAME - FIGURE
    parts: list[Markup] = [element("title", title)]
    for at, bar in enumerate(bars):
        y = at * ROW + 8
        middle = y + BAR / 2
        x = {end: NAME + room * getattr(bar, end) / most for end in ("low", "likely", "high")}
        parts += [
            element("text", bar.name, x=0, y=middle + 5, class_="row-name"),
            element("rect", x=NAME, y=y, width=room, height=BAR, class_="whole"),
            element("rect", x=NAME, y=y, width=round(x["likely"] - NAME, 2), height=BAR, class_="bar-of"),
            element(
                "path",
                d=f"M{x['low']:.2f} {middle - 6}V{middle + 6}M{x['low']:.2f} {middle}H{x['high']:.2f}"
                f"M{x['high']:.2f} {middle - 6}V{middle + 6}",
                class_="span",
            ),
            element("text", bar.words, x=WIDTH - FIGURE + 12, y=middle + 5, class_="row-figure"),
        ]
    height = max(len(bars), 1) * ROW
    return element("svg", *parts, viewBox=f"0 0 {WIDTH} {height}", class_="side-by-side", role="img")


def gauge(share: float) -> Markup:
    """A strip that fills to the limit at its end; past it, it is drawn in the colour of danger, and words
    beside it say so."""
    over = share > 1
    return element(
        "svg",
        element("rect", x=1, y=1, width="99.8%", height=14, class_="whole"),
        element(
            "rect",
            x=1,
            y=1,
            width=percent(0.998 * max(0.0, min(share, 1.0))),
            height=14,
            class_="over" if over else "done",
        ),
        class_="gauge",
        aria_hidden="true",
    )
