"""Several bars clamped and cut together: where each lies, exactly, and how many a saw can take.

    bundle(shape, count, pattern='row', columns=None, lie=None) -> Outline
    largest_bundle(shape, box_width_mm, box_height_mm, patterns=None, lie=None, most=None) -> Bundle | None
    patterns_for(shape) -> tuple of names           usual_patterns(shape, count): the usual first
    Bundle(count, pattern, columns, lie, outline)   .width_mm .height_mm

Patterns: 'row' side by side; 'rows' one row on another; 'hexagonal' rounds in the hollows of the row below,
by turns one fewer in a row (7, 19, 37 ... without columns make a whole hexagon), or hexagons as a honeycomb;
'staggered' rounds in the hollows with as many in each row; 'nested' angles one on another like roof tiles;
'interlocked' angles side by side, every second turned upside down. Bundles are not for mitres or close
tolerances; clamp from above as well (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count as counting
from itertools import islice

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.contact import shift_beside_mm, shift_upon_mm
from kerfsmith.geometry.lay import Lie, lie_called, lies
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.shapes import Angle, Hexagon, Round, RoundTube, Shape
from kerfsmith.units.told import Told, sentence

_SLACK = 1e-9
"""Relative: a bundle that fills its box to rounding fits."""

_MOST = 400

_ONE_ROW = ("row", "interlocked")
_HOLLOWS = ("hexagonal", "staggered")


@dataclass(frozen=True, slots=True)
class Spot:
    """Where one bar lies: middle and foot in mm, and whether it is turned upside down."""

    x_mm: float
    y_mm: float
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Bundle:
    """Several bars of one section as the band meets them."""

    count: int
    pattern: str
    columns: int
    lie: str
    outline: Outline

    @property
    def width_mm(self) -> float:
        """Room taken between the jaws in mm."""
        return self.outline.width_mm

    @property
    def height_mm(self) -> float:
        """Room taken under the band in mm."""
        return self.outline.height_mm


def patterns_for(shape: Shape) -> tuple[str, ...]:
    """The patterns in which a section is bundled; empty when it isn't."""
    if not shape.can_bundle:
        return ()
    match shape:
        case Round() | RoundTube():
            return ("row", "hexagonal", "staggered", "rows")
        case Hexagon():
            return ("row", "rows", "hexagonal")
        case Angle():
            return ("row", "nested", "interlocked")
        case _:
            return ("row", "rows")


def usual_patterns(shape: Shape, count: int) -> tuple[str, ...]:
    """The patterns for ``count`` bars, the usual first: seven rounds make 2-3-2 between the jaws.

    Larger whole hexagons (19, 37) don't lean on the jaws and must be strapped; they come in their turn.
    """
    patterns = patterns_for(shape)
    if count == 7 and isinstance(shape, Round | RoundTube):
        return ("hexagonal", *(name for name in patterns if name != "hexagonal"))
    return patterns


def bundle(
    shape: Shape, count: int, pattern: str = "row", columns: int | None = None, lie: str | None = None
) -> Outline:
    """The outline of ``count`` bars, lowest row first; bars touch and don't overlap.

    ``columns`` is how many lie in the lowest row (about square when not given, but so that no round rolls
    off; all in a 'row'), ``lie`` how each lies. Raises InvalidValue for a pattern the section
    isn't bundled in or numbers below 1, UnknownName for an unknown lie.
    """
    if pattern not in patterns_for(shape):
        raise InvalidValue(
            sentence(
                "a {kind} isn't bundled in the pattern {pattern}",
                kind=Told(shape.kind),
                pattern=repr(pattern),
            )
        )
    if count < 1 or (columns is not None and columns < 1):
        raise InvalidValue(Told("a bundle has at least one bar and one column"))
    base = _base(shape, lie)
    side = _hexagon_side(count)
    if pattern == "hexagonal" and columns is None and side and isinstance(shape, Round | RoundTube):
        return _placed(base, _whole_hexagon(base.width_mm, side))
    rolls = isinstance(shape, Round | RoundTube)
    across = columns or (count if pattern in _ONE_ROW else _usual_columns(count, pattern, rolls))
    if pattern in _ONE_ROW and across < count:
        raise InvalidValue(
            sentence("{count} bars don't lie in one row of {across}", count=count, across=across)
        )
    if rolls and pattern in _HOLLOWS:
        return _placed(base, _standing(base.width_mm, count, across, fewer=int(pattern == "hexagonal")))
    return _placed(base, list(islice(_spots(base, pattern, across), count)))


def _usual_columns(count: int, pattern: str, rolls: bool) -> int:
    """How many lie in the lowest row when nobody says: about square, and so that no round rolls off.

    A row on top that isn't full must lie in hollows between two below; rounds straight upon rounds must fill
    whole rows, which the jaws then hold.
    """
    square = math.ceil(math.sqrt(count))
    if not rolls:
        return square
    if pattern == "rows":
        return next(across for across in range(square, count + 1) if count % across == 0)
    fewer = int(pattern == "hexagonal")
    return next(across for across in range(square, count + 1) if _stands(count, across, fewer))


def _stands(count: int, across: int, fewer: int) -> bool:
    """Whether every round of a last row that isn't full lies in a hollow between two below."""
    row, left = 0, count
    while left > (full := across - fewer * (row % 2)):
        row, left = row + 1, left - full
        if across == fewer:
            return False
    below = across - fewer * ((row - 1) % 2)
    return row == 0 or left == full or left <= below - 1


def _standing(diameter_mm: float, count: int, across: int, fewer: int) -> list[Spot]:
    """Rounds in the hollows of the row below; what is left for the last row lies as near the middle as it
    can, in hollows between two below first.
    """
    fewer = fewer if across > 1 else 0
    spots: list[Spot] = []
    row: list[Spot] = []
    for spot in _hollows(diameter_mm, across, fewer):
        if row and spot.y_mm > row[-1].y_mm:
            if len(spots) + len(row) >= count:
                break
            spots, row = spots + row, []
        row.append(spot)
    below = [spot.x_mm for spot in spots if spot.y_mm < row[0].y_mm][-across:]
    middle = diameter_mm * (across - 1) / 2.0

    def place(spot: Spot) -> tuple[bool, float, float]:
        carried = sum(abs(abs(spot.x_mm - x) - diameter_mm / 2.0) < _SLACK * diameter_mm for x in below)
        return carried < 2, abs(spot.x_mm - middle), spot.x_mm

    return spots + sorted(row, key=place)[: count - len(spots)]


def largest_bundle(
    shape: Shape,
    box_width_mm: float,
    box_height_mm: float,
    patterns: Sequence[str] | None = None,
    lie: str | None = None,
    most: int | None = None,
) -> Bundle | None:
    """The bundle with the most bars that fits a box (mm), full rows only; None when not even one bar fits.

    Tries every lie and pattern unless told which; of equals the lower one. ``most`` caps the number of bars
    (400 in any case); a section that isn't bundled lies alone.
    """
    cap = min(most or _MOST, _MOST) if shape.can_bundle else 1
    best: tuple[tuple[int, float], Lie, str, int, list[Spot]] | None = None
    for base in (lie_called(shape, lie),) if lie else lies(shape):
        for pattern in patterns or patterns_for(shape) or ("row",):
            for across, spots in _fillings(base, pattern, box_width_mm, box_height_mm, cap):
                rank = (len(spots), -_extent(base, spots)[1])
                if best is None or rank > best[0]:
                    best = (rank, base, pattern, across, spots)
    if best is None:
        return None
    _, base, pattern, across, spots = best
    return Bundle(len(spots), pattern, across, base.name, _placed(base, spots))


def _base(shape: Shape, lie: str | None) -> Lie:
    return lie_called(shape, lie) if lie else lies(shape)[0]


def _placed(base: Lie, spots: Sequence[Spot]) -> Outline:
    upright = base.outline
    turned = upright.turned(180.0).seated() if any(spot.turned for spot in spots) else upright
    placed = [(turned if spot.turned else upright).moved(spot.x_mm, spot.y_mm) for spot in spots]
    return Outline.together(*placed).seated()


def _extent(base: Lie, spots: Sequence[Spot]) -> tuple[float, float]:
    """Width and height of a bundle in mm; a bar turned upside down takes the same room."""
    xs, ys = [spot.x_mm for spot in spots], [spot.y_mm for spot in spots]
    return max(xs) - min(xs) + base.width_mm, max(ys) - min(ys) + base.height_mm


def _fillings(
    base: Lie, pattern: str, width_mm: float, height_mm: float, cap: int
) -> Iterator[tuple[int, list[Spot]]]:
    """For each number of columns that fits, the most spots of the pattern that stay in the box."""
    for across in range(1, cap + 1):
        kept: list[Spot] = []
        for spot in _spots(base, pattern, across):
            wide, high = _extent(base, [*kept, spot])
            if wide > width_mm * (1.0 + _SLACK) or high > height_mm * (1.0 + _SLACK) or len(kept) == cap:
                break
            kept.append(spot)
            if pattern in _ONE_ROW and len(kept) == across:
                break
        if len(kept) < across:
            return
        yield across, kept


def _spots(base: Lie, pattern: str, across: int) -> Iterator[Spot]:
    """Spots of a pattern without end, row by row from the bed."""
    match pattern:
        case "hexagonal" if base.width_mm > base.height_mm:
            yield from _honeycomb(base, across)
        case "hexagonal":
            # Rows of rounds stand sqrt(3) / 2 of the width apart, and so do hexagons on the corner.
            yield from _hollows(base.width_mm, across, fewer=1 if across > 1 else 0)
        case "staggered":
            yield from _hollows(base.width_mm, across, fewer=0)
        case "interlocked":
            yield from _interlocked(base, across)
        case _:
            # An unequal angle stands with its toes at two heights, so its neighbour reaches in a little.
            aside = max(shift_beside_mm(base.outline, base.outline), base.width_mm / 2.0)
            rise = shift_upon_mm(base.outline, base.outline) if pattern == "nested" else base.height_mm
            for row in counting():
                yield from (Spot(aside * column, rise * row) for column in range(across))


def _hollows(diameter_mm: float, across: int, fewer: int) -> Iterator[Spot]:
    """Rounds in the hollows of the row below: rows sqrt(3) / 2 of a diameter apart, each half a one aside."""
    rise = diameter_mm * math.sqrt(3.0) / 2.0
    for row in counting():
        aside = row % 2
        for column in range(across - fewer * aside):
            yield Spot(diameter_mm * (column + aside / 2.0), rise * row)


def _hexagon_side(count: int) -> int | None:
    """n when count = 3 n (n - 1) + 1 with n of at least 2, a whole hexagon of rounds; else None."""
    side = round((3.0 + math.sqrt(max(12.0 * count - 3.0, 0.0))) / 6.0)
    return side if side >= 2 and 3 * side * (side - 1) + 1 == count else None


def _whole_hexagon(diameter_mm: float, side: int) -> list[Spot]:
    rise = diameter_mm * math.sqrt(3.0) / 2.0
    spots = []
    for row in range(2 * side - 1):
        number = 2 * side - 1 - abs(row - side + 1)
        spots += [Spot(diameter_mm * (k - (number - 1) / 2.0), rise * row) for k in range(number)]
    return spots


def _honeycomb(base: Lie, across: int) -> Iterator[Spot]:
    """Hexagons on their flats: columns 3/4 of the corners apart, every second half the flats higher."""
    for row in counting():
        for odd in (0, 1):
            for column in range(odd, across, 2):
                yield Spot(0.75 * base.width_mm * column, base.height_mm * (row + odd / 2.0))


def _interlocked(base: Lie, across: int) -> Iterator[Spot]:
    """Side by side and by turns upside down, each as close as the two before it allow."""
    upright, turned = base.outline, base.outline.turned(180.0).seated()
    step = (shift_beside_mm(upright, turned), shift_beside_mm(turned, upright))
    places: list[float] = []
    for column in range(across):
        touching = places[-1] + step[(column - 1) % 2] if column else 0.0
        places.append(max(touching, places[-2] + base.width_mm) if column > 1 else touching)
    for row in counting():
        yield from (Spot(x, base.height_mm * row, bool(k % 2)) for k, x in enumerate(places))
