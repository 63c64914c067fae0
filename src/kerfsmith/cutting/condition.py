"""The state of band, coolant and metal that a cut is reckoned for."""

from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.errors import InvalidValue


class BandState(StrEnum):
    """How far a band is in its life."""

    BREAK_IN = "new, being run in"
    SOUND = "sound"
    WORN = "worn"


@dataclass(frozen=True, slots=True)
class Condition:
    """What is special about this cut.

    ``coolant`` is whether coolant runs (the saw must have it). ``hb`` is a measured Brinell hardness in place
    of the catalog's. ``bar_length_mm`` is the bar to be lifted, ``piece_length_mm`` what is cut off; None
    where unknown. Raises InvalidValue for a length or hardness that isn't above zero.
    """

    coolant: bool = True
    band: BandState = BandState.SOUND
    hb: float | None = None
    bar_length_mm: float | None = None
    piece_length_mm: float | None = None

    def __post_init__(self) -> None:
        for name in ("hb", "bar_length_mm", "piece_length_mm"):
            value = getattr(self, name)
            if value is not None and not value > 0:
                raise InvalidValue(f"{name} must be above zero, not {value}")


AS_USUAL = Condition()
"""Coolant on, a sound band, the catalog's hardness."""
