"""What the marks on a bar mean, said once on a page."""

from markupsafe import Markup

from kerfsmith.web.drawing.hatch import hatches
from kerfsmith.web.drawing.svg import element
from kerfsmith.web.words import say

_SIZE = {"width": 34, "height": 20}


def bar_legend() -> Markup:
    """A list of small samples with their words."""
    return element(
        "ul",
        _sample(
            say("a piece with its mark; its length is below"),
            element("rect", x=1, y=2, width=32, height=16, class_="bar-body bar-edge"),
        ),
        _sample(say("kerf, drawn wide enough to see"), element("path", d="M17 1V19", class_="bar-cut")),
        _sample(say("facing cut"), _hatched("cross", "legend-a"), hatches(("cross",), "legend-a")),
        _sample(
            say("remnant, goes back to the rack"),
            _hatched("rising", "legend-b"),
            hatches(("rising",), "legend-b"),
        ),
        _sample(say("scrap"), _hatched("wide", "legend-c"), hatches(("wide",), "legend-c")),
        _sample(
            say("least grip, between the jaws"),
            element("rect", x=6, y=1, width=22, height=4, class_="bar-jaw"),
            element("rect", x=6, y=15, width=22, height=4, class_="bar-jaw"),
        ),
        class_="legend",
    )


def _hatched(name: str, key: str) -> Markup:
    return element("rect", x=1, y=2, width=32, height=16, fill=f"url(#{key}-{name})", class_="limit-box")


def _sample(words: str, *parts: Markup) -> Markup:
    return element("li", element("svg", *parts, aria_hidden="true", **_SIZE), words)
