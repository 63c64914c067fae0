"""A section as a draughtsman draws it, as plain values: path, hatching, centre lines, dimension lines.

    frame(outline, scale, margin=0) -> Frame      mm of the section to units of the page, y down
        .point(p) .segment(s) .depth_y(depth_mm) .width .height
    path(outline, frame) -> str                   SVG path data: M, L, A and Z, arcs as arcs
    hatching(outline, spacing_mm, angle_deg=45)   segments in mm, clipped exactly to the metal
    chord_lines(outline, depth_mm)                where the band meets metal, in mm
    centre_lines(outline, over_mm)                segments in mm through each symmetric body
    dimensions(outline, away_mm)                  overall width and height with their lines, in mm
    drawing(outline, scale, ...) -> SectionDrawing   all of it in page units

Nothing here knows HTML, PDF or colours. Fill the path by the even-odd or the non-zero rule: holes run the
other way round.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.outline import Body, Loop, Outline
from kerfsmith.geometry.pieces import Arc, Piece
from kerfsmith.geometry.scanline import scan

Segment = tuple[Point, Point]
"""Two ends of a straight stroke."""

_SYMMETRY = 1e-6


@dataclass(frozen=True, slots=True)
class Frame:
    """How the section is set on the page: ``scale`` units a millimetre, y downward from ``top_mm``."""

    left_mm: float
    top_mm: float
    scale: float
    margin: float
    width: float
    height: float

    def point(self, p: Point) -> Point:
        """A point of the section (mm) in page units."""
        return self.margin + (p[0] - self.left_mm) * self.scale, self.depth_y(self.top_mm - p[1])

    def depth_y(self, depth_mm: float) -> float:
        """Where a depth of the cut (mm) stands on the page, in page units from its top."""
        return self.margin + depth_mm * self.scale

    def segment(self, segment: Segment) -> Segment:
        """A stroke in mm in page units."""
        return self.point(segment[0]), self.point(segment[1])


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension: its measure, its line, where its figure stands, and the two extension lines."""

    name: str
    value_mm: float
    line: Segment
    text_at: Point
    upright: bool
    extensions: tuple[Segment, Segment]


@dataclass(frozen=True, slots=True)
class SectionDrawing:
    """A section in page units, ready for any page: each part is strokes or SVG path data."""

    frame: Frame
    path: str
    hatching: tuple[Segment, ...]
    centre_lines: tuple[Segment, ...]
    dimensions: tuple[Dimension, ...]


def frame(outline: Outline, scale: float, margin: float = 0.0) -> Frame:
    """The frame around an outline at ``scale`` page units a millimetre with a margin in page units.

    Raises InvalidValue unless the scale is above 0.
    """
    if not (math.isfinite(scale) and scale > 0.0):
        raise InvalidValue(f"a drawing can't have the scale {scale}")
    width, height = (2.0 * margin + extent * scale for extent in (outline.width_mm, outline.height_mm))
    return Frame(outline.bounds[0], outline.bounds[3], scale, margin, width, height)


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _pair(p: Point) -> str:
    return f"{_number(p[0])} {_number(p[1])}"


def _command(piece: Piece, at: Frame) -> str:
    end = _pair(at.point(piece.end))
    if not isinstance(piece, Arc):
        return f"L{end}"
    major, minor, tilt_deg = piece.half_axes
    large = int(abs(piece.sweep_rad) > math.pi)
    # The page's y runs down, so what is walked counter-clockwise here has the sweep flag 0 there.
    radii = f"{_number(major * at.scale)} {_number(minor * at.scale)} {_number(-tilt_deg)}"
    return f"A{radii} {large} {int(not piece.ccw)} {end}"


def _loop_path(loop: Loop, at: Frame) -> str:
    commands = " ".join(_command(piece, at) for piece in loop.pieces)
    return f"M{_pair(at.point(loop.pieces[0].start))} {commands} Z"


def path(outline: Outline, at: Frame) -> str:
    """SVG path data of all loops in page units, arcs as true arcs."""
    return " ".join(_loop_path(loop, at) for loop in outline.loops)


def hatching(outline: Outline, spacing_mm: float, angle_deg: float = 45.0) -> tuple[Segment, ...]:
    """Section lines ``spacing_mm`` apart at ``angle_deg``, clipped to the metal, in mm.

    The outline is turned so that the lines lie level and read by the scan, so each ends exactly on a line or
    arc of the boundary. Lines keep their place when the outline is cut up or added to: they run through
    whole multiples of the spacing from the origin. Raises InvalidValue unless the spacing is above 0.
    """
    if not spacing_mm > 0.0:
        raise InvalidValue("hatching needs a spacing above 0 mm")
    turned = outline.turned(-angle_deg)
    _, low, _, top = turned.bounds
    read = scan(turned)
    found: list[Segment] = []
    for number in range(math.ceil(low / spacing_mm), math.floor(top / spacing_mm) + 1):
        y = number * spacing_mm
        found += [((x0, y), (x1, y)) for x0, x1 in read.chords(top - y) if x1 > x0]
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return tuple(
        ((a[0] * c - a[1] * s, a[0] * s + a[1] * c), (b[0] * c - b[1] * s, b[0] * s + b[1] * c))
        for a, b in found
    )


def chord_lines(outline: Outline, depth_mm: float) -> tuple[Segment, ...]:
    """The strokes (mm) along which a level band meets metal at a depth."""
    y = outline.bounds[3] - depth_mm
    return tuple(((x0, y), (x1, y)) for x0, x1 in scan(outline).chords(depth_mm))


def _is_symmetric(body: Body, middle: Point) -> tuple[bool, bool]:
    """Whether a body is its own mirror image left to right and top to bottom, told by its chords."""
    outline = Outline((body,))
    size = max(outline.width_mm, outline.height_mm)
    marks = []
    for one, centre in ((outline, middle[0]), (outline.turned(-90.0), middle[1])):
        read = scan(one)
        at = read.breakpoints_mm[:-1] + np.array([[0.3], [0.6]]) * np.diff(read.breakpoints_mm)
        chords = [np.array(read.chords(float(depth))) for depth in at.ravel()]
        marks.append(
            all(
                np.allclose(two, 2.0 * centre - two[::-1, ::-1], atol=_SYMMETRY * size)
                for two in chords
                if two.size
            )
        )
    return marks[0], marks[1]


def centre_lines(outline: Outline, over_mm: float) -> tuple[Segment, ...]:
    """Centre lines (mm) of each body about its axes of symmetry, ``over_mm`` beyond it at both ends."""
    found: list[Segment] = []
    for body in outline.bodies:
        x0, y0, x1, y1 = body.outer.bounds
        x, y = (x0 + x1) / 2.0, (y0 + y1) / 2.0
        sideways, upright = _is_symmetric(body, (x, y))
        if sideways:
            found.append(((x, y0 - over_mm), (x, y1 + over_mm)))
        if upright:
            found.append(((x0 - over_mm, y), (x1 + over_mm, y)))
    return tuple(found)


def dimensions(outline: Outline, away_mm: float) -> tuple[Dimension, ...]:
    """Overall width below and height on the left, their lines ``away_mm`` off the section, in mm."""
    x0, y0, x1, y1 = outline.bounds
    y, x = y0 - away_mm, x0 - away_mm
    width = Dimension(
        "width",
        x1 - x0,
        ((x0, y), (x1, y)),
        ((x0 + x1) / 2.0, y),
        upright=False,
        extensions=(((x0, y0), (x0, y)), ((x1, y0), (x1, y))),
    )
    height = Dimension(
        "height",
        y1 - y0,
        ((x, y0), (x, y1)),
        (x, (y0 + y1) / 2.0),
        upright=True,
        extensions=(((x0, y0), (x, y0)), ((x0, y1), (x, y1))),
    )
    return width, height


def drawing(
    outline: Outline,
    scale: float,
    margin: float = 0.0,
    hatch_spacing: float = 4.0,
    centre_over: float = 6.0,
    dimension_away: float = 16.0,
) -> SectionDrawing:
    """The whole drawing in page units; spacing, overrun and distance are given in page units too.

    Keep ``margin`` above ``dimension_away`` plus the height of a figure, or dimensions leave the frame.
    """
    at = frame(outline, scale, margin)
    return SectionDrawing(
        at,
        path(outline, at),
        _on_page(hatching(outline, hatch_spacing / scale), at),
        _on_page(centre_lines(outline, centre_over / scale), at),
        tuple(_dimension_on_page(one, at) for one in dimensions(outline, dimension_away / scale)),
    )


def _on_page(segments: Iterable[Segment], at: Frame) -> tuple[Segment, ...]:
    return tuple(at.segment(one) for one in segments)


def _dimension_on_page(one: Dimension, at: Frame) -> Dimension:
    first, second = (at.segment(line) for line in one.extensions)
    return Dimension(
        one.name, one.value_mm, at.segment(one.line), at.point(one.text_at), one.upright, (first, second)
    )
