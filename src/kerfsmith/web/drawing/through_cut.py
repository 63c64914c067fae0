"""The cut at a glance: the section with the band in it; beside it, at the same depths, contact and feed.

Depth runs down the picture as the band does. Hatched boxes, each with its name, show what rules where.
"""

from itertools import groupby

import numpy as np
from markupsafe import Markup

from kerfsmith.cutting.setting import CutSetting, Limit, Slice
from kerfsmith.geometry.affine import Affine
from kerfsmith.geometry.draw import Frame
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.scanline import scan
from kerfsmith.web.drawing.hatch import hatches, limit_hatches
from kerfsmith.web.drawing.profile import (
    LOW,
    TOP,
    Column,
    Depth,
    Points,
    Stretch,
    limit_box,
    profile,
    unit_mm,
)
from kerfsmith.web.drawing.scale import tick_text, ticks
from kerfsmith.web.drawing.section import body, chain_lines, fit, overall_dimensions
from kerfsmith.web.drawing.svg import element, number, picture
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say

WIDTH, HEIGHT = 1000.0, 436.0
_SECTION_LEFT, _SECTION_WIDTH = 46.0, 244.0
_CONTACT_LEFT, _CONTACT_RIGHT = 400.0, 590.0
_FEED_LEFT, _FEED_RIGHT = 625.0, 815.0
_LIMIT_LEFT, _LIMIT_RIGHT = 830.0, 870.0
_BEND = _CONTACT_LEFT - 62
_BEYOND = 12.0
"""Length of the bed beyond the section on either side, pixels."""
_ROOM = 1.06
"""Room right of the greatest figure of a chart."""


def stretches(slices: tuple[Slice, ...], depth_mm: float) -> tuple[Stretch, ...]:
    """The cut as stretches of one ruling limit each; a stretch ends half way to the next slice."""
    found: list[Stretch] = []
    index = 0
    for limit, same in groupby(slices, key=lambda part: part.limit):
        index += len(list(same))
        start = found[-1].end_mm if found else 0.0
        last = index == len(slices)
        end = depth_mm if last else (slices[index - 1].depth_mm + slices[index].depth_mm) / 2
        found.append(Stretch(limit, start, end))
    return tuple(found)


def drawn_at(slices: tuple[Slice, ...], depth_mm: float) -> Slice:
    """The slice at which the band is drawn: a third of the way down."""
    return min(slices, key=lambda part: abs(part.depth_mm - depth_mm / 3))


def through_cut(
    outline: Outline,
    setting: CutSetting,
    *,
    name: str,
    reading: Reading,
    key: str,
    cant_deg: float = 0.0,
) -> Markup:
    """The whole picture. ``outline`` lies as the band meets it; under a head canted by ``cant_deg`` the band
    is drawn level and the bed at that angle.
    """
    depth_mm = outline.height_mm
    ruled = stretches(setting.slices, depth_mm)
    limits = tuple(dict.fromkeys(part.limit for part in ruled))
    frame = fit(outline, left=_SECTION_LEFT, top=TOP, width=_SECTION_WIDTH, height=LOW - TOP)
    down = Depth(depth_mm)
    contacts, feeds = _contacts(outline), _feeds(setting, depth_mm)
    feed_column = _column(
        "feed",
        say("feed, {length_unit}/min", length_unit=reading.length_unit),
        _FEED_LEFT,
        _FEED_RIGHT,
        feeds,
    )
    parts = [
        hatches(("rising",), f"{key}-body"),
        limit_hatches(limits, key),
        *body(outline, frame, f"{key}-body"),
        *chain_lines(outline, frame),
        *_leads(outline, frame),
        *(_bed(outline, frame, cant_deg) if cant_deg else ()),
        *overall_dimensions(outline, frame, reading),
        *_limit_column(ruled, down, key),
        *profile(
            contacts,
            down,
            reading,
            _column(
                "contact",
                say("contact, {length_unit}", length_unit=reading.length_unit),
                _CONTACT_LEFT,
                _CONTACT_RIGHT,
                contacts,
            ),
        ),
        *profile(feeds, down, reading, feed_column, ruled, key),
        *_steady_feed(setting, reading, feed_column),
        _band(outline, frame, down, setting),
        *_depth_axis(down, reading),
    ]
    return picture(
        name,
        _words(setting, ruled, reading),
        parts,
        key=key,
        class_="through-cut",
        viewBox=f"0 0 {number(WIDTH)} {number(HEIGHT)}",
    )


def _column(kind: str, caption: str, left: float, right: float, figures: Points) -> Column:
    return Column(kind, caption, left, right, max(figure for _, figure in figures) * _ROOM)


def _contacts(outline: Outline) -> Points:
    """Contact at evenly spaced depths and on both sides of every depth where it can jump."""
    read = scan(outline)
    near = read.depth_mm * 1e-6
    edges = [depth + side for depth in read.breakpoints_mm for side in (-near, near)]
    depths = np.unique(np.clip([*np.linspace(0, read.depth_mm, 161), *edges], 0.0, read.depth_mm))
    return list(zip(depths.tolist(), read.contact_mm(depths).tolist(), strict=True))


def _feeds(setting: CutSetting, depth_mm: float) -> Points:
    """Feed at the engine's own depths, held to the top and the bottom of the work."""
    points = [(part.depth_mm, part.feed_mm_per_min) for part in setting.slices]
    return [(0.0, points[0][1]), *points, (depth_mm, points[-1][1])]


def _words(setting: CutSetting, ruled: tuple[Stretch, ...], reading: Reading) -> str:
    feeds = [part.feed_mm_per_min for part in setting.slices]
    contacts = [part.contact_mm for part in setting.slices]
    told = "; ".join(
        say(
            "{limit} from {start} to {end}",
            limit=say(str(part.limit)),
            start=reading.size(part.start_mm),
            end=reading.size(part.end_mm),
        )
        for part in ruled[:8]
    )
    return say(
        "Against depth: contact between {number} and {number_2}, feed between {number_3} and "
        "{number_4}. What rules the feed: {told}.",
        number=reading.size(min(contacts)),
        number_2=reading.size(max(contacts)),
        number_3=reading.feed(min(feeds)),
        number_4=reading.feed(max(feeds)),
        told=told,
    )


def _leads(outline: Outline, frame: Frame) -> list[Markup]:
    """Lines that lead over from the section's top and bottom to the charts."""
    _, y0, x1, y1 = outline.bounds
    right, top = frame.point((x1, y1))
    low = frame.point((x1, y0))[1]
    return [
        element("path", d=_lead(right + 6, from_y, to_y), class_="lead")
        for from_y, to_y in ((top, TOP), (low, LOW))
    ]


def _bed(outline: Outline, frame: Frame, cant_deg: float) -> list[Markup]:
    """What the section rests on, at the angle between bed and band, with that angle beside it."""
    upright = outline.turned(cant_deg)
    x0, y0, x1, _ = upright.bounds
    back, beyond = Affine.turn(-cant_deg), _BEYOND / frame.scale
    ends = [frame.point(back.point((x, y0))) for x in (x0 - beyond, x1 + beyond)]
    (left, high), (right, low) = ends
    words = say("bed {cant_deg}°", cant_deg=f"{cant_deg:g}")
    return [
        element("line", x1=left, y1=high, x2=right, y2=low, class_="bed"),
        element("text", words, x=2, y=high + 21, class_="note"),
    ]


def _depth_axis(down: Depth, reading: Reading) -> list[Markup]:
    """Scale of depth left of the charts, above whatever line passes behind its figures."""
    parts: list[Markup] = []
    for value in ticks(down.depth_mm / unit_mm(reading)):
        y = down.at(value * unit_mm(reading))
        x = _CONTACT_LEFT
        parts += [
            element("line", x1=x - 6, x2=x, y1=y, y2=y, class_="axis"),
            element("text", tick_text(value), x=x - 10, y=y + 4.5, text_anchor="end", class_="tick"),
        ]
    x, y = _CONTACT_LEFT - 48, (TOP + LOW) / 2
    turned = f"rotate(-90 {number(x)} {number(y)})"
    caption = say("depth, {length_unit}", length_unit=reading.length_unit)
    name = element("text", caption, x=x, y=y, text_anchor="middle", class_="axis-name", transform=turned)
    return [*parts, name]


def _lead(x: float, y: float, chart_y: float) -> str:
    """A line from a depth in the section to the same depth on the charts."""
    return f"M{number(x)} {number(y)}L{number(_BEND)} {number(chart_y)}H{number(_LIMIT_RIGHT)}"


def _steady_feed(setting: CutSetting, reading: Reading, column: Column) -> list[Markup]:
    """The one feed that a saw without feed control could hold, through the whole depth."""
    x = column.at(setting.constant_feed_mm_per_min)
    words = say("held steady: {constant_feed}", constant_feed=reading.feed(setting.constant_feed_mm_per_min))
    return [
        element("line", x1=x, x2=x, y1=TOP, y2=LOW + 8, class_="steady"),
        element("text", words, x=max(x, _FEED_LEFT + 60), y=LOW + 24, text_anchor="middle", class_="note"),
    ]


def _limit_column(ruled: tuple[Stretch, ...], down: Depth, key: str) -> list[Markup]:
    """What rules where: hatched boxes, each limit named once beside its largest stretch."""
    parts = [element("text", say("what rules"), x=_LIMIT_LEFT, y=TOP - 28, class_="axis-name")]
    largest: dict[Limit, Stretch] = {}
    for part in ruled:
        y, end = down.at(part.start_mm), down.at(part.end_mm)
        parts += [
            *limit_box(part.limit, _LIMIT_LEFT, y, _LIMIT_RIGHT - _LIMIT_LEFT, end - y, key),
            element("line", x1=_CONTACT_LEFT, x2=_LIMIT_RIGHT, y1=end, y2=end, class_="limit-end"),
        ]
        known = largest.get(part.limit)
        if known is None or part.end_mm - part.start_mm > known.end_mm - known.start_mm:
            largest[part.limit] = part
    last = TOP - 16.0
    for part in sorted(largest.values(), key=lambda item: item.start_mm + item.end_mm):
        y = max(last + 17, (down.at(part.start_mm) + down.at(part.end_mm)) / 2 + 4.5)
        parts.append(element("text", say(str(part.limit)), x=_LIMIT_RIGHT + 8, y=y, class_="limit-name"))
        last = y
    return parts


def _band(outline: Outline, frame: Frame, down: Depth, setting: CutSetting) -> Markup:
    """The band a third of the way down, through section and charts.

    The numbers beside it let a script move it: where depth 0 stands in section and charts, and pixels a mm.
    """
    depth_mm = outline.height_mm
    place_mm = drawn_at(setting.slices, depth_mm).depth_mm
    right, top = frame.point((outline.bounds[2], outline.bounds[3]))
    y = top + place_mm * frame.scale
    return element(
        "g",
        element("rect", x=2, y=y - 2.5, width=right + 8, height=5, class_="band-body", data_part="section"),
        element("path", d=_lead(right + 10, y, down.at(place_mm)), class_="band-line", data_part="line"),
        element("text", "band", x=2, y=y - 8, class_="band-name", data_part="name"),
        class_="band",
        data_depth=depth_mm,
        data_section_top=top,
        data_section_scale=frame.scale,
        data_chart_top=TOP,
        data_chart_scale=(LOW - TOP) / depth_mm,
        data_bend=_BEND,
        data_reach=_LIMIT_RIGHT,
    )
