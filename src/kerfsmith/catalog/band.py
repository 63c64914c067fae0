"""Bands: what a band of one make-up is, before it becomes this band on that saw."""

from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.catalog.figure import Figure
from kerfsmith.errors import InvalidValue

MM_PER_INCH = 25.4


class Edge(StrEnum):
    """Material of the cutting edge."""

    CARBON = "carbon steel"
    BIMETAL = "bimetal"
    CARBIDE = "carbide-tipped"
    CARBIDE_GRIT = "carbide grit"
    DIAMOND_GRIT = "diamond grit"

    @property
    def is_grit(self) -> bool:
        """Whether the edge has grains in place of teeth, so that no tooth rule applies."""
        return self in (Edge.CARBIDE_GRIT, Edge.DIAMOND_GRIT)


@dataclass(frozen=True, slots=True)
class Pitch:
    """Teeth per inch of a band: ``coarse_tpi`` the coarsest local count, ``fine_tpi`` the finest.

    A constant pitch has both equal. Counting uses the mean, the least-teeth check the coarsest and the gullet
    check the finest (derived from how a variable pitch is named).
    """

    coarse_tpi: float
    fine_tpi: float

    def __post_init__(self) -> None:
        if not 0 < self.coarse_tpi <= self.fine_tpi:
            raise InvalidValue(f"pitch {self.coarse_tpi}/{self.fine_tpi} must rise from above zero")

    @property
    def mean_tpi(self) -> float:
        """Mean teeth per inch."""
        return (self.coarse_tpi + self.fine_tpi) / 2

    @property
    def mean_mm(self) -> float:
        """Mean distance from tooth to tooth, mm."""
        return MM_PER_INCH / self.mean_tpi

    @property
    def coarse_mm(self) -> float:
        """Greatest distance from tooth to tooth, mm."""
        return MM_PER_INCH / self.coarse_tpi

    @property
    def fine_mm(self) -> float:
        """Least distance from tooth to tooth, mm."""
        return MM_PER_INCH / self.fine_tpi

    def __str__(self) -> str:
        if self.coarse_tpi == self.fine_tpi:
            return f"{self.coarse_tpi:g}"
        return f"{self.coarse_tpi:g}/{self.fine_tpi:g}"


@dataclass(frozen=True, slots=True)
class Band:
    """A band as it can be bought: edge, cross-section, pitch, tooth form and set, with its kerf.

    ``kerf`` is a Figure in mm. ``price_per_m`` is a Figure in currency units per metre of band.
    ``pitch`` is None for a grit edge.
    """

    id: str
    edge: Edge
    width_mm: float
    thickness_mm: float
    pitch: Pitch | None
    tooth_form: str
    tooth_set: str
    kerf: Figure
    price_per_m: Figure
    life_area_cm2: Figure | None = None

    def __post_init__(self) -> None:
        if not (self.width_mm > self.thickness_mm > 0):
            raise InvalidValue(f"band {self.id}: width must exceed thickness, both above zero")
        if self.kerf.value < self.thickness_mm:
            raise InvalidValue(f"band {self.id}: kerf can't be narrower than the band is thick")
        if (self.pitch is None) != self.edge.is_grit:
            raise InvalidValue(f"band {self.id}: teeth need a pitch and grit has none")

    @property
    def name(self) -> str:
        """What a person reads: size, pitch and edge."""
        pitch = f"{self.pitch} TPI" if self.pitch else "grit"
        return f"{self.width_mm:g} x {self.thickness_mm:g} mm, {pitch}, {self.edge}"
