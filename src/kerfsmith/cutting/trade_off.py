"""Quickest, cheapest, safest: settings a person can choose between, and what each gives up for the others."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.condition import AS_USUAL, Condition
from kerfsmith.cutting.fit import ways_to_fit
from kerfsmith.cutting.set_up import Try
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.cutting.speed import band_speed
from kerfsmith.cutting.survey import SPEEDS, Survey, survey
from kerfsmith.cutting.try_bands import in_order
from kerfsmith.cutting.weighing import Alternative, Table, weighed, weighed_exactly
from kerfsmith.units.told import sentence

FRONT_MOST = 12
TOLD_APART = 0.02
"""Share by which two places of the front differ in time, cost or risk, or one of them isn't shown."""


@dataclass(frozen=True, slots=True)
class TradeOff:
    """The alternatives that nothing beats in time, cost and risk at once, quickest first.

    ``tried`` counts the settings compared; ``by_band`` has each band's quickest, best first.
    """

    saw: str
    front: tuple[Alternative, ...]
    tried: int
    by_band: tuple[Alternative, ...] = ()

    def named(self, name: str) -> Alternative:
        """The alternative called "quickest", "cheapest" or "safest"."""
        return next(each for each in self.front if name in each.names)


def alternatives(
    grade: Grade,
    section: Section,
    saw: SawSheet,
    bands: Sequence[Band],
    corrections: Corrections,
    *,
    angle_deg: float = 0.0,
    bundle: int = 1,
    condition: Condition = AS_USUAL,
    lie: str | None = None,
    speeds: int = SPEEDS,
) -> TradeOff | CannotCut:
    """Compare every band that runs on the saw at ``speeds`` speeds and some shares of the allowed feed.

    Quickest takes least time, cheapest least money (saw time, band worn and changed), safest the least
    risk (see :mod:`kerfsmith.cutting.risk`). Cost needs the saw's rate and a known band life; without
    them the cheapest is the quickest.
    """
    fits = ways_to_fit(grade, section, saw, angle_deg=angle_deg, bundle=bundle, condition=condition)
    able = [fit.work for fit in fits if fit.fits and (lie is None or fit.work.lie == lie)]
    if not able:
        misfits = fits[0].misfits if fits else ()
        return CannotCut(((saw.id, misfits),), sentence("{saw}: the work doesn't fit", saw=saw.name))
    work = in_order(grade, able, saw, bands, corrections, None, asked=lie is not None)[0]
    found = survey(grade, work, saw, bands, corrections, condition, speeds=speeds)
    if not found.able(saw).any():
        return CannotCut(
            ((saw.id, ()),), sentence("{saw}: no band and speed keeps within every limit", saw=saw.name)
        )
    table = weighed(grade, saw, found, corrections)
    picks = [
        int(np.lexsort((table.risk, table.seconds))[0]),
        int(np.lexsort((table.seconds, table.cost))[0]),
        int(np.lexsort((table.seconds, np.round(table.risk, 6)))[0]),
    ]
    rows = _spread(_front(table), table, picks)

    def tried(row: int) -> Try:
        """A row of the table as a try."""
        setting = int(table.place[row])
        at = int(found.place[setting])
        speed, share = float(found.speed_m_per_min[setting]), float(table.share[row])
        return Try(found.bands[at], found.speeds[at], speed, share)

    each = _quickest_of_each(found, table)
    exact = weighed_exactly(grade, saw, work, [tried(row) for row in (*each, *rows)], corrections, condition)
    by_band = sorted(exact[: len(each)], key=lambda one: one.seconds)
    front = _told_apart(_named(_unbeaten(exact[len(each) :])))
    return TradeOff(saw.id, front, int(table.place.size), tuple(by_band))


def weigh(
    grade: Grade,
    section: Section,
    saw: SawSheet,
    setting: CutSetting,
    corrections: Corrections,
    *,
    condition: Condition = AS_USUAL,
    feed_share: float = 1.0,
) -> Alternative:
    """A setting weighed as the trade-off weighs its own, so that the two can be held side by side."""
    fits = ways_to_fit(
        grade, section, saw, angle_deg=setting.angle_deg, bundle=setting.bundle, condition=condition
    )
    work = next(fit.work for fit in fits if fit.work.lie == setting.lie)
    speed = band_speed(grade, work, setting.band, saw, corrections, condition)
    one = Try(setting.band, speed, setting.band_speed_m_per_min, feed_share)
    return weighed_exactly(grade, saw, work, [one], corrections, condition)[0]


def _quickest_of_each(found: Survey, table: Table) -> list[int]:
    """The row of least time of every band that has one."""
    bands = found.place[table.place]
    order = np.lexsort((table.seconds, bands))
    first = np.concatenate([[True], np.diff(bands[order]) != 0])
    return [int(row) for row in order[first]]


def _weights(one: Alternative) -> tuple[float, float, float]:
    """The three things weighed."""
    return one.seconds, one.price, one.risk.share


def _unbeaten(shown: list[Alternative]) -> list[Alternative]:
    """Those that still stand when reckoned exactly."""

    def beats(a: Alternative, b: Alternative) -> bool:
        ours, theirs = _weights(a), _weights(b)
        return ours != theirs and all(x <= y for x, y in zip(ours, theirs, strict=True))

    kept = [one for one in shown if not any(beats(other, one) for other in shown)]
    return sorted(kept, key=_weights)


def _named(front: list[Alternative]) -> tuple[Alternative, ...]:
    """The front with each end of it named."""
    ends = {
        "quickest": min(front, key=lambda one: (one.seconds, one.price)),
        "cheapest": min(front, key=lambda one: (one.price, one.seconds)),
        "safest": min(front, key=lambda one: (one.risk.share, one.seconds)),
    }
    return tuple(replace(one, names=tuple(name for name, end in ends.items() if end is one)) for one in front)


def _told_apart(front: tuple[Alternative, ...]) -> tuple[Alternative, ...]:
    """The front without those that a person can't tell from another one on it; the named ones stay."""

    def alike(one: Alternative, other: Alternative) -> bool:
        pairs = zip(_weights(one), _weights(other), strict=True)
        return all(abs(a - b) <= TOLD_APART * max(a, b) for a, b in pairs)

    kept = [one for one in front if one.names]
    for one in front:
        if not one.names and not any(alike(one, other) for other in kept):
            kept.append(one)
    return tuple(sorted(kept, key=_weights))


def _front(table: Table) -> list[int]:
    """Rows that no other row equals or beats in all of time, cost and risk."""
    left = np.lexsort((table.risk, table.cost, table.seconds))
    kept: list[int] = []
    while left.size:
        row = int(left[0])
        kept.append(row)
        better = (table.cost[left] < table.cost[row] - 1e-12) | (table.risk[left] < table.risk[row] - 1e-12)
        left = left[better]
    return kept


def _spread(front: list[int], table: Table, picks: list[int]) -> list[int]:
    """No more than FRONT_MOST rows of the front, evenly along it, and the named ones in any case."""
    places = np.unique(np.linspace(0, len(front) - 1, min(FRONT_MOST, len(front))).round().astype(int))
    rows = {front[place] for place in places} | set(picks)
    return sorted(rows, key=lambda row: (table.seconds[row], table.cost[row], row))
