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
from kerfsmith.cutting.control import law_for
from kerfsmith.cutting.figures import Floats
from kerfsmith.cutting.fit import ways_to_fit
from kerfsmith.cutting.life import CutCost, LifeSpan, band_life, cut_cost
from kerfsmith.cutting.models.taylor_1907 import EXPONENT
from kerfsmith.cutting.reckon import coarse_of, slice_nodes
from kerfsmith.cutting.risk import Risk, risk_of, shares
from kerfsmith.cutting.set_up import Outlook, Try, figures_for
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.cutting.speed import band_speed
from kerfsmith.cutting.survey import SPEEDS, Survey, strains, survey
from kerfsmith.cutting.through_cut import passage
from kerfsmith.cutting.try_bands import in_order
from kerfsmith.cutting.work import Work
from kerfsmith.units.told import Told

FEED_SHARES = (1.0, 0.85, 0.7, 0.5)
"""Shares of the allowed feed that are offered: all of it, and three eased ones."""

FRONT_MOST = 12
TOLD_APART = 0.02
"""Share by which two places of the front differ in time, cost or risk, or one of them isn't shown."""

SLOWEST_FALL = 0.75
"""Power of the feed with which force and motor power fall at least: 1 - mc, with mc no more than 0.25 or so.
"""


@dataclass(frozen=True, slots=True)
class Alternative:
    """One setting among others: ask :func:`kerfsmith.cutting.choose.set_cut` for the whole of it.

    ``seconds`` has its interval in ``seconds_low`` and ``seconds_high``. ``strain`` is the largest share of
    what edge, gullets, band and motor bear, 1 is the limit; ``risk`` weighs rubbing, teeth in a wall and fire
    beside it. ``cost`` is None where no band life is known. ``names`` are "quickest", "cheapest", "safest".
    """

    band: Band
    lie: str
    speed_m_per_min: float
    feed_share: float
    seconds: float
    seconds_low: float
    seconds_high: float
    strain: float
    risk: Risk
    life: LifeSpan | None
    cost: CutCost | None
    names: tuple[str, ...] = ()

    @property
    def price(self) -> float:
        """What is weighed as cost: money, or seconds where no money is known."""
        return self.cost.total if self.cost else self.seconds


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


@dataclass(frozen=True)
class _Table:
    """All settings by all feed shares: place in the survey, share and the three things weighed."""

    place: np.ndarray[tuple[int], np.dtype[np.intp]]
    share: Floats
    seconds: Floats
    cost: Floats
    risk: Floats


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
        return CannotCut(((saw.id, misfits),), Told(f"{saw.name}: the work doesn't fit"))
    work = in_order(grade, able, saw, bands, corrections, None, asked=lie is not None)[0]
    found = survey(grade, work, saw, bands, corrections, condition, speeds=speeds)
    if not found.able(saw).any():
        return CannotCut(((saw.id, ()),), Told(f"{saw.name}: no band and speed keeps within every limit"))
    table = _weighed(grade, saw, found, corrections)
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
    exact = _weighed_exactly(grade, saw, work, [tried(row) for row in (*each, *rows)], corrections, condition)
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
    return _weighed_exactly(grade, saw, work, [one], corrections, condition)[0]


def _quickest_of_each(found: Survey, table: _Table) -> list[int]:
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


def _weighed(grade: Grade, saw: SawSheet, found: Survey, corrections: Corrections) -> _Table:
    """Time, cost and risk of every setting at every feed share."""
    able = [np.flatnonzero(found.able(saw, share)) for share in FEED_SHARES]
    place = np.concatenate(able)
    share = np.repeat(FEED_SHARES, [each.size for each in able])
    lives = np.array([_life_usual(grade, saw, band, corrections) for band in found.bands])
    wanted = np.array([speed.wanted for speed in found.speeds])[found.place]
    exponent = np.array([_taylor_power(band) for band in found.bands])[found.place]
    life = lives[found.place] * np.maximum(found.speed_m_per_min / wanted, 1.0) ** exponent
    price = (
        np.array([band.price_per_m.value for band in found.bands])[found.place] * saw.band_length_mm / 1000
    )
    rate = saw.rate_per_hour / 3600
    worn = (price + saw.cycle.band_change_s * rate) * found.work.area_mm2 / 100 / life
    seconds = found.seconds[place] / share
    # Chip and gullet fall with the feed, the force more slowly, as h^(1-mc): its exponent is taken for all.
    strain = found.strain[place] * share**SLOWEST_FALL
    risk = np.empty_like(strain)
    for at, band in enumerate(found.bands):
        own = found.place[place] == at
        chip, speed = found.chip_um[place][own] * share[own], found.speed_m_per_min[place][own]
        risk[own] = shares(grade, found.work, band, strain[own], chip, speed).max(axis=0)
    return _Table(place, share, seconds, seconds * rate + np.nan_to_num(worn[place]), risk)


def _life_usual(grade: Grade, saw: SawSheet, band: Band, corrections: Corrections) -> float:
    life = band_life(grade, saw, band, 1.0, corrections)
    return life.usual if life else float("nan")


def _taylor_power(band: Band) -> float:
    """Power of the speed to which the area cut in a life goes: 1 - 1/n."""
    exponents = EXPONENT.get(band.edge.value)
    return 1 - 1 / exponents[1] if exponents else 0.0


def _front(table: _Table) -> list[int]:
    """Rows that no other row equals or beats in all of time, cost and risk."""
    left = np.lexsort((table.risk, table.cost, table.seconds))
    kept: list[int] = []
    while left.size:
        row = int(left[0])
        kept.append(row)
        better = (table.cost[left] < table.cost[row] - 1e-12) | (table.risk[left] < table.risk[row] - 1e-12)
        left = left[better]
    return kept


def _spread(front: list[int], table: _Table, picks: list[int]) -> list[int]:
    """No more than FRONT_MOST rows of the front, evenly along it, and the named ones in any case."""
    places = np.unique(np.linspace(0, len(front) - 1, min(FRONT_MOST, len(front))).round().astype(int))
    rows = {front[place] for place in places} | set(picks)
    return sorted(rows, key=lambda row: (table.seconds[row], table.cost[row], row))


def _weighed_exactly(
    grade: Grade,
    saw: SawSheet,
    work: Work,
    tries: Sequence[Try],
    corrections: Corrections,
    condition: Condition,
) -> list[Alternative]:
    """Tries reckoned exactly, each with its interval, strain, risk, life and cost, in their own order.

    Those of one coarsest pitch at one share of the feed are reckoned in one pass.
    """
    groups: dict[tuple[float, float, bool], list[int]] = {}
    for at, one in enumerate(tries):
        groups.setdefault((coarse_of(one), one.feed_share, one.band.pitch is None), []).append(at)
    found: dict[int, Alternative] = {}
    for (coarse, share, _), members in groups.items():
        some = tuple(tries[at] for at in members)
        figures = figures_for(grade, work, saw, some, corrections, condition)
        law = law_for(saw.feed_control, figures, work, coarse, share=share)
        chords = work.nodes(coarse, slice_nodes(work, coarse))
        strain = np.maximum(*strains(figures, chords, law(figures, chords)[0])).max(axis=1)
        usual = passage(figures, work, coarse, law, energy=False).minutes * 60
        ends = []
        for outlook in (Outlook.FAST, Outlook.SLOW):
            other = figures_for(grade, work, saw, some, corrections, condition, outlook)
            its_law = law_for(saw.feed_control, other, work, coarse, share=share)
            ends.append(passage(other, work, coarse, its_law, energy=False, exact=False).minutes * 60)
        chip = work.travel_mm / (usual / 60) * figures.pitch[:, 0] / figures.speed[:, 0]
        for row, at in enumerate(members):
            times = (float(ends[0][row]), float(usual[row]), float(ends[1][row]))
            found[at] = _alternative(
                grade, saw, work, tries[at], corrections, times, float(strain[row]), float(chip[row])
            )
    return [found[at] for at in range(len(tries))]


def _alternative(
    grade: Grade,
    saw: SawSheet,
    work: Work,
    one: Try,
    corrections: Corrections,
    times: tuple[float, float, float],
    strain: float,
    chip_um: float,
) -> Alternative:
    """One try with what it costs and risks; ``times`` are its fast, usual and slow seconds."""
    fast, usual, slow = times
    life = band_life(grade, saw, one.band, one.speed_m_per_min / one.speed.wanted, corrections)
    return Alternative(
        band=one.band,
        lie=work.lie,
        speed_m_per_min=one.speed_m_per_min,
        feed_share=one.feed_share,
        seconds=usual,
        seconds_low=min(fast, usual),
        seconds_high=max(slow, usual),
        strain=strain,
        risk=risk_of(grade, work, one.band, strain, chip_um, one.speed_m_per_min),
        life=life,
        cost=cut_cost(saw, one.band, usual, work.area_mm2 / 100, life) if life else None,
    )
