"""The sections a saw room cuts, as values that can't be nonsense. All dimensions in mm.

    Round(diameter_mm)                                        'round'
    Square(side_mm, corner_radius_mm=0)                       'square'
    Flat(width_mm, thickness_mm, corner_radius_mm=0)          'flat'        width >= thickness, swapped if not
    Hexagon(across_flats_mm)                                  'hexagon'
    RoundTube(outer_mm, wall_mm)                              'round tube'  pipe too
    RectTube(width_mm, height_mm, wall_mm, outer_radius_mm=0, inner_radius_mm=0)
                                                              'rect tube'   width >= height, swapped if not
    Angle, Channel, Beam, Tee                                 see rolled.py
    Drawn(outline, name)                                      'drawn'       any closed outline

Each has .kind .outline() .key() .wall_mm .is_hollow .can_bundle .is_structural, and raises InvalidValue at
construction when its dimensions make no section. ``Shape`` is any of them. How a section can lie in the
vise is told by :mod:`kerfsmith.geometry.lay`; outlines here lie as drawn, the widest side down.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from typing import ClassVar

from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.corners import circle, rectangle, rounded
from kerfsmith.geometry.outline import Loop, Outline
from kerfsmith.geometry.pieces import Arc, Piece
from kerfsmith.geometry.profile import Profile, micrometres, need_less, need_not_negative, need_positive
from kerfsmith.geometry.rolled import Angle, Beam, Channel, Tee
from kerfsmith.geometry.wall import thinnest_wall_mm
from kerfsmith.units.told import Told, quantity, sentence

__all__ = [
    "Angle",
    "Beam",
    "Channel",
    "Drawn",
    "Flat",
    "Hexagon",
    "RectTube",
    "Round",
    "RoundTube",
    "Shape",
    "Square",
    "Tee",
]

_CORNER = math.sqrt(2.0) - 1.0
"""A radius r stands back from its corner by r times this."""


@dataclass(frozen=True)
class Round(Profile):
    """A round bar."""

    diameter_mm: float

    kind: ClassVar[str] = "round"

    def __post_init__(self) -> None:
        need_positive(self.kind, diameter_mm=self.diameter_mm)

    @property
    def wall_mm(self) -> float | None:
        """None: a round bar is solid."""
        return None

    def key(self) -> str:
        """'round:101600' for 4 in."""
        return self._key(self.diameter_mm)

    def _drawn(self) -> Outline:
        return Outline.of(circle(self.diameter_mm))


@dataclass(frozen=True)
class Square(Profile):
    """A square bar, its corners sharp or of one radius."""

    side_mm: float
    corner_radius_mm: float = 0.0

    kind: ClassVar[str] = "square"

    def __post_init__(self) -> None:
        need_positive(self.kind, side_mm=self.side_mm)
        need_not_negative(self.kind, corner_radius_mm=self.corner_radius_mm)
        self.outline()

    @property
    def wall_mm(self) -> float | None:
        """None: a square bar is solid."""
        return None

    def key(self) -> str:
        """'square:50000' for 50 mm."""
        return self._key(self.side_mm, r=self.corner_radius_mm)

    def _drawn(self) -> Outline:
        return Outline.of(rectangle(self.side_mm, self.side_mm, self.corner_radius_mm))


@dataclass(frozen=True)
class Flat(Profile):
    """A flat or rectangular bar; the greater side is the width, whichever was given first."""

    width_mm: float
    thickness_mm: float
    corner_radius_mm: float = 0.0

    kind: ClassVar[str] = "flat"

    def __post_init__(self) -> None:
        need_positive(self.kind, width_mm=self.width_mm, thickness_mm=self.thickness_mm)
        need_not_negative(self.kind, corner_radius_mm=self.corner_radius_mm)
        if self.width_mm < self.thickness_mm:
            width, thickness = self.thickness_mm, self.width_mm
            object.__setattr__(self, "width_mm", width)
            object.__setattr__(self, "thickness_mm", thickness)
        self.outline()

    @property
    def wall_mm(self) -> float | None:
        """None: a flat is solid."""
        return None

    def key(self) -> str:
        """'flat:100000x10000'; one with equal sides has the key of the square it is."""
        if micrometres(self.width_mm) == micrometres(self.thickness_mm):
            return Square(self.width_mm, self.corner_radius_mm).key()
        return self._key(self.width_mm, self.thickness_mm, r=self.corner_radius_mm)

    def _drawn(self) -> Outline:
        return Outline.of(rectangle(self.width_mm, self.thickness_mm, self.corner_radius_mm))


@dataclass(frozen=True)
class Hexagon(Profile):
    """A hexagon bar, lying on a flat."""

    across_flats_mm: float

    kind: ClassVar[str] = "hexagon"

    def __post_init__(self) -> None:
        need_positive(self.kind, across_flats_mm=self.across_flats_mm)

    @property
    def across_corners_mm(self) -> float:
        """Corner to corner in mm: 2 / sqrt(3) of the flats."""
        return 2.0 * self.across_flats_mm / math.sqrt(3.0)

    @property
    def wall_mm(self) -> float | None:
        """None: a hexagon is solid."""
        return None

    def key(self) -> str:
        """'hexagon:30000' for 30 mm across flats."""
        return self._key(self.across_flats_mm)

    def _drawn(self) -> Outline:
        y, x = self.across_flats_mm / 2.0, self.across_corners_mm / 2.0
        points = [(x, 0.0), (x / 2.0, y), (-x / 2.0, y), (-x, 0.0), (-x / 2.0, -y), (x / 2.0, -y)]
        return Outline.of(rounded([(px, py, 0.0) for px, py in points]))


@dataclass(frozen=True)
class RoundTube(Profile):
    """A round tube or pipe of even wall."""

    outer_mm: float
    wall_mm: float

    kind: ClassVar[str] = "round tube"

    def __post_init__(self) -> None:
        need_positive(self.kind, outer_mm=self.outer_mm, wall_mm=self.wall_mm)
        need_less(
            self.kind, Told("wall"), self.wall_mm, Told("half the outside diameter"), self.outer_mm / 2.0
        )
        self.outline()

    @property
    def is_hollow(self) -> bool:
        """True: a tube."""
        return True

    @property
    def inner_mm(self) -> float:
        """Diameter of the bore in mm."""
        return self.outer_mm - 2.0 * self.wall_mm

    def key(self) -> str:
        """'round tube:114300x6020' for outside diameter and wall."""
        return self._key(self.outer_mm, self.wall_mm)

    def _drawn(self) -> Outline:
        return Outline.of(circle(self.outer_mm), circle(self.inner_mm).reversed())


@dataclass(frozen=True)
class RectTube(Profile):
    """A square or rectangular tube with its outside and inside corner radii; the wider side lies down."""

    width_mm: float
    height_mm: float
    wall_mm: float
    outer_radius_mm: float = 0.0
    inner_radius_mm: float = 0.0

    kind: ClassVar[str] = "rect tube"

    def __post_init__(self) -> None:
        need_positive(self.kind, width_mm=self.width_mm, height_mm=self.height_mm, wall_mm=self.wall_mm)
        need_not_negative(
            self.kind, outer_radius_mm=self.outer_radius_mm, inner_radius_mm=self.inner_radius_mm
        )
        if self.width_mm < self.height_mm:
            width, height = self.height_mm, self.width_mm
            object.__setattr__(self, "width_mm", width)
            object.__setattr__(self, "height_mm", height)
        need_less(self.kind, Told("wall"), self.wall_mm, Told("half the lesser side"), self.height_mm / 2.0)
        # On the diagonal: the wall's corner less what the outside radius takes, plus what the inside gives.
        across = self.wall_mm * math.sqrt(2.0) - (self.outer_radius_mm - self.inner_radius_mm) * _CORNER
        if across <= 0.0:
            raise InvalidValue(
                sentence(
                    "an outside radius of {radius} cuts through the corner of a rect tube",
                    radius=quantity(self.outer_radius_mm, "mm"),
                )
            )
        self.outline()

    @property
    def is_hollow(self) -> bool:
        """True: a tube."""
        return True

    def key(self) -> str:
        """'rect tube:150000x100000x6000:o12000:i6000' for width, height, wall and the two radii."""
        return self._key(
            self.width_mm, self.height_mm, self.wall_mm, o=self.outer_radius_mm, i=self.inner_radius_mm
        )

    def _drawn(self) -> Outline:
        bore = (self.width_mm - 2.0 * self.wall_mm, self.height_mm - 2.0 * self.wall_mm)
        outer = rectangle(self.width_mm, self.height_mm, self.outer_radius_mm)
        return Outline.of(outer, rectangle(*bore, self.inner_radius_mm).reversed())


@dataclass(frozen=True)
class Drawn(Profile):
    """Any closed outline, such as an extrusion; ``name`` is what the shop calls it.

    Make the outline with :func:`kerfsmith.geometry.drawing.drawn_outline`, which looks for crossings.
    """

    drawing: Outline
    name: str

    kind: ClassVar[str] = "drawn"
    can_bundle: ClassVar[bool] = False

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise InvalidValue("a drawn section needs a name")

    @property
    def is_hollow(self) -> bool:
        """Whether it has holes."""
        return any(body.holes for body in self.drawing.bodies)

    @property
    def wall_mm(self) -> float | None:
        """The thinnest wall in mm, from its drawing; None where none is under half its lesser side."""
        wall = thinnest_wall_mm(self.outline())
        lesser = min(self.outline().width_mm, self.outline().height_mm)
        return wall if wall < lesser / 2.0 else None

    def key(self) -> str:
        """'drawn:' and a digest of the geometry in whole micrometres, wherever it was drawn and begun."""
        loops = sorted(_canonical(loop) for loop in self.outline().loops)
        return f"drawn:{hashlib.sha256(repr(loops).encode()).hexdigest()[:20]}"

    def _drawn(self) -> Outline:
        return self.drawing


def _canonical(loop: Loop) -> list[tuple[int, ...]]:
    """The pieces of a loop in whole micrometres, begun at the least of them."""

    def numbers(piece: Piece) -> tuple[int, ...]:
        middle = piece.middle if isinstance(piece, Arc) else piece.start
        return tuple(micrometres(value) for value in (*piece.start, *middle))

    rows = [numbers(piece) for piece in loop.pieces]
    first = rows.index(min(rows))
    return rows[first:] + rows[:first]


Shape = Round | Square | Flat | Hexagon | RoundTube | RectTube | Angle | Channel | Beam | Tee | Drawn
"""Any section."""
