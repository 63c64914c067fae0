"""The trade-off as a picture: time across, cost upwards, every setting a mark the larger the safer it is.

Marks are links to their own setting. Where no band's life is known there is no cost, and the risk
stands upwards in its place.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.web.drawing.scale import steps_between, tick_text
from kerfsmith.web.drawing.svg import element, number, picture
from kerfsmith.web.reading import seconds, share
from kerfsmith.web.words import say

WIDTH, HEIGHT = 1000.0, 400.0
_LEFT, _RIGHT, _TOP, _LOW = 92.0, 960.0, 44.0, 328.0
_LEAST, _MOST = 11.0, 25.0
"""Radius of a mark at the limit and of one without any risk, pixels."""
_DOT = 5.0
"""Radius of a mark for which there is no room among its neighbours."""
_LETTER, _LINE = 7.4, 17.0
_AROUND = (
    (0.0, -1.0),
    (0.0, 1.0),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.8, -0.9),
    (-0.8, -0.9),
    (0.8, 0.9),
    (-0.8, 0.9),
)
"""Where a mark's words may stand, as directions from it, the first that is free taken."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One setting: seconds of a cut, its cost, and how near it comes to trouble.

    ``number`` is its place on the front, empty for a setting off it, which is drawn as a diamond; ``words``
    are its names.
    """

    number: str
    words: str
    seconds: float
    cost: float | None
    risk: float
    href: str
    shown: bool
    told: str


def trade_off_picture(marks: Sequence[Mark], currency: str, key: str) -> Markup:
    """The whole picture of at least one mark."""
    priced = all(mark.cost is not None for mark in marks)
    across = _Axis.over([mark.seconds for mark in marks], _LEFT, _RIGHT)
    up = _Axis.over([_height(mark, priced) for mark in marks], _LOW, _TOP)
    front = [mark for mark in marks if mark.number]
    way = "L".join(
        f"{number(across.at(mark.seconds))} {number(up.at(_height(mark, priced)))}" for mark in front
    )
    places = _apart(
        marks, [(across.at(mark.seconds), up.at(_height(mark, priced)), _radius(mark)) for mark in marks]
    )
    words = _Labels(places).all(marks)
    drawn = sorted(range(len(marks)), key=lambda at: (places[at][2], -at))
    parts = [
        *_grid(across, up, priced),
        element("path", d=f"M{way}", class_="way"),
        *(_mark(marks[at], places[at], words[at]) for at in drawn),
        element(
            "text",
            say("cost of a cut, {currency}", currency=currency) if priced else say("risk, %"),
            x=8,
            y=22,
            class_="axis-name",
        ),
        element("text", say("time of a cut"), x=_RIGHT, y=HEIGHT - 14, text_anchor="end", class_="axis-name"),
        element(
            "text",
            say("the larger the mark the safer; its percentage is the risk, 100 % is where trouble begins")
            + (say("; dots stand too close to be numbered") if any(r == _DOT for _, _, r in places) else ""),
            x=_LEFT,
            y=HEIGHT - 14,
            class_="note",
        ),
    ]
    return picture(
        say("Quickest, cheapest, safest"),
        "; ".join(mark.told for mark in marks) + ".",
        parts,
        key=key,
        class_="trade-off",
        role="group",
        viewBox=f"0 0 {number(WIDTH)} {number(HEIGHT)}",
    )


def _height(mark: Mark, priced: bool) -> float:
    return mark.cost if priced and mark.cost is not None else mark.risk * 100


def _radius(mark: Mark) -> float:
    return _LEAST + (_MOST - _LEAST) * max(0.0, 1.0 - mark.risk)


def _apart(
    marks: Sequence[Mark], places: Sequence[tuple[float, float, float]]
) -> list[tuple[float, float, float]]:
    """Places in which no mark covers another: one without a name that would is drawn as a mere dot."""
    kept: list[int] = []
    dots: set[int] = set()
    for at in sorted(range(len(marks)), key=lambda at: (not marks[at].shown, not marks[at].words, at)):
        x, y, radius = places[at]
        near = any(math.hypot(x - places[k][0], y - places[k][1]) < radius + places[k][2] for k in kept)
        if near and not (marks[at].words or marks[at].shown):
            dots.add(at)
        else:
            kept.append(at)
    return [(x, y, _DOT if at in dots else radius) for at, (x, y, radius) in enumerate(places)]


@dataclass(frozen=True, slots=True)
class _Axis:
    """Figures on one axis: the least and the most shown, and the pixels they stand at."""

    low: float
    high: float
    start: float
    end: float

    @classmethod
    def over(cls, figures: Sequence[float], start: float, end: float) -> "_Axis":
        """An axis with a little room on both sides of the figures."""
        low, high = min(figures), max(figures)
        room = max((high - low) * 0.12, abs(high) * 0.02, 1e-9)
        return cls(max(0.0, low - room), high + room, start, end)

    def at(self, figure: float) -> float:
        return self.start + (self.end - self.start) * (figure - self.low) / (self.high - self.low)


def _grid(across: _Axis, up: _Axis, priced: bool) -> list[Markup]:
    parts = []
    for value in steps_between(across.low, across.high, 6):
        x = across.at(value)
        parts += [
            element("line", x1=x, x2=x, y1=_TOP, y2=_LOW, class_="grid"),
            element("text", seconds(value), x=x, y=_LOW + 20, text_anchor="middle", class_="tick"),
        ]
    for value in steps_between(up.low, up.high, 5):
        y = up.at(value)
        text = f"{value:.2f}" if priced else tick_text(value)
        parts += [
            element("line", x1=_LEFT, x2=_RIGHT, y1=y, y2=y, class_="grid"),
            element("text", text, x=_LEFT - 10, y=y + 4.5, text_anchor="end", class_="tick"),
        ]
    frame = f"M{number(_LEFT)} {number(_TOP)}V{number(_LOW)}H{number(_RIGHT)}"
    return [*parts, element("path", d=frame, class_="axis way-axis")]


def _mark(mark: Mark, place: tuple[float, float, float], lines: list[Markup]) -> Markup:
    """One mark with its number inside and its words beside, all one link."""
    x, y, radius = place
    if mark.number:
        body = element("circle", cx=x, cy=y, r=radius, class_="mark")
    else:
        path = f"M{number(x)} {number(y - radius)}l{number(radius)} {number(radius)}l{number(-radius)} "
        path += f"{number(radius)}l{number(-radius)} {number(-radius)}Z"
        body = element("path", d=path, class_="mark")
    inside = [element("text", mark.number, x=x, y=y + 5, text_anchor="middle", class_="mark-number")]
    if radius == _DOT:
        inside = []
    kind = "place is-shown" if mark.shown else "place"
    return element("a", body, *inside, *lines, href=mark.href, aria_label=mark.told, class_=kind)


class _Labels:
    """Finds room for words beside marks."""

    def __init__(self, places: Sequence[tuple[float, float, float]]) -> None:
        self._places = places
        self._taken = [(x - r, y - r, x + r, y + r) for x, y, r in places]

    def all(self, marks: Sequence[Mark]) -> list[list[Markup]]:
        """The words of every mark; the one shown and the named ones choose their place first."""
        found: list[list[Markup]] = [[] for _ in marks]
        for at in sorted(range(len(marks)), key=lambda at: (not marks[at].shown, not marks[at].words)):
            if self._places[at][2] == _DOT:
                continue
            words = [word for word in (marks[at].words, share(marks[at].risk, 0)) if word]
            found[at] = self._beside(words, *self._places[at])
        return found

    def _beside(self, words: Sequence[str], x: float, y: float, radius: float) -> list[Markup]:
        """The words as lines of text in the first free place round a mark; none where all are taken."""
        wide = max(len(word) for word in words) * _LETTER
        high = _LINE * len(words)
        for right, down in _AROUND:
            middle = x + right * (radius + 5 + wide / 2)
            top = y + down * (radius + 4 + high / 2) - high / 2
            box = (middle - wide / 2, top, middle + wide / 2, top + high)
            if self._is_free(box):
                self._taken.append(box)
                return [
                    element(
                        "text",
                        word,
                        x=middle,
                        y=top + _LINE * at + 13,
                        text_anchor="middle",
                        class_="mark-name" if word is words[0] and len(words) > 1 else "note",
                    )
                    for at, word in enumerate(words)
                ]
        return []

    def _is_free(self, box: tuple[float, float, float, float]) -> bool:
        left, top, right, low = box
        if left < _LEFT - 2 or right > WIDTH - 2 or top < 2 or low > _LOW + 2:
            return False
        return all(right <= a or left >= c or low <= b or top >= d for a, b, c, d in self._taken)
