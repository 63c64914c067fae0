"""One section on one saw in many grades at once: the choice set_cut makes, a pass of NumPy for each band.

For walking a whole catalog and for lists in which one section comes in many grades; the answer holds no
sentences. That it makes the same choice at the same time is held by tests/cutting/test_many_grades.py.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.candidates import suits
from kerfsmith.cutting.condition import AS_USUAL, Condition
from kerfsmith.cutting.control import law_for
from kerfsmith.cutting.figures import Figures, Floats
from kerfsmith.cutting.fit import Fit, ways_to_fit
from kerfsmith.cutting.limits import Ints
from kerfsmith.cutting.reckon import coarse_of, slice_nodes
from kerfsmith.cutting.risk import ALIGHT, rubbing_in
from kerfsmith.cutting.set_up import Outlook, Try, figures_of, methods_of
from kerfsmith.cutting.setting import Misfit
from kerfsmith.cutting.speed import band_speed
from kerfsmith.cutting.through_cut import passage
from kerfsmith.cutting.try_bands import (
    RUBS_LESS,
    Refusals,
    bands_to_try,
    in_order,
    refuse_feed,
    refuse_speed,
    strips,
)
from kerfsmith.cutting.work import Chords, Work

Case = tuple[Grade, Try]


@dataclass(frozen=True)
class BandCut:
    """One band through one work in several grades, one row each; ``cases`` names them.

    ``seconds`` has the fast, the usual and the slow outlook as its rows; ``feed`` (mm/min) and ``rule`` are
    given at the depths of ``chords``.
    """

    work: Work
    band: Band
    cases: tuple[Case, ...]
    figures: Figures
    chords: Chords
    feed: Floats
    rule: Ints
    seconds: Floats
    slowest: Floats


@dataclass
class _Waiting:
    """A grade without a setting so far: works and bands still to be tried, and what stood in the way."""

    grade: Grade
    works: Iterator[Work]
    work: Work | None = None
    bands: Iterator[Band] = field(default_factory=lambda: iter(()))
    refusals: Refusals = field(default_factory=lambda: Refusals({}))
    spare: BandCut | None = None
    """The cut that rubs least, where rubbing may set chips alight and none so far keeps clear of it."""


@dataclass(frozen=True)
class _Desk:
    """What all grades share, and what is found once for grades that agree in it."""

    section: Section
    saw: SawSheet
    bands: Sequence[Band]
    corrections: Corrections
    condition: Condition
    angle_deg: float
    bundle: int
    _fits: dict[str, tuple[Fit, ...]] = field(default_factory=dict)
    _suited: dict[str, tuple[bool, ...]] = field(default_factory=dict)
    _orders: dict[tuple[bool, ...], list[Work]] = field(default_factory=dict)
    _bands: dict[tuple[tuple[bool, ...], str], tuple[list[Band], Refusals]] = field(default_factory=dict)

    def fits(self, grade: Grade) -> tuple[Fit, ...]:
        """How the section lies on the saw: no bar is weighed, so it goes by the group alone."""
        if grade.group not in self._fits:
            self._fits[grade.group] = ways_to_fit(
                grade,
                self.section,
                self.saw,
                angle_deg=self.angle_deg,
                bundle=self.bundle,
                condition=self.condition,
            )
        return self._fits[grade.group]

    def kind(self, grade: Grade) -> tuple[bool, ...]:
        """What the order of lies and bands goes by: which bands suit the grade, and whether it is soft."""
        if grade.group not in self._suited:
            self._suited[grade.group] = tuple(suits(grade, band) for band in self.bands)
        return (*self._suited[grade.group], grade.soft_gummy)

    def works(self, grade: Grade) -> list[Work]:
        """The works to try, in order, for a grade that the saw takes."""
        key = self.kind(grade)
        if key not in self._orders:
            able = [fit.work for fit in self.fits(grade) if fit.fits]
            self._orders[key] = in_order(
                grade, able, self.saw, self.bands, self.corrections, None, asked=False
            )
        return self._orders[key]

    def bands_for(self, grade: Grade, work: Work) -> tuple[list[Band], Refusals]:
        """The bands to try, in order."""
        key = (self.kind(grade), work.lie)
        if key not in self._bands:
            refusals = Refusals({})
            order = bands_to_try(grade, work, self.saw, self.bands, self.corrections, None, refusals)
            if not order:
                # What stands in the way may be told of the grade's own group.
                return order, refusals
            self._bands[key] = order, refusals
        return self._bands[key]

    def next_case(self, one: _Waiting) -> Try | None:
        """The next band at the speed it runs, as far as the speed isn't refused; None when all are done."""
        while True:
            for band in one.bands:
                assert one.work is not None
                if one.spare is not None and strips(one.work, band):
                    return None
                speed = band_speed(one.grade, one.work, band, self.saw, self.corrections, self.condition)
                if not refuse_speed(one.grade, self.saw, speed, speed.used, False, one.refusals):
                    return Try(band, speed, speed.used)
            if one.spare is not None:
                return None
            one.work = next(one.works, None)
            if one.work is None:
                return None
            bands, refusals = self.bands_for(one.grade, one.work)
            one.bands = iter(bands)
            for dimension, misfit in refusals.found.items():
                one.refusals.found.setdefault(dimension, misfit)


def set_grades(
    grades: Sequence[Grade],
    section: Section,
    saw: SawSheet,
    bands: Sequence[Band],
    corrections: Corrections,
    *,
    angle_deg: float = 0.0,
    bundle: int = 1,
    condition: Condition = AS_USUAL,
) -> tuple[tuple[BandCut, ...], dict[str, tuple[Misfit, ...]]]:
    """The setting of one cut in each grade, and by the grade's name what stands against the others.

    ``condition`` must leave the bar's length open; a measured hardness holds for all grades.
    """
    desk = _Desk(section, saw, bands, corrections, condition, angle_deg, bundle)
    refused: dict[str, tuple[Misfit, ...]] = {}
    waiting: list[_Waiting] = []
    for grade in grades:
        if any(fit.fits for fit in desk.fits(grade)):
            waiting.append(_Waiting(grade, iter(desk.works(grade))))
        else:
            refused[grade.name] = desk.fits(grade)[0].misfits if desk.fits(grade) else ()
    done: list[BandCut] = []
    while waiting:
        groups: dict[tuple[str, str, tuple[int, bool]], list[tuple[_Waiting, Try]]] = {}
        for one in waiting:
            case = desk.next_case(one)
            if case is None and one.spare is not None:
                done.append(one.spare)
                continue
            if case is None:
                refused[one.grade.name] = tuple(one.refusals.found.values())
                continue
            assert one.work is not None
            key = (one.work.lie, case.band.id, methods_of(one.grade))
            groups.setdefault(key, []).append((one, case))
        waiting = []
        for members in groups.values():
            found, again = _cut_group(desk, members)
            done += found
            waiting += again
    return tuple(done), refused


def _cut_group(desk: _Desk, members: list[tuple[_Waiting, Try]]) -> tuple[list[BandCut], list[_Waiting]]:
    """Reckon one band in one work for several grades; those whose feed is refused must try on."""
    work = members[0][0].work
    assert work is not None
    cases = tuple((one.grade, case) for one, case in members)
    found = reckon_cases(cases, work, desk.saw, desk.corrections, desk.condition)
    kept, again = [], []
    for row, (one, _) in enumerate(members):
        if refuse_feed(desk.saw, float(found.slowest[row]), one.refusals):
            again.append(one)
        elif rubbing_in(one.grade, chip_um := _mean_chip_um(found, row)) <= ALIGHT:
            kept.append(row)
        else:
            if one.spare is None or chip_um > _mean_chip_um(one.spare, 0) * RUBS_LESS:
                one.spare = _rows(found, [row])
            again.append(one)
    return ([_rows(found, kept)] if kept else []), again


def _mean_chip_um(found: BandCut, row: int) -> float:
    """Mean chip of one grade over the travel."""
    feed = found.work.travel_mm / (float(found.seconds[1, row]) / 60)
    return feed * float(found.figures.pitch[row, 0] / found.figures.speed[row, 0])


def reckon_cases(
    cases: tuple[Case, ...], work: Work, saw: SawSheet, corrections: Corrections, condition: Condition
) -> BandCut:
    """The cuts of one band in several grades whose power is told by as many methods."""
    coarse = coarse_of(cases[0][1])
    figures = figures_of(cases, work, saw, corrections, condition)
    law = law_for(saw.feed_control, figures, work, coarse)
    usual = passage(figures, work, coarse, law, energy=False).minutes * 60
    chords = work.nodes(coarse, slice_nodes(work, coarse))
    feed, rule = law(figures, chords)
    ends = []
    for outlook in (Outlook.FAST, Outlook.SLOW):
        other = figures_of(cases, work, saw, corrections, condition, outlook)
        its_law = law_for(saw.feed_control, other, work, coarse)
        ends.append(passage(other, work, coarse, its_law, energy=False, exact=False).minutes * 60)
    seconds = np.stack([np.minimum(ends[0], usual), usual, np.maximum(ends[1], usual)])
    return BandCut(work, cases[0][1].band, cases, figures, chords, feed, rule, seconds, feed.min(axis=1))


def _rows(found: BandCut, kept: list[int]) -> BandCut:
    if len(kept) == len(found.cases):
        return found
    rows = np.array(kept, dtype=np.intp)
    return BandCut(
        found.work,
        found.band,
        tuple(found.cases[row] for row in kept),
        found.figures.take(rows),
        found.chords,
        found.feed[rows],
        found.rule[rows],
        found.seconds[:, rows],
        found.slowest[rows],
    )
