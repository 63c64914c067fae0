"""A control chart: values in their order, what is usual, its limits, and what moved, told apart by shape."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.web.drawing.scale import steps_between
from kerfsmith.web.drawing.svg import element, group, number, picture

WIDTH, HEIGHT = 1000.0, 360.0
_LEFT, _RIGHT, _TOP, _LOW = 96.0, 880.0, 40.0, 306.0
MOST = 150
"""So many values are drawn, the newest; more would be closer than a finger is wide."""


@dataclass(frozen=True, slots=True)
class ChartMark:
    """One value: drawn as a dot when usual, a diamond when it moved, a triangle when it lies far out
    alone.
    """

    value: float
    kind: str
    told: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """Values from place ``begin`` to before ``end`` that have moved, with the letter it is told by."""

    begin: int
    end: int
    letter: str


@dataclass(frozen=True, slots=True)
class Line:
    """A level drawn across, with its words at the right end. ``kind`` is centre, limit or sold; ends has
    its words alone.
    """

    value: float
    words: str
    kind: str


@dataclass(frozen=True, slots=True)
class Steps:
    """A level that differs from value to value, with its words at the right end."""

    values: Sequence[float]
    words: str
    kind: str


@dataclass(frozen=True, slots=True)
class ChartShown:
    """What a chart shows. ``days`` are words under some values by their places; ``steps`` vary with them."""

    name: str
    words: str
    unit: str
    marks: Sequence[ChartMark]
    lines: Sequence[Line]
    stretches: Sequence[Stretch]
    days: Sequence[tuple[int, str]]
    smooth: Sequence[float] = ()
    """The weighted average after each value."""
    steps: Sequence[Steps] = ()


def control_chart(chart: ChartShown, tick: Callable[[float], str], key: str) -> Markup:
    """The picture of at least one value; ``tick`` writes a value of the axis."""
    values = [mark.value for mark in chart.marks] + [line.value for line in chart.lines]
    values += [value for level in chart.steps for value in level.values]
    low, high = min(values), max(values)
    room = max((high - low) * 0.08, 1e-9)
    low, high = low - room, high + room

    def up(value: float) -> float:
        return _LOW - (_LOW - _TOP) * (value - low) / (high - low)

    pace = (_RIGHT - _LEFT) / max(len(chart.marks), 1)

    def across(place: float) -> float:
        return _LEFT + pace * (place + 0.5)

    parts = [
        *_stretches(chart.stretches, across, pace),
        *_axis(low, high, up, tick),
        *(_stepped(level, pace, up) for level in chart.steps),
        *_lines([*chart.lines, *(Line(one.values[-1], one.words, "ends") for one in chart.steps)], up),
        element("path", d=_way([mark.value for mark in chart.marks], across, up), class_="chart-way"),
        *(_mark(mark, across(place), up(mark.value)) for place, mark in enumerate(chart.marks)),
        element("path", d=_way(chart.smooth, across, up), class_="smooth") if chart.smooth else Markup(),
        *(
            element("text", words, x=across(place), y=_LOW + 24, text_anchor="middle", class_="rule-text")
            for place, words in chart.days
        ),
        element("text", chart.unit, x=8, y=22, class_="axis-name"),
    ]
    return picture(
        chart.name,
        chart.words,
        parts,
        key=key,
        class_="control-chart",
        viewBox=f"0 0 {number(WIDTH)} {number(HEIGHT)}",
    )


def _way(values: Sequence[float], across: Callable[[float], float], up: Callable[[float], float]) -> str:
    return "M" + "L".join(
        f"{number(across(place))} {number(up(value))}" for place, value in enumerate(values)
    )


def _stepped(level: Steps, pace: float, up: Callable[[float], float]) -> Markup:
    """A level flat under each value, with a step between two that differ."""
    corners = [
        f"{number(_LEFT + pace * place)} {number(up(value))}H{number(_LEFT + pace * (place + 1))}"
        for place, value in enumerate(level.values)
    ]
    return element("path", d="M" + "L".join(corners), fill="none", class_=f"level {level.kind}")


def _mark(mark: ChartMark, x: float, y: float) -> Markup:
    match mark.kind:
        case "moved":
            shape = element(
                "path", d=f"M{number(x)} {number(y - 6.5)}l6.5 6.5l-6.5 6.5l-6.5 -6.5z", class_="moved"
            )
        case "far":
            shape = element("path", d=f"M{number(x)} {number(y - 9)}l8.5 15h-17z", class_="far")
        case _:
            shape = element("circle", cx=x, cy=y, r=3.4, class_="usual")
    return group([element("title", mark.told), shape])


def _lines(lines: Sequence[Line], up: Callable[[float], float]) -> list[Markup]:
    parts = []
    taken: list[float] = []
    for line in sorted(lines, key=lambda one: one.value, reverse=True):
        y = up(line.value)
        words_y = y + 5
        # Words of neighbouring levels step aside downwards, each still beside its own line's end.
        while any(abs(words_y - other) < 17 for other in taken):
            words_y += 4
        taken.append(words_y)
        if line.kind != "ends":
            parts.append(element("line", x1=_LEFT, x2=_RIGHT, y1=y, y2=y, class_=f"level {line.kind}"))
        parts.append(element("text", line.words, x=_RIGHT + 8, y=words_y, class_="rule-text"))
    return parts


def _axis(
    low: float, high: float, up: Callable[[float], float], tick: Callable[[float], str]
) -> list[Markup]:
    parts = [element("line", x1=_LEFT, x2=_LEFT, y1=_TOP, y2=_LOW, class_="axis")]
    for value in steps_between(low, high, 5):
        y = up(value)
        parts.append(element("line", x1=_LEFT - 5, x2=_LEFT, y1=y, y2=y, class_="axis"))
        parts.append(
            element("text", tick(value), x=_LEFT - 10, y=y + 5, text_anchor="end", class_="rule-text")
        )
    return parts


def _stretches(stretches: Sequence[Stretch], across: Callable[[float], float], pace: float) -> list[Markup]:
    parts = []
    for one in stretches:
        left, right = across(one.begin) - pace / 2, across(one.end - 1) + pace / 2
        width = max(right - left, 4.0)
        parts.append(element("rect", x=left, y=_TOP, width=width, height=_LOW - _TOP, class_="stretch"))
        parts.append(element("line", x1=left, x2=left, y1=_TOP, y2=_LOW, class_="since"))
        parts.append(
            element("text", one.letter, x=left + width / 2, y=_TOP - 8, text_anchor="middle", class_="letter")
        )
    return parts
