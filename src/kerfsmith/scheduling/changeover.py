"""Set-up times between bands, from the saw's own cycle and what is particular about the bands."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.problem import NO_BAND


@dataclass(frozen=True, slots=True)
class ChangeRules:
    """What a change takes beside the saw's own time. Common practice; the shop's to set.

    ``edge_s``: another edge material or width, so that guides, brush, coolant and speed are set anew.
    ``break_in_feed``: share of the usual feed while a new band is broken in (common practice: 0.2 to 0.75).
    Raises InvalidValue for a share outside (0, 1] or a time below zero.
    """

    edge_s: float = 300.0
    break_in_feed: float = 0.5

    def __post_init__(self) -> None:
        if not 0 < self.break_in_feed <= 1 or self.edge_s < 0:
            raise InvalidValue("a change takes no less than no time, and breaking in some of the feed")


def change_seconds(saw: SawSheet, before: Band | None, after: Band, rules: ChangeRules) -> float:
    """Seconds with a person from ``before`` on the saw to ``after``: none for the same band."""
    if before is not None and before.id == after.id:
        return 0.0
    seconds = saw.cycle.band_change_s
    if before is not None and (before.edge, before.width_mm) != (after.edge, after.width_mm):
        seconds += rules.edge_s
    return seconds


def set_up_table(
    saw: SawSheet, bands: Iterable[Band], rules: ChangeRules, tick_s: int
) -> dict[tuple[str, str], int]:
    """(band before, band after) -> ticks, rounded up, for every pair of ``bands`` and from a bare saw."""
    known = {band.id: band for band in bands}
    table: dict[tuple[str, str], int] = {}
    for after in known.values():
        for before in (None, *known.values()):
            seconds = change_seconds(saw, before, after, rules)
            table[before.id if before else NO_BAND, after.id] = math.ceil(seconds / tick_s)
    return table


def break_in_seconds(break_in_cm2: float, seconds_per_cm2: float, rules: ChangeRules) -> float:
    """Seconds that the first cuts of a new band take longer: area x time for it x (1 / share of feed - 1).

    Source: derived; the share and the area are common practice.
    """
    return break_in_cm2 * seconds_per_cm2 * (1 / rules.break_in_feed - 1)
