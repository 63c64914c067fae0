"""What settings to choose from take, cost and risk: all of them roughly, some of them exactly."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.control import law_for
from kerfsmith.cutting.figures import Floats
from kerfsmith.cutting.life import CutCost, LifeSpan, band_life, cut_cost
from kerfsmith.cutting.models.taylor_1907 import EXPONENT
from kerfsmith.cutting.reckon import coarse_of, slice_nodes
from kerfsmith.cutting.risk import Risk, risk_of, shares
from kerfsmith.cutting.set_up import Outlook, Try, figures_for
from kerfsmith.cutting.survey import Survey, strains
from kerfsmith.cutting.through_cut import passage
from kerfsmith.cutting.work import Work

FEED_SHARES = (1.0, 0.85, 0.7, 0.5)
"""Shares of the allowed feed that are offered: all of it, and three eased ones."""

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


@dataclass(frozen=True)
class Table:
    """All settings by all feed shares: place in the survey, share and the three things weighed."""

    place: np.ndarray[tuple[int], np.dtype[np.intp]]
    share: Floats
    seconds: Floats
    cost: Floats
    risk: Floats


def weighed(grade: Grade, saw: SawSheet, found: Survey, corrections: Corrections) -> Table:
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
    return Table(place, share, seconds, seconds * rate + np.nan_to_num(worn[place]), risk)


def _life_usual(grade: Grade, saw: SawSheet, band: Band, corrections: Corrections) -> float:
    life = band_life(grade, saw, band, 1.0, corrections)
    return life.usual if life else float("nan")


def _taylor_power(band: Band) -> float:
    """Power of the speed to which the area cut in a life goes: 1 - 1/n."""
    exponents = EXPONENT.get(band.edge.value)
    return 1 - 1 / exponents[1] if exponents else 0.0


def weighed_exactly(
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
