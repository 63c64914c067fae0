"""Eight invented weeks of the demo shop's saws, so that learning and charts have something to show.

Drawn with a seed, from the work of its plan: the same work, with ratios, errors and lives of our own
invention. One saw's lengths move after a band change, another's faces lean more as its band gets older.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from random import Random

from kerfsmith.cutting.setting import CutSetting
from kerfsmith.learning.log import BandStay, SawnCut
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.shop.band_in_use import RemovalReason
from kerfsmith.units.told import quantity

WEEKS = 8
CUTS_A_SAW = 130
"""Cuts of which times and measures were written down, about one in twelve of all."""
EVERY = 12
PEOPLE = ("early shift", "late shift")
FIRST_HOUR, LATE_HOUR = 6, 14
"""When the demo's shifts begin, UTC."""
_ENDS = (RemovalReason.WORN,) * 6 + (
    RemovalReason.CUTS_CROOKED,
    RemovalReason.TEETH_STRIPPED,
    RemovalReason.BROKEN,
)


@dataclass(frozen=True, slots=True)
class History:
    """Cuts and bands of the weeks before."""

    cuts: tuple[SawnCut, ...]
    stays: tuple[BandStay, ...]


def demo_history(groups: Sequence[PlanGroup], until: datetime, seed: int) -> History:
    """The history of the saws that ``groups`` are cut on, until ``until``."""
    chance = Random(seed)
    by_saw: dict[str, list[PlanGroup]] = {}
    for group in groups:
        if group.settings:
            by_saw.setdefault(group.saw, []).append(group)
    cuts: list[SawnCut] = []
    for number, saw in enumerate(sorted(by_saw)):
        cuts += _of_saw(chance, number, by_saw[saw], until)
    cuts.sort(key=lambda cut: cut.at)
    stays = [_stay(chance, group, place) for place, group in enumerate(_worn(groups))]
    return History(tuple(cuts), tuple(stays))


def monday_before(now: datetime) -> datetime:
    """The first hour worked in the week before, when the demo's records begin."""
    monday = now.date() - timedelta(days=now.weekday() + 7)
    return datetime.combine(monday, time(FIRST_HOUR), UTC)


def saw_ratio(number: int) -> float:
    """What the ``number``-th saw's cuts take of the published times."""
    return math.exp((0.10, -0.04, 0.16, 0.02)[number % 4])


def _of_saw(chance: Random, number: int, groups: Sequence[PlanGroup], until: datetime) -> list[SawnCut]:
    grade_ratio = {group.grade: math.exp(chance.gauss(0.04, 0.10)) for group in groups}
    band, age_cm2, since = 1, 0.0, 0
    group = groups[0]
    cuts = []
    bar = 0
    for place in range(CUTS_A_SAW):
        if place % 11 == 0:
            group = chance.choice(groups)
        if place % 4 == 0:
            bar += 1
        setting = group.settings[0]
        if place == (78 if number == 0 else 60):
            band, age_cm2, since = band + 1, 0.0, 0
        at = until - timedelta(minutes=(CUTS_A_SAW - place) * WEEKS * 7 * 24 * 60 / CUTS_A_SAW)
        ratio = saw_ratio(number) * grade_ratio[group.grade] * math.exp(chance.gauss(0.0, 0.07))
        took = timedelta(seconds=setting.cut_seconds * ratio)
        moved_mm = 0.28 if number == 0 and place >= 78 else 0.0
        cuts.append(
            SawnCut(
                id=f"H-{group.saw}-{place:03d}",
                at=at + took,
                by=PEOPLE[place // 6 % 2],
                saw=group.saw,
                saw_name=group.saw_name,
                grade=group.grade,
                section_kind=group.section.shape.kind,
                section_name=group.section.name,
                height_mm=_height_mm(setting),
                area_cm2=setting.area_cm2,
                bar=f"H-{number + 1}{bar:03d}",
                bar_id=f"H-{number + 1}{bar:03d}",
                mounting=f"H-{group.saw}-m{band}",
                band=f"H-{number + 1}-{band}",
                band_kind=setting.band.id,
                band_age_cm2=age_cm2,
                setting=_dialled(setting),
                predicted_s=setting.cut_seconds,
                began_at=at,
                ended_at=at + took,
                length_mm=400.0,
                over_mm=round(chance.gauss(0.05 + moved_mm, 0.16), 2),
                plus_mm=0.8,
                minus_mm=0.8,
                off_square_mm=_lean_mm(chance, number, since, _height_mm(setting)),
                motor_load=min(1.2, max(0.15, chance.gauss(0.62, 0.05))),
            )
        )
        age_cm2 += EVERY * setting.area_cm2
        since += 1
    return cuts


def _height_mm(setting: CutSetting) -> float:
    return setting.slices[-1].depth_mm if setting.slices else 100.0


def _dialled(setting: CutSetting) -> str:
    speed = quantity(setting.band_speed_m_per_min, "m/min")
    return f"{speed}, {quantity(setting.mean_feed_mm_per_min, 'mm/min')}"


def _lean_mm(chance: Random, number: int, since: int, height_mm: float) -> float:
    """How far a face leans: one to two thousandths of its height, on the second saw more as its band gets
    old.

    ``since`` counts the cuts written down since the band went on.
    """
    worn = 1 + since * (0.035 if number == 1 else 0.001)
    return round(abs(chance.gauss(0.0, 1.4 * worn)) * height_mm / 1000, 3)


def _worn(groups: Sequence[PlanGroup]) -> list[PlanGroup]:
    """Three bands of each group whose band has a published life."""
    return [group for group in groups if group.settings and group.settings[0].life_area_cm2 for _ in range(3)]


def _stay(chance: Random, group: PlanGroup, place: int) -> BandStay:
    setting = group.settings[0]
    assert setting.life_area_cm2 is not None, "asked before"
    published = setting.life_area_cm2[1]
    ended = chance.choice(_ENDS) if chance.random() < 0.8 else None
    wear = 0.8 * chance.weibullvariate(1.0, 2.4)
    cut_cm2 = published * wear * (1.0 if ended in _ENDS[:7] else chance.uniform(0.2, 0.8))
    return BandStay(
        f"H-old-{place + 1}",
        setting.band.id,
        ((group.grade, cut_cm2),),
        cut_cm2,
        published,
        ended,
    )
