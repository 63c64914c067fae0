"""Loose pieces of a drawing put end to end as closed loops, small gaps joined and told."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.drawing import joined
from kerfsmith.geometry.outline import Loop
from kerfsmith.geometry.pieces import Line, Piece

GAP_MM = 0.1
"""Ends closer than this are meant to meet; a gap beyond it is an open outline."""
TOLD_MM = 1e-4
"""A gap under this comes of the digits a drawing is written with, and isn't told."""


@dataclass(frozen=True, slots=True)
class Unclosed:
    """Why the pieces make no loops: ``open`` ends that meet nothing, or ``many`` ends at one place."""

    open: tuple[Point, ...]
    many: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Chained:
    """Closed loops, the gaps that were joined (mm, place), and how many doubled or tiny pieces fell out."""

    loops: tuple[Loop, ...]
    gaps: tuple[tuple[float, Point], ...]
    dropped: int


def chain(pieces: Sequence[Piece]) -> Chained | Unclosed:
    """Put pieces end to end. Raises InvalidValue where a loop so made encloses nothing."""
    kept = _without_doubles([piece for piece in pieces if piece.length_mm > TOLD_MM])
    places = _places(kept)
    ends_at: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for number, (start, end) in enumerate(places):
        ends_at[start].append((number, 0))
        ends_at[end].append((number, 1))
    wrong = Unclosed(
        tuple(_end(kept, ends[0]) for ends in ends_at.values() if len(ends) == 1),
        tuple(_end(kept, ends[0]) for ends in ends_at.values() if len(ends) > 2),
    )
    if wrong.open or wrong.many:
        return wrong
    loops = _loops(kept, places, ends_at)
    gaps = [
        (gap, here.end)
        for loop in loops
        for here, after in zip(loop, loop[1:] + loop[:1], strict=True)
        if (gap := math.dist(here.end, after.start)) > TOLD_MM
    ]
    closed = tuple(_closed(loop) for loop in loops)
    return Chained(closed, tuple(gaps), len(pieces) - len(kept))


def _end(pieces: Sequence[Piece], end: tuple[int, int]) -> Point:
    piece = pieces[end[0]]
    return piece.end if end[1] else piece.start


def _without_doubles(pieces: Sequence[Piece]) -> list[Piece]:
    """Each piece once: drawings often hold a line twice, one on the other."""
    seen: dict[tuple[object, ...], Piece] = {}
    for piece in pieces:
        ends = sorted(tuple(round(value, 3) for value in point) for point in (piece.start, piece.end))
        middle = tuple(round(value, 3) for value in piece.middle)
        seen.setdefault((*ends, middle), piece)
    return list(seen.values())


def _places(pieces: Sequence[Piece]) -> list[tuple[int, int]]:
    """For each piece the numbers of the places where it starts and ends.

    Ends that coincide are one place; of those that then stand alone, any within a gap of each other.
    """
    points = [point for piece in pieces for point in (piece.start, piece.end)]
    parent = list(range(len(points)))
    _unite(points, range(len(points)), parent, TOLD_MM)
    alone = Counter(_root(parent, i) for i in range(len(points)))
    _unite(points, [i for i in range(len(points)) if alone[_root(parent, i)] == 1], parent, GAP_MM)
    return [(_root(parent, 2 * n), _root(parent, 2 * n + 1)) for n in range(len(pieces))]


def _root(parent: list[int], i: int) -> int:
    while parent[i] != i:
        parent[i] = parent[parent[i]]
        i = parent[i]
    return i


def _unite(points: Sequence[Point], some: Iterable[int], parent: list[int], near_mm: float) -> None:
    """Make one place of those points among ``some`` that lie within ``near_mm`` of each other."""
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)
    for i in some:
        column, row = (math.floor(value / near_mm) for value in points[i])
        for near in ((column + dx, row + dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1)):
            for j in cells.get(near, ()):
                if math.dist(points[i], points[j]) <= near_mm:
                    parent[_root(parent, i)] = _root(parent, j)
        cells[column, row].append(i)


def _loops(
    pieces: Sequence[Piece],
    places: Sequence[tuple[int, int]],
    ends_at: dict[int, list[tuple[int, int]]],
) -> list[list[Piece]]:
    """Walk from piece to piece: every place has exactly two ends."""
    loops, left = [], set(range(len(pieces)))
    while left:
        number, side = min(left), 1
        loop: list[Piece] = []
        while number in left:
            left.remove(number)
            loop.append(pieces[number] if side else pieces[number].reversed())
            here = (number, side)
            number, end = next(other for other in ends_at[places[number][side]] if other != here)
            side = 1 - end
        loops.append(loop)
    return loops


def _closed(pieces: list[Piece]) -> Loop:
    """The loop without gaps: a straight neighbour is led to the other's end, else an arc keeps its sweep."""
    led = list(pieces)
    for i, after in enumerate(pieces):
        here = led[i - 1]
        if here.end == after.start:
            continue
        if isinstance(here, Line):
            led[i - 1] = replace(here, end=led[i].start)
        elif isinstance(led[i], Line):
            led[i] = replace(led[i], start=here.end)
    return joined(led, gap_mm=GAP_MM)
