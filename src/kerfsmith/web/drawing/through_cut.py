"""The cut at a glance: the section with the band in it, and beside it, at the same depths, contact and feed.

Depth runs down the picture as the band does. Bands of hatch, each with its name, show which limit rules where.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from kerfsmith.cutting.setting import CutSetting, Limit, Slice
from kerfsmith.geometry.outline import Outline
from kerfsmith.units.show import MM_PER_INCH
from kerfsmith.web.drawing.hatch import hatch_name, hatches, limit_hatches
from kerfsmith.web.drawing.scale import tick_text, ticks
from kerfsmith.geometry.draw import Frame
from kerfsmith.web.drawing.section import body, chain_lines, fit, overall_dimensions
from kerfsmith.web.drawing.svg import element, number, picture
from kerfsmith.web.reading import Reading

WIDTH, HEIGHT = 1000.0, 460.0
_TOP, _LOW = 62.0, 392.0
_SECTION_LEFT, _SECTION_WIDTH = 20.0, 270.0
_CONTACT_LEFT, _CONTACT_RIGHT = 400.0, 590.0
_FEED_LEFT, _FEED_RIGHT = 625.0, 815.0
_LIMIT_LEFT, _LIMIT_RIGHT = 830.0, 870.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """Depths in a row that one limit rules, mm."""

    limit: Limit
    start_mm: float
    end_mm: float


def stretches(slices: tuple[Slice, ...], depth_mm: float) -> tuple[Stretch, ...]:
    """The cut as stretches of one ruling limit each; a stretch ends half way to the next slice."""
    found: list[Stretch] = []
    index = 0
    for limit, same in groupby(slices, key=lambda part: part.limit):
        index += len(list(same))
        start = found[-1].end_mm if found else 0.0
        end = depth_mm if index == len(slices) else (slices[index - 1].depth_mm + slices[index].depth_mm) / 2
        found.append(Stretch(limit, start, end))
    return tuple(found)


def through_cut(outline: Outline, setting: CutSetting, *, name: str, reading: Reading, key: str) -> Markup:
    """The whole picture. ``outline`` lies as it lies in the vise."""
    depth_mm = outline.height_mm
    ruled = stretches(setting.slices, depth_mm)
    limits = tuple(dict.fromkeys(part.limit for part in ruled))
    frame = fit(
        outline, left=_SECTION_LEFT, top=_TOP, width=_SECTION_WIDTH, height=_LOW - _TOP
    )
    down = _Depth(depth_mm)
    parts = [
        hatches(("rising",), f"{key}-body"),
        limit_hatches(limits, key),
        *body(outline, frame, f"{key}-body"),
        *chain_lines(outline, frame),
        *overall_dimensions(outline, frame, reading),
        *_depth_axis(outline, frame, down, reading),
        *_limit_column(ruled, down, key),
        *_profile(setting, down, reading, lambda part: part.contact_mm, _CONTACT_LEFT, _CONTACT_RIGHT, "contact"),
        *_profile(setting, down, reading, lambda part: part.feed_mm_per_min, _FEED_LEFT, _FEED_RIGHT, "feed"),
        *_band(outline, frame, down, setting, reading),
    ]
    return picture(
        name, _words(setting, ruled, reading), parts, key=key, class_="through-cut",
        viewBox=f"0 0 {number(WIDTH)} {number(HEIGHT)}",
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Depth:
    depth_mm: float

    def at(self, place_mm: float) -> float:
        return _TOP + (_LOW - _TOP) * place_mm / self.depth_mm


def _words(setting: CutSetting, ruled: tuple[Stretch, ...], reading: Reading) -> str:
    feeds = [part.feed_mm_per_min for part in setting.slices]
    contacts = [part.contact_mm for part in setting.slices]
    told = "; ".join(
        f"{part.limit} from {reading.size(part.start_mm)} to {reading.size(part.end_mm)}" for part in ruled[:8]
    )
    return (
        f"Against depth: contact between {reading.size(min(contacts))} and {reading.size(max(contacts))}, "
        f"feed between {reading.feed(min(feeds))} and {reading.feed(max(feeds))}. What rules the feed: {told}."
    )


def _depth_axis(outline: Outline, frame: Frame, down: _Depth, reading: Reading) -> list[Markup]:
    """Scale of depth left of the charts, with lines that lead over from the section's top and bottom."""
    x0, y0, x1, y1 = outline.bounds
    right, top = frame.point((x1, y1))
    low = frame.point((x1, y0))[1]
    axis = _CONTACT_LEFT
    parts = [
        element("path", d=f"M{number(right + 6)} {number(from_y)}L{number(axis - 62)} {number(to_y)}H{number(_LIMIT_RIGHT)}",
                class_="lead")
        for from_y, to_y in ((top, _TOP), (low, _LOW))
    ]  # fmt: skip
    unit_mm = 1.0 if reading.is_metric else MM_PER_INCH
    for value in ticks(down.depth_mm / unit_mm):
        y = down.at(value * unit_mm)
        parts += [
            element("line", x1=axis - 6, x2=axis, y1=y, y2=y, class_="axis"),
            element("text", tick_text(value), x=axis - 10, y=y + 4.5, text_anchor="end", class_="tick"),
        ]
    caption = f"depth, {reading.length_unit}"
    x, y = axis - 48, (_TOP + _LOW) / 2
    return [
        *parts,
        element("text", caption, x=x, y=y, text_anchor="middle", class_="axis-name",
                transform=f"rotate(-90 {number(x)} {number(y)})"),
    ]  # fmt: skip


def _profile(
    setting: CutSetting,
    down: _Depth,
    reading: Reading,
    figure: Callable[[Slice], float],
    left: float,
    right: float,
    kind: str,
) -> list[Markup]:
    """One figure against depth: a filled profile growing to the right from its axis."""
    unit_mm = 1.0 if reading.is_metric else MM_PER_INCH
    top = max(figure(part) for part in setting.slices) / unit_mm * 1.06
    at = _across(left, right, top * unit_mm)
    points = [(at(figure(part)), down.at(part.depth_mm)) for part in setting.slices]
    points = [(points[0][0], _TOP), *points, (points[-1][0], _LOW)]
    line = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    parts = []
    for value in ticks(top, 4):
        x = at(value * unit_mm)
        parts += [
            element("line", x1=x, x2=x, y1=_TOP, y2=_LOW, class_="grid"),
            element("text", tick_text(value), x=x, y=_TOP - 8, text_anchor="middle", class_="tick"),
        ]
    title = f"contact, {reading.length_unit}" if kind == "contact" else f"feed, {reading.length_unit}/min"
    parts += [
        element("path", d=f"M{number(left)} {number(_TOP)}L{line}L{number(left)} {number(_LOW)}Z", class_=f"area {kind}"),
        element("path", d=f"M{line}", class_=f"profile {kind}"),
        element("line", x1=left, x2=left, y1=_TOP, y2=_LOW, class_="axis"),
        element("text", title, x=left, y=_TOP - 28, class_="axis-name"),
    ]
    if kind == "feed":
        x = at(setting.constant_feed_mm_per_min)
        parts += [
            element("line", x1=x, x2=x, y1=_TOP, y2=_LOW + 8, class_="steady"),
            element("text", "one feed for all", x=x, y=_LOW + 24, text_anchor="middle", class_="note"),
        ]
    return parts


def _across(left: float, right: float, top: float) -> Callable[[float], float]:
    return lambda value: left + (right - left) * value / top if top else left


def _limit_column(ruled: tuple[Stretch, ...], down: _Depth, key: str) -> list[Markup]:
    """What rules where: hatched boxes, each named once beside its largest stretch."""
    parts = [element("text", "what rules", x=_LIMIT_LEFT, y=_TOP - 28, class_="axis-name")]
    largest: dict[Limit, Stretch] = {}
    for part in ruled:
        y, end = down.at(part.start_mm), down.at(part.end_mm)
        box = {"x": _LIMIT_LEFT, "y": y, "width": _LIMIT_RIGHT - _LIMIT_LEFT, "height": max(0.5, end - y)}
        parts += [
            element("rect", class_="limit-box", fill=hatch_name(part.limit, key), **box),
            element("line", x1=_CONTACT_LEFT, x2=_LIMIT_RIGHT, y1=end, y2=end, class_="limit-end"),
        ]
        known = largest.get(part.limit)
        if known is None or part.end_mm - part.start_mm > known.end_mm - known.start_mm:
            largest[part.limit] = part
    last = _TOP - 16.0
    for part in sorted(largest.values(), key=lambda item: item.start_mm):
        y = max(last + 17, (down.at(part.start_mm) + down.at(part.end_mm)) / 2 + 4.5)
        parts.append(element("text", str(part.limit), x=_LIMIT_RIGHT + 8, y=y, class_="limit-name"))
        last = y
    return parts


def _band(outline: Outline, frame: Frame, down: _Depth, setting: CutSetting, reading: Reading) -> list[Markup]:
    """The band a third of the way down, through section and charts, with its place written beside it."""
    place_mm = nearest_slice(setting.slices, outline.height_mm / 3).depth_mm
    y = frame.point((0.0, outline.bounds[3] - place_mm))[1]
    chart_y = down.at(place_mm)
    right = frame.point((outline.bounds[2], 0.0))[0]
    return [
        element(
            "g",
            element("rect", x=2, y=y - 2.5, width=right + 8, height=5, class_="band-body", data_part="section"),
            element("path", d=f"M{number(right + 10)} {number(y)}L{number(_CONTACT_LEFT - 62)} {number(chart_y)}H{number(_LIMIT_RIGHT)}",
                    class_="band-line", data_part="line"),
            element("text", "band", x=2, y=y - 8, class_="band-name", data_part="name"),
            class_="band",
            data_depth=outline.height_mm,
            data_section_top=frame.point((0.0, outline.bounds[3]))[1],
            data_section_scale=frame.scale,
            data_chart_top=_TOP,
            data_chart_scale=(_LOW - _TOP) / outline.height_mm,
            data_bend=_CONTACT_LEFT - 62,
            data_reach=_LIMIT_RIGHT,
        )
    ]  # fmt: skip


def nearest_slice(slices: tuple[Slice, ...], depth_mm: float) -> Slice:
    """The slice closest to a depth."""
    return min(slices, key=lambda part: abs(part.depth_mm - depth_mm))
