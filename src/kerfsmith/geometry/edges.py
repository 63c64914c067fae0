"""A boundary cut into edges that run one way in depth, each in closed form (see scanline for the formula)."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.pieces import Arc, Line

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

_SAME_DEPTH = 2e-14
"""Relative to the greatest coordinate: depths this close are one. Turning leaves residues of a few 1e-16."""


class Edge(NamedTuple):
    """One edge from depth ``begin`` to ``end`` (mm); sign +1 with metal to its left, -1 to its right."""

    begin: float
    end: float
    sign: float
    x_ref: float
    d_ref: float
    slope: float = 0.0
    bow: float = 0.0
    top: float = 0.0
    bottom: float = 0.0


@dataclass(frozen=True, slots=True)
class EdgeTable:
    """Edges as columns, the last of them an empty one that stands for none (x = 0 at every depth)."""

    begin: Floats
    end: Floats
    sign: Floats
    x_ref: Floats
    d_ref: Floats
    slope: Floats
    bow: Floats
    top: Floats
    bottom: Floats

    @property
    def blank(self) -> int:
        """Index of the empty edge."""
        return self.begin.size - 1

    def x_at(self, edge: Ints, depth: Floats) -> Floats:
        """x of edges at depths (mm), index and depth broadcast against each other."""
        rise = np.maximum((depth - self.top[edge]) * (self.bottom[edge] - depth), 0.0)
        straight: Floats = self.x_ref[edge] + self.slope[edge] * (depth - self.d_ref[edge])
        return straight + self.bow[edge] * np.sqrt(rise)

    def swept(self, edge: Ints, depth: Floats) -> Floats:
        """Antiderivative of x_at in depth (mm2), up to a constant of each edge."""
        run = depth - self.d_ref[edge]
        half = (self.bottom[edge] - self.top[edge]) / 2.0
        half = np.where(half > 0.0, half, 1.0)
        u = np.clip((depth - (self.bottom[edge] + self.top[edge]) / 2.0) / half, -1.0, 1.0)
        under_arc = half * half / 2.0 * (u * np.sqrt((1.0 - u) * (1.0 + u)) + np.arcsin(u))
        under_line: Floats = run * (self.x_ref[edge] + self.slope[edge] * run / 2.0)
        return under_line + self.bow[edge] * under_arc


def _line_edge(line: Line, y_top: float) -> Edge | None:
    (x0, y0), (x1, y1) = line.start, line.end
    if y0 == y1:
        return None
    # Walked counter-clockwise, metal lies to the left of travel: going up it is at smaller x.
    sign = 1.0 if y1 > y0 else -1.0
    if y1 > y0:
        x0, y0, x1, y1 = x1, y1, x0, y0
    return Edge(y_top - y0, y_top - y1, sign, x0, y_top - y0, (x1 - x0) / (y0 - y1))


def _arc_edges(arc: Arc, y_top: float) -> Iterator[Edge]:
    """The edges of an arc between its highest and lowest points.

    With phi the parameter of the highest point and R = |(p_y, q_y)|: y = c_y + R cos(t - phi) and
    x = c_x + (p_x cos phi + q_x sin phi) cos(t - phi) - (p x q / R) sin(t - phi).
    """
    reach = math.hypot(arc.p[1], arc.q[1])
    phi = math.atan2(arc.q[1], arc.p[1])
    slope = -(arc.p[0] * math.cos(phi) + arc.q[0] * math.sin(phi)) / reach
    bow = arc.cross_mm2 / (reach * reach)
    centre = y_top - arc.centre[1]
    # Taken counter-clockwise whichever way it is walked; the metal then lies on the other side.
    begin, sweep, toward = arc.start_rad, arc.sweep_rad, 1.0
    if sweep < 0.0:
        begin, sweep, toward = begin + sweep, -sweep, -1.0
    first = math.ceil((begin - phi) / math.pi - 1e-15)
    marks = [phi + k * math.pi for k in range(first, first + 4)]
    inner = [t for t in marks if begin < t < begin + sweep]
    depths = [y_top - (arc.end if toward < 0 else arc.start)[1]]
    depths += [centre - reach if math.cos(t - phi) > 0.0 else centre + reach for t in inner]
    depths.append(y_top - (arc.start if toward < 0 else arc.end)[1])
    bounds = [begin, *inner, begin + sweep]
    for i in range(len(bounds) - 1):
        left = math.sin((bounds[i] + bounds[i + 1]) / 2.0 - phi) > 0.0
        yield Edge(
            min(depths[i], depths[i + 1]),
            max(depths[i], depths[i + 1]),
            (-1.0 if left else 1.0) * toward,
            arc.centre[0],
            centre,
            slope,
            -bow if left else bow,
            centre - reach,
            centre + reach,
        )


def _raw_edges(outline: Outline) -> Iterator[Edge]:
    y_top = outline.bounds[3]
    for loop in outline.loops:
        for piece in loop.pieces:
            if isinstance(piece, Arc):
                yield from _arc_edges(piece, y_top)
            elif (edge := _line_edge(piece, y_top)) is not None:
                yield edge


def edges_of(outline: Outline) -> tuple[EdgeTable, Floats]:
    """The edges of an outline and its breakpoints: all depths (mm) at which an edge begins or ends.

    Depths that differ by rounding alone are made one, so that no sliver of a panel is left between them;
    edges without extent in depth (flats) fall away.
    """
    raw = np.array(list(_raw_edges(outline))).T
    flats = [outline.bounds[3] - piece.start[1] for loop in outline.loops for piece in loop.pieces]
    same = _SAME_DEPTH * max(outline.width_mm, outline.height_mm, *map(abs, outline.bounds))
    breaks = _distinct(np.concatenate([flats, raw[0], raw[1]]), same)
    begin, end = (
        breaks[np.searchsorted(breaks, depth, side="right") - 1] for depth in np.maximum(raw[:2], 0.0)
    )
    real = end > begin
    begin, end, edges = begin[real], end[real], raw[:, real]
    before, after, sign, x_ref, d_ref, slope, bow, top, bottom = edges
    # A line keeps its ends when its depths are made one with their neighbours'; an arc keeps its curve.
    line = bow == 0.0
    d_ref = np.where(line, begin, d_ref)
    slope = np.where(line, slope * (after - before) / (end - begin), slope)
    top, bottom = (_snapped(depth, breaks, same) for depth in (top, bottom))
    columns = (begin, end, sign, x_ref, d_ref, slope, bow, top, bottom)
    return EdgeTable(*(np.append(column, 0.0) for column in columns)), breaks


def _distinct(depths: Floats, same: float) -> Floats:
    """The depths in order, from 0, each group of near neighbours told by its first."""
    ordered = np.sort(np.maximum(depths, 0.0))
    ordered[0] = 0.0
    distinct: Floats = ordered[np.concatenate([[True], np.diff(ordered) > same])]
    return distinct


def _snapped(depths: Floats, breaks: Floats, same: float) -> Floats:
    """Each depth, or the breakpoint it coincides with."""
    nearest = breaks[np.abs(breaks - depths[:, None]).argmin(axis=1)]
    snapped: Floats = np.where(np.abs(nearest - depths) <= same, nearest, depths)
    return snapped
