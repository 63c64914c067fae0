"""The week as a picture: a row for each saw, hours along it, runs as blocks that can be taken hold of."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.geometry.draw import path
from kerfsmith.geometry.outline import Outline
from kerfsmith.web.drawing.hatch import hatches
from kerfsmith.web.drawing.section import fit
from kerfsmith.web.drawing.svg import element, group, picture
from kerfsmith.web.words import say

HEAD, ROW, TOP, BLOCK = 52.0, 104.0, 26.0, 58.0
"""Heights in pixels: the scale of days and hours; a saw's row; its blocks' distance from its top; a block."""
LETTER = 8.5
"""Width of a letter of a day's or a grade's name, roughly, in pixels."""
LEAST = 7.0
"""Least width of a block: shorter work is drawn a little too long rather than lost."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of hours, from ``start`` to ``end`` in hours from the picture's left edge.

    ``kind``: attended, unattended, overtime, asked (overtime that is), stop or gone.
    """

    start: float
    end: float
    kind: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """One run on its saw. Times are hours from the left edge.

    ``parts`` are the stretches in which it is worked at, ``handling`` those of them with crane and hands.
    ``set_up`` is what lies before it, ``change`` the words of the band change in it. ``marks`` are short
    words that stand on it, such as LATE and PINNED. ``saws`` are those that may take it.
    """

    run: str
    href: str
    grade: str
    section: str
    told: str
    kind: str
    parts: tuple[tuple[float, float], ...]
    handling: tuple[tuple[float, float], ...]
    set_up: tuple[float, float] | None
    change: str
    due: float | None
    late: bool
    marks: tuple[str, ...]
    saws: tuple[str, ...]
    movable: bool
    chosen: bool
    outline: Outline | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """A saw with its hours and runs, in their order."""

    saw: str
    name: str
    stretches: tuple[Stretch, ...]
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Day:
    """Where a day begins, in hours from the left edge, its name, and the name where there is little room."""

    at: float
    words: str
    short: str


@dataclass(frozen=True, slots=True)
class Scale:
    """Days and hours along the top; ``marks`` as (hours, words)."""

    hours: float
    px_per_hour: float
    days: tuple[Day, ...]
    marks: tuple[tuple[float, str], ...]
    now: float

    def x(self, hours: float) -> float:
        """Pixels from the left edge."""
        return hours * self.px_per_hour

    @property
    def width(self) -> float:
        """The whole picture."""
        return self.x(self.hours)


def week_picture(rows: Sequence[Row], scale: Scale, *, name: str, words: str, now_word: str) -> Markup:
    """The week; each block is a link to what is told of its run and carries what a script moves it by."""
    height = HEAD + ROW * len(rows)
    parts = [
        hatches(("rising", "wide", "cross", "dashes", "upright", "level"), "week"),
        *_head(scale, height),
        *(_row(row, scale, HEAD + ROW * at) for at, row in enumerate(rows)),
        *_now(scale, height, now_word),
    ]
    return picture(
        name,
        words,
        parts,
        key="week",
        class_="week-picture",
        role="group",
        viewBox=f"0 0 {scale.width:.0f} {height:.0f}",
        width=scale.width,
        height=height,
        data_px_per_hour=scale.px_per_hour,
    )


def _head(scale: Scale, height: float) -> Iterable[Markup]:
    for hours, words in scale.marks:
        x = scale.x(hours)
        yield element("line", x1=x, x2=x, y1=32, y2=height, class_="week-hour")
        yield element("text", words, x=x + 3, y=46, class_="week-hour-name")
    for number, day in enumerate(scale.days):
        x = scale.x(day.at)
        yield element("line", x1=x, x2=x, y1=0, y2=height, class_="week-day")
        end = scale.days[number + 1].at if number + 1 < len(scale.days) else scale.hours
        room = scale.x(end - day.at) - 12
        words = next((name for name in (day.words, day.short) if len(name) * LETTER < room), "")
        if words:
            yield element("text", words, x=x + 6, y=17, class_="week-day-name")


def _row(row: Row, scale: Scale, y: float) -> Markup:
    blocks = sorted(row.blocks, key=lambda block: block.parts[0][0])
    return group(
        [
            element("rect", x=0, y=y, width=scale.width, height=ROW, class_="week-row"),
            *(_stretch(one, scale, y) for one in row.stretches),
            *(mark for one in blocks for mark in _due(one, scale, y)),
            *(_block(one, scale, y) for one in blocks),
        ],
        class_="week-saw",
        data_saw=row.saw,
    )


_PAINT = {
    "attended": None,
    "asked": "dashes",
    "overtime": "dashes",
    "unattended": "rising",
    "stop": "cross",
    "gone": "wide",
}


def _stretch(one: Stretch, scale: Scale, y: float) -> Markup:
    x, width = scale.x(one.start), scale.x(one.end - one.start)
    paint = _PAINT[one.kind]
    parts = [element("rect", x=x, y=y + 1, width=width, height=ROW - 2, class_=f"week-{one.kind}")]
    if paint:
        fill = f"url(#week-{paint})"
        parts.append(element("rect", x=x, y=y + 1, width=width, height=ROW - 2, fill=fill))
    if one.name and width > 9 * len(one.name):
        parts.append(element("text", one.name, x=x + 5, y=y + ROW - 7, class_="week-stretch-name"))
    return group(parts)


def _due(one: Block, scale: Scale, y: float) -> Iterable[Markup]:
    """Where a run is wanted: a flag at the foot of the row; a late run is tied to it."""
    if one.due is None or not 0 <= one.due <= scale.hours:
        return
    x, foot = scale.x(one.due), y + ROW - 5
    if one.late:
        end = scale.x(one.parts[-1][1])
        yield element(
            "path", d=f"M{x:.1f} {foot:.1f}H{end:.1f}V{y + TOP + BLOCK:.1f}", class_="week-late-tie"
        )
    yield element(
        "path",
        d=f"M{x:.1f} {foot:.1f}V{foot - 13:.1f}L{x - 8:.1f} {foot - 9:.1f}L{x:.1f} {foot - 5:.1f}Z",
        class_="week-due is-late" if one.late else "week-due",
    )


def _block(one: Block, scale: Scale, y: float) -> Markup:
    top = y + TOP
    start, end = one.parts[0][0], one.parts[-1][1]
    parts = []
    if one.set_up is not None:
        parts.append(_set_up(one, scale, top))
    if len(one.parts) > 1:
        parts.append(
            element(
                "line",
                x1=scale.x(start),
                x2=scale.x(end),
                y1=top + BLOCK / 2,
                y2=top + BLOCK / 2,
                class_="week-break",
            )
        )
    for first, last in one.parts:
        width = max(LEAST, scale.x(last - first) - 1)
        box = {"x": scale.x(first), "y": top, "width": width, "height": BLOCK}
        parts.append(element("rect", **box, class_="week-body"))
    for first, last in one.handling:
        width = max(1.5, scale.x(last - first))
        parts.append(
            element("rect", x=scale.x(first), y=top + BLOCK - 9, width=width, height=9, class_="week-hands")
        )
    parts.append(_lettering(one, scale, top))
    classes = ["week-run", f"is-{one.kind}"]
    classes += ["is-late"] if one.late else []
    classes += ["is-chosen"] if one.chosen else []
    return element(
        "a",
        *parts,
        href=one.href,
        class_=" ".join(classes),
        aria_label=one.told,
        aria_current="true" if one.chosen else None,
        data_run=one.run,
        data_saws=" ".join(one.saws),
        data_start=scale.x(start),
        data_end=scale.x(end),
        data_movable="yes" if one.movable else None,
    )


def _set_up(one: Block, scale: Scale, top: float) -> Markup:
    assert one.set_up is not None, say("asked only where there is one")
    first, last = one.set_up
    x, width = scale.x(first), max(3.0, scale.x(last - first))
    return group(
        [
            element("rect", x=x, y=top + 6, width=width, height=BLOCK - 12, class_="week-change"),
            element(
                "path", d=f"M{x + width / 2:.1f} {top - 8:.1f}V{top + BLOCK - 2:.1f}", class_="band-line"
            ),
            element("title", one.change),
        ]
    )


def _lettering(one: Block, scale: Scale, top: float) -> Markup:
    """Section, grade and marks at the longest part; a grade that its width does not hold stands upright."""
    first, last = max(one.parts, key=lambda part: part[1] - part[0])
    x, width = scale.x(first), scale.x(last - first) - 1
    inside = []
    left = 4.0
    level = len(one.grade) * LETTER + 6 <= width
    if one.outline is not None and level and width >= 34:
        frame = fit(one.outline, left=5, top=5, width=22, height=22)
        inside.append(element("path", d=path(one.outline, frame), fill_rule="evenodd", class_="week-section"))
        left = 32.0
    if level:
        inside.append(element("text", one.grade, x=4, y=47, class_="week-name"))
    elif width >= 17 and len(one.grade) * LETTER <= BLOCK:
        upright = f"translate({width / 2 + 5:.1f} {BLOCK - 4:.1f}) rotate(-90)"
        inside.append(element("text", one.grade, transform=upright, class_="week-name"))
    if width >= 84:
        inside.append(element("text", one.section, x=left, y=21, class_="week-name is-small"))
    above = []
    if one.marks:
        # Marks stand above the block, so that they are read whatever its width.
        marks = " ".join(one.marks)
        above.append(element("text", marks, x=x, y=top - 8, class_="week-mark"))
    window = element(
        "svg", *inside, x=x, y=top, width=max(0.0, width), height=BLOCK, aria_hidden="true", overflow="hidden"
    )
    return group([window, *above])


def _now(scale: Scale, height: float, word: str) -> Iterable[Markup]:
    if 0 <= scale.now <= scale.hours:
        x = scale.x(scale.now)
        yield element("line", x1=x, x2=x, y1=28, y2=height, class_="week-now")
        yield element("text", word, x=x + 4, y=32, class_="week-now-name")
