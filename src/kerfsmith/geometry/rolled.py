"""Rolled profiles of webs and flanges: angle, channel, beam and tee, with their radii and sloping flanges.

Flanges are ``flange_mm`` thick at ``flange_at_mm`` from the toe and grow toward the web by ``flange_slope``
(0.08 for 8 %, 1/6 for the older American series). Where ``flange_at_mm`` isn't given it is half the flange
width of a channel (EN 10365, channels up to 300 mm high) and a quarter of the width of a beam (EN 10365).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from kerfsmith.geometry.corners import rounded
from kerfsmith.geometry.outline import Outline
from kerfsmith.geometry.profile import Profile, need_less, need_not_negative, need_positive
from kerfsmith.units.told import Told


@dataclass(frozen=True)
class Angle(Profile):
    """An angle, ``leg_a_mm`` the longer leg (swapped if not): drawn with it upright, the heel low left."""

    leg_a_mm: float
    leg_b_mm: float
    thickness_mm: float
    root_radius_mm: float = 0.0
    toe_radius_mm: float = 0.0

    kind: ClassVar[str] = "angle"
    is_structural: ClassVar[bool] = True

    def __post_init__(self) -> None:
        need_positive(
            self.kind, leg_a_mm=self.leg_a_mm, leg_b_mm=self.leg_b_mm, thickness_mm=self.thickness_mm
        )
        need_not_negative(self.kind, root_radius_mm=self.root_radius_mm, toe_radius_mm=self.toe_radius_mm)
        if self.leg_a_mm < self.leg_b_mm:
            longer, shorter = self.leg_b_mm, self.leg_a_mm
            object.__setattr__(self, "leg_a_mm", longer)
            object.__setattr__(self, "leg_b_mm", shorter)
        need_less(self.kind, Told("thickness"), self.thickness_mm, Told("the shorter leg"), self.leg_b_mm)
        self.outline()

    @property
    def wall_mm(self) -> float:
        """Thickness of the legs in mm."""
        return self.thickness_mm

    def key(self) -> str:
        """'angle:100000x100000x10000:r12000:t6000' for legs, thickness, root and toe radius."""
        return self._key(
            self.leg_a_mm, self.leg_b_mm, self.thickness_mm, r=self.root_radius_mm, t=self.toe_radius_mm
        )

    def _drawn(self) -> Outline:
        a, b, t, root, toe = (
            self.leg_a_mm, self.leg_b_mm, self.thickness_mm, self.root_radius_mm, self.toe_radius_mm
        )  # fmt: skip
        corners = [(0.0, 0.0, 0.0), (b, 0.0, 0.0), (b, t, toe), (t, t, root), (t, a, toe), (0.0, a, 0.0)]
        return Outline.of(rounded(corners))


@dataclass(frozen=True)
class Channel(Profile):
    """A channel with parallel or sloping flanges: drawn with its web upright on the left."""

    height_mm: float
    flange_width_mm: float
    web_mm: float
    flange_mm: float
    root_radius_mm: float = 0.0
    toe_radius_mm: float = 0.0
    flange_slope: float = 0.0
    flange_at_mm: float | None = None

    kind: ClassVar[str] = "channel"
    is_structural: ClassVar[bool] = True

    def __post_init__(self) -> None:
        need_positive(
            self.kind,
            height_mm=self.height_mm,
            flange_width_mm=self.flange_width_mm,
            web_mm=self.web_mm,
            flange_mm=self.flange_mm,
            flange_at_the_toe_mm=self.toe_mm,
        )
        need_not_negative(
            self.kind,
            root_radius_mm=self.root_radius_mm,
            toe_radius_mm=self.toe_radius_mm,
            flange_slope=self.flange_slope,
        )
        need_less(self.kind, Told("web"), self.web_mm, Told("its flange width"), self.flange_width_mm)
        need_less(self.kind, Told("two flanges"), 2.0 * self._root_mm, Told("its height"), self.height_mm)
        self.outline()

    @property
    def _at_mm(self) -> float:
        return self.flange_width_mm / 2.0 if self.flange_at_mm is None else self.flange_at_mm

    @property
    def toe_mm(self) -> float:
        """Thickness of the flange at its toe in mm, before the toe radius."""
        return self.flange_mm - self.flange_slope * self._at_mm

    @property
    def _root_mm(self) -> float:
        return self.flange_mm + self.flange_slope * (self.flange_width_mm - self.web_mm - self._at_mm)

    @property
    def wall_mm(self) -> float:
        """The thinner of web and flange toe in mm."""
        return min(self.web_mm, self.toe_mm)

    def key(self) -> str:
        """'channel:' height x flange width x web x flange, then root, toe, slope and where it holds."""
        return self._key(
            self.height_mm, self.flange_width_mm, self.web_mm, self.flange_mm,
            r=self.root_radius_mm, t=self.toe_radius_mm, s=self.flange_slope * 1000.0,
            u=self._at_mm if self.flange_slope else 0.0,
        )  # fmt: skip

    def _drawn(self) -> Outline:
        h, b, web, toe, root = self.height_mm, self.flange_width_mm, self.web_mm, self.toe_mm, self._root_mm
        r1, r2 = self.root_radius_mm, self.toe_radius_mm
        corners = [
            (0.0, 0.0, 0.0), (b, 0.0, 0.0), (b, toe, r2), (web, root, r1),
            (web, h - root, r1), (b, h - toe, r2), (b, h, 0.0), (0.0, h, 0.0),
        ]  # fmt: skip
        return Outline.of(rounded(corners))


@dataclass(frozen=True)
class Beam(Profile):
    """An I or H beam with parallel or sloping flanges: drawn with its web upright."""

    height_mm: float
    width_mm: float
    web_mm: float
    flange_mm: float
    root_radius_mm: float = 0.0
    flange_slope: float = 0.0
    toe_radius_mm: float = 0.0
    flange_at_mm: float | None = None

    kind: ClassVar[str] = "beam"
    is_structural: ClassVar[bool] = True

    def __post_init__(self) -> None:
        need_positive(
            self.kind,
            height_mm=self.height_mm,
            width_mm=self.width_mm,
            web_mm=self.web_mm,
            flange_mm=self.flange_mm,
            flange_at_the_toe_mm=self.toe_mm,
        )
        need_not_negative(
            self.kind,
            root_radius_mm=self.root_radius_mm,
            toe_radius_mm=self.toe_radius_mm,
            flange_slope=self.flange_slope,
        )
        need_less(self.kind, Told("web"), self.web_mm, Told("its width"), self.width_mm)
        need_less(self.kind, Told("two flanges"), 2.0 * self._root_mm, Told("its height"), self.height_mm)
        self.outline()

    @property
    def _at_mm(self) -> float:
        return self.width_mm / 4.0 if self.flange_at_mm is None else self.flange_at_mm

    @property
    def toe_mm(self) -> float:
        """Thickness of the flange at its toe in mm, before the toe radius."""
        return self.flange_mm - self.flange_slope * self._at_mm

    @property
    def _root_mm(self) -> float:
        return self.flange_mm + self.flange_slope * ((self.width_mm - self.web_mm) / 2.0 - self._at_mm)

    @property
    def wall_mm(self) -> float:
        """The thinner of web and flange toe in mm."""
        return min(self.web_mm, self.toe_mm)

    def key(self) -> str:
        """'beam:' height x width x web x flange, then root, toe, slope and where it holds."""
        return self._key(
            self.height_mm, self.width_mm, self.web_mm, self.flange_mm,
            r=self.root_radius_mm, t=self.toe_radius_mm, s=self.flange_slope * 1000.0,
            u=self._at_mm if self.flange_slope else 0.0,
        )  # fmt: skip

    def _drawn(self) -> Outline:
        h, b, web, toe, root = (
            self.height_mm,
            self.width_mm / 2.0,
            self.web_mm / 2.0,
            self.toe_mm,
            self._root_mm,
        )
        r1, r2 = self.root_radius_mm, self.toe_radius_mm
        right = [
            (b, 0.0, 0.0),
            (b, toe, r2),
            (web, root, r1),
            (web, h - root, r1),
            (b, h - toe, r2),
            (b, h, 0.0),
        ]
        left = [(-x, y, radius) for x, y, radius in reversed(right)]
        return Outline.of(rounded(right + left))


@dataclass(frozen=True)
class Tee(Profile):
    """A tee, ``height_mm`` over all: drawn with its flange on top and its stem down."""

    height_mm: float
    width_mm: float
    web_mm: float
    flange_mm: float
    root_radius_mm: float = 0.0
    toe_radius_mm: float = 0.0

    kind: ClassVar[str] = "tee"
    is_structural: ClassVar[bool] = True
    can_bundle: ClassVar[bool] = False

    def __post_init__(self) -> None:
        need_positive(
            self.kind,
            height_mm=self.height_mm,
            width_mm=self.width_mm,
            web_mm=self.web_mm,
            flange_mm=self.flange_mm,
        )
        need_not_negative(self.kind, root_radius_mm=self.root_radius_mm, toe_radius_mm=self.toe_radius_mm)
        need_less(self.kind, Told("stem"), self.web_mm, Told("its width"), self.width_mm)
        need_less(self.kind, Told("flange"), self.flange_mm, Told("its height"), self.height_mm)
        self.outline()

    @property
    def wall_mm(self) -> float:
        """The thinner of stem and flange in mm."""
        return min(self.web_mm, self.flange_mm)

    def key(self) -> str:
        """'tee:' height x width x stem x flange, then root and toe radius."""
        return self._key(
            self.height_mm,
            self.width_mm,
            self.web_mm,
            self.flange_mm,
            r=self.root_radius_mm,
            t=self.toe_radius_mm,
        )

    def _drawn(self) -> Outline:
        h, b, web, under = (
            self.height_mm,
            self.width_mm / 2.0,
            self.web_mm / 2.0,
            self.height_mm - self.flange_mm,
        )
        r1, r2 = self.root_radius_mm, self.toe_radius_mm
        right = [(web, 0.0, 0.0), (web, under, r1), (b, under, r2), (b, h, 0.0)]
        left = [(-x, y, radius) for x, y, radius in reversed(right)]
        return Outline.of(rounded(right + left))
