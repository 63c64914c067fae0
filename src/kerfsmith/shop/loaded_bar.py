"""A bar at the saw: taken from the rack, cut up entry by entry, and always adding up."""

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from kerfsmith.errors import InvalidValue


class BarState(StrEnum):
    """Where a loaded bar is: in the saw, cut out with its remnant still in hand, or done with."""

    LOADED = "loaded"
    FINISHED = "finished"
    PUT_AWAY = "put away"
    SCRAPPED = "remnant scrapped"
    RETURNED = "returned uncut"

    @property
    def is_closed(self) -> bool:
        """Whether nothing more will happen to it."""
        return self in (BarState.PUT_AWAY, BarState.SCRAPPED, BarState.RETURNED)


@dataclass(frozen=True, slots=True)
class Parts:
    """What a bar's length has become, whole micrometres. Also a change of it, then of either sign.

    ``trims_um`` is waste that was never a piece (facing, bad ends), ``pieces_um`` the pieces that are good,
    ``scrap_um`` pieces that were scrapped, ``kerfs_um`` chips.
    """

    trims_um: int = 0
    kerfs_um: int = 0
    pieces_um: int = 0
    scrap_um: int = 0

    @property
    def total_um(self) -> int:
        """All parts together."""
        return self.trims_um + self.kerfs_um + self.pieces_um + self.scrap_um

    def __add__(self, other: "Parts") -> "Parts":
        return Parts(
            self.trims_um + other.trims_um,
            self.kerfs_um + other.kerfs_um,
            self.pieces_um + other.pieces_um,
            self.scrap_um + other.scrap_um,
        )

    def __neg__(self) -> "Parts":
        return Parts(-self.trims_um, -self.kerfs_um, -self.pieces_um, -self.scrap_um)


@dataclass(frozen=True, slots=True)
class LoadedBar:
    """One bar or remnant that was loaded: ``label`` is what stands on it, the rack entry it was taken from.

    At every moment ``length_um`` = trims + kerfs + pieces + scrapped pieces + ``left_um``, to the micrometre.
    ``labelled_um`` is the length by its label; ``length_um`` differs where it was measured otherwise.
    ``revision`` and ``position`` name the planned bar it was loaded for, ``copy`` which of its equal bars it
    is, from 1; ``entries`` counts its cut log. ``load_id`` names the load in which it is cut with others, ""
    for a bar that is cut alone, or was taken out.

    Raises InvalidValue when it doesn't add up, or a part is below zero.
    """

    id: str
    run_id: str
    saw: str
    revision: int
    position: int
    label: str
    heat: str
    labelled_um: int
    length_um: int
    parts: Parts
    left_um: int
    state: BarState
    entries: int
    loaded_at: datetime
    loaded_by: str
    copy: int = 1
    load_id: str = ""

    def __post_init__(self) -> None:
        parts = self.parts
        if min(parts.trims_um, parts.kerfs_um, parts.pieces_um, parts.scrap_um, self.left_um) < 0:
            raise InvalidValue(f"bar {self.label}: a part is below zero")
        if parts.total_um + self.left_um != self.length_um:
            raise InvalidValue(f"bar {self.label}: parts make {parts.total_um + self.left_um} um")

    def after(self, change: Parts) -> "LoadedBar":
        """The bar after one more entry. Raises InvalidValue when it hasn't that much left."""
        return replace(
            self, parts=self.parts + change, left_um=self.left_um - change.total_um, entries=self.entries + 1
        )
