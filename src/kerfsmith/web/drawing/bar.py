"""A bar as a strip true to scale: facing, pieces with their marks and lengths, kerfs, remnant and grip.

Places along the strip are shares of its width, so that a strip stretches with the page while its lettering
keeps its size. A kerf is never drawn thinner than a line that can be seen.
"""

import math
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from kerfsmith.planning.plan import ForLine, PlannedBar, PlannedPiece
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.web.drawing.hatch import hatches
from kerfsmith.web.drawing.svg import element, percent, picture
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say

_TOP, _DEEP = 5, 30
_MIDDLE, _BOTTOM = _TOP + _DEEP / 2, _TOP + _DEEP
_RULE = _BOTTOM + 13
HEIGHT = 64
_LEAST_WIDTH = 700
"""Pixels a strip has at least, on the narrowest page it is made for; decides which labels fit."""
_LETTER = 7.0


@dataclass(frozen=True, slots=True)
class Laid:
    """A piece where it lies: long point to long point, micrometres from the bar's front."""

    piece: PlannedPiece
    start_um: int
    end_um: int


@dataclass(frozen=True, slots=True)
class Run:
    """Equal pieces in a row on a bar, from the first one's near end to the last one's far end."""

    piece: PlannedPiece
    count: int
    start_um: int
    end_um: int


def laid_pieces(bar: PlannedBar) -> tuple[Laid, ...]:
    """Every piece of the bar in its place.

    A piece with cuts of its own at both ends is charged with both kerfs together; they are taken as equal.
    """
    place = bar.facing_um + bar.facing_kerf_um
    found = []
    for piece in bar.pieces:
        place += piece.taken_um
        far_um = 0 if not piece.far_cut else piece.kerf_um // 2 if piece.near_cut else piece.kerf_um
        found.append(Laid(piece, place - far_um - piece.length_um, place - far_um))
    return tuple(found)


def runs(bar: PlannedBar) -> tuple[Run, ...]:
    """The bar's pieces as runs of equal ones that lie alike, front to back."""
    found = []
    for _, same in groupby(laid_pieces(bar), key=_likeness):
        laid = list(same)
        found.append(Run(laid[0].piece, len(laid), laid[0].start_um, laid[-1].end_um))
    return tuple(found)


def _likeness(laid: Laid) -> tuple[str, int, tuple[float, float], tuple[ForLine, ...], bool]:
    piece = laid.piece
    return piece.line_id, piece.length_um, piece.ends_deg, piece.others, piece.far_cut


def marks_of(piece: PlannedPiece, bar: PlannedBar) -> str:
    """The piece's mark; of bars cut at once how many pieces of one stroke are for which."""
    if bar.at_once == 1:
        return piece.mark
    return ", ".join(f"{count} × {line.mark}" for line, count in bar.of_load(piece).items())


def times_words(bar: PlannedBar) -> str:
    """How often a pattern is cut: ", 6 times, 3 at once"."""
    if bar.at_once > 1:
        return say(", {times} times, {at_once} at once", times=bar.times, at_once=bar.at_once)
    return say(", {times} times", times=bar.times) if bar.times > 1 else ""


def bar_words(bar: PlannedBar, reading: Reading) -> str:
    """The strip in words, for who doesn't see it."""
    parts = [say("{kind} of {length}", kind=say(bar.kind.capitalize()), length=reading.length(bar.length_um))]
    if bar.facing_um:
        parts.append(say("facing cut {facing}", facing=reading.length(bar.facing_um)))
    for run in runs(bar):
        marks = marks_of(run.piece, bar)
        told = f"({marks})" if bar.at_once > 1 else marks
        parts.append(f"{run.count} × {told}, {reading.length(run.piece.length_um)}")
    if bar.ends_in_vise:
        parts.append(say("the last piece is the bar's own end"))
    else:
        parts.append(
            say("remnant {length}", length=reading.length(bar.remnant_um))
            if bar.keep
            else say("scrap {length}", length=reading.length(bar.remnant_um))
        )
    return "; ".join(parts) + "."


def bar_strip(
    bar: PlannedBar, *, longest_um: int, grip_um: int, across_um: int = 0, reading: Reading, key: str
) -> Markup:
    """The strip of one pattern; ``longest_um`` fills the whole width, ``grip_um`` is the least grip.

    ``across_um`` is the section's extent between the jaws, over which a mitred cut slants.
    """
    scale = _Scale(longest_um)
    back = bar.length_um - bar.remnant_um
    parts = [hatches(("rising", "wide", "cross"), key)]
    parts.append(scale.box(0, bar.length_um, "bar-body"))
    facing_um = bar.facing_um + bar.facing_kerf_um
    if facing_um:
        parts.append(scale.box(0, facing_um, "bar-facing", paint=f"url(#{key}-cross)"))
    parts += _rest(bar, back, min(grip_um, bar.remnant_um), scale, reading, key)
    for laid in laid_pieces(bar):
        parts += _cuts(laid, across_um, scale)
    for run in runs(bar):
        parts += _label(run, scale, reading)
    parts.append(scale.box(0, bar.length_um, "bar-edge"))
    name = say("Bar {bar_id}", bar_id=bar.bar_id) + times_words(bar)
    return picture(name, bar_words(bar, reading), parts, key=key, class_="strip", width="100%", height=HEIGHT)


def stock_strip(bar: Bar, *, longest_um: int, reading: Reading, key: str) -> Markup:
    """The strip of a bar on the rack that nothing has been laid on yet."""
    scale = _Scale(longest_um)
    remnant = bar.kind is BarKind.REMNANT
    parts = [
        hatches(("rising",), key),
        scale.box(0, bar.length_um, "bar-body"),
        *([scale.box(0, bar.length_um, "bar-rest", paint=f"url(#{key}-rising)")] if remnant else []),
        scale.box(0, bar.length_um, "bar-edge"),
        *_dimension(0, bar.length_um, reading.bare_length(bar.length_um), scale),
    ]
    words = say(
        "{kind} of {length}, to the scale of the group's longest.",
        kind=say(bar.kind.capitalize()),
        length=reading.length(bar.length_um),
    )
    return picture(
        say("Bar {id}", id=bar.id), words, parts, key=key, class_="strip", width="100%", height=HEIGHT
    )


@dataclass(frozen=True, slots=True)
class _Scale:
    longest_um: int

    def at(self, place_um: float) -> str:
        return percent(place_um / self.longest_um * 0.998 + 0.001)

    def wide(self, length_um: float) -> str:
        return percent(length_um / self.longest_um * 0.998)

    def fits(self, text: str, length_um: float) -> bool:
        return len(text) * _LETTER + 8 <= length_um / self.longest_um * _LEAST_WIDTH

    def box(self, start_um: float, length_um: float, class_: str, paint: str | None = None) -> Markup:
        return element(
            "rect",
            x=self.at(start_um),
            y=_TOP,
            width=self.wide(length_um),
            height=_DEEP,
            class_=class_,
            fill=paint,
        )

    def text(self, place_um: float, y: float, words: str, class_: str) -> Markup:
        return element("text", words, x=self.at(place_um), y=y, text_anchor="middle", class_=class_)

    def mark(self, place_um: float, y: float, path: str, class_: str) -> Markup:
        """A path in pixels hung on a place of the strip."""
        return element(
            "svg",
            element("path", d=path, class_=class_),
            x=self.at(place_um),
            y=y,
            width=1,
            height=1,
            overflow="visible",
        )


def _cuts(laid: Laid, across_um: int, scale: _Scale) -> list[Markup]:
    """The cuts at a piece's ends, slanting as the head stands; the long point is where the piece ends.

    A positive angle leans the cut's upper end towards the back of the bar, at either end of a piece.
    """
    near_deg, far_deg = laid.piece.ends_deg
    parts = []
    if laid.piece.near_cut:
        slant_um = math.tan(math.radians(near_deg)) * across_um
        parts.append(_cut(laid.start_um - min(0.0, slant_um), slant_um, scale))
    if laid.piece.far_cut:
        slant_um = math.tan(math.radians(far_deg)) * across_um
        parts.append(_cut(laid.end_um - max(0.0, slant_um), slant_um, scale))
        if not slant_um:
            parts.append(scale.box(laid.end_um, laid.piece.kerf_um, "bar-kerf"))
    return parts


def _cut(low_um: float, slant_um: float, scale: _Scale) -> Markup:
    """A cut from its lower end at ``low_um`` to its upper end ``slant_um`` further on."""
    return element(
        "line",
        x1=scale.at(low_um),
        y1=_BOTTOM + 3,
        x2=scale.at(low_um + slant_um),
        y2=_TOP - 3,
        class_="bar-cut",
    )


def _label(run: Run, scale: _Scale, reading: Reading) -> list[Markup]:
    """The run's mark on the bar and its dimension below, where they fit."""
    parts = []
    if scale.fits(run.piece.mark, run.end_um - run.start_um):
        parts.append(_plate(run.piece.mark, (run.start_um + run.end_um) / 2, scale))
    length = reading.bare_length(run.piece.length_um)
    words = f"{run.count} × {length}" if run.count > 1 else length
    return parts + _dimension(run.start_um, run.end_um, words, scale)


def _plate(words: str, place_um: float, scale: _Scale) -> Markup:
    """A mark on a plate of paper, so that no kerf runs through its letters."""
    half = (len(words) * _LETTER + 8) / 2
    return element(
        "svg",
        element("rect", x=-half, y=-9, width=2 * half, height=18, class_="bar-plate"),
        element("text", words, x=0, y=5, text_anchor="middle", class_="bar-mark"),
        x=scale.at(place_um),
        y=_MIDDLE,
        width=1,
        height=1,
        overflow="visible",
    )


def _dimension(start_um: float, end_um: float, words: str, scale: _Scale) -> list[Markup]:
    """A dimension below the strip, as a draughtsman ticks it off; without words where they don't fit."""
    ends = [scale.mark(place, _RULE, "M-3 3L3 -3M0 -7V4", "rule-tick") for place in (start_um, end_um)]
    line = element("line", x1=scale.at(start_um), x2=scale.at(end_um), y1=_RULE, y2=_RULE, class_="rule")
    if not scale.fits(words, end_um - start_um):
        return [line, *ends]
    return [line, *ends, scale.text((start_um + end_um) / 2, _RULE + 14, words, "rule-text")]


def _rest(
    bar: PlannedBar, back_um: int, grip_um: int, scale: _Scale, reading: Reading, key: str
) -> list[Markup]:
    """What is left behind the last piece: remnant or scrap by hatch and word, the grip between two jaws."""
    if bar.remnant_um == 0 or bar.ends_in_vise:
        return []
    hatch, word = ("rising", "remnant") if bar.keep else ("wide", "scrap")
    parts = [scale.box(back_um, bar.remnant_um, "bar-rest", paint=f"url(#{key}-{hatch})")]
    if grip_um:
        start, wide = scale.at(bar.length_um - grip_um), scale.wide(grip_um)
        parts += [
            element("rect", x=start, y=y, width=wide, height=4, class_="bar-jaw")
            for y in (_TOP - 5, _BOTTOM + 1)
        ]
    length = reading.bare_length(bar.remnant_um)
    if scale.fits(say(word), bar.remnant_um):
        parts.append(_plate(say(word), back_um + bar.remnant_um / 2, scale))
    return parts + _dimension(back_um, bar.length_um, length, scale)
