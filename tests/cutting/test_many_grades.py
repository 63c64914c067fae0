"""Many grades at once make the very choice that one grade alone makes."""

from itertools import product

import numpy as np
import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.condition import AS_USUAL, BandState, Condition
from kerfsmith.cutting.many_grades import set_grades
from kerfsmith.cutting.setting import CannotCut, CutSetting

GRADES = ("4140", "316", "Ti-6Al-4V", "6061", "C11000", "AZ31B", "N07718", "acrylic", "glass", "graphite")


@pytest.mark.parametrize("condition", [AS_USUAL, Condition(coolant=False, band=BandState.BREAK_IN)])
@pytest.mark.parametrize("place", [0.02, 0.21, 0.37, 0.55, 0.72, 0.83, 0.97])
def test_all_grades_at_once_choose_as_each_alone(
    catalog: Catalog, place: float, condition: Condition
) -> None:
    """The same band, lie and speed; times to 1e-6 (places where limits change are closed in on in parts that
    depend on how many there are).
    """
    section = catalog.sections[int(place * len(catalog.sections))]
    grades = [catalog.find_grade(name) for name in GRADES]
    for saw in catalog.saws:
        done, refused = set_grades(
            grades, section, saw, catalog.bands, catalog.corrections, condition=condition
        )
        found = {grade.name: (cut, row) for cut in done for row, (grade, _) in enumerate(cut.cases)}
        assert set(found) | set(refused) == {grade.name for grade in grades}
        for grade in grades:
            alone = set_cut(grade, section, saw, catalog.bands, catalog.corrections, condition=condition)
            if isinstance(alone, CannotCut):
                told = {misfit.dimension for misfit in refused[grade.name]}
                assert told == {misfit.dimension for misfit in alone.misfits[0][1]}
                continue
            cut, row = found[grade.name]
            assert (cut.band.id, cut.work.lie) == (alone.band.id, alone.lie)
            assert cut.cases[row][1].speed_m_per_min == pytest.approx(alone.band_speed_m_per_min, rel=1e-12)
            times = (alone.cut_seconds_low, alone.cut_seconds, alone.cut_seconds_high)
            assert tuple(cut.seconds[:, row]) == pytest.approx(times, rel=1e-6)
            feeds = np.array([each.feed_mm_per_min for each in alone.slices])
            assert cut.feed[row] == pytest.approx(feeds, rel=1e-9)


def test_settings_and_refusals_both_occur_in_that_walk(catalog: Catalog) -> None:
    """The walk above would be empty talk if one of the two never happened."""
    kinds = {
        type(set_cut(catalog.find_grade(name), catalog.sections[at], saw, catalog.bands, catalog.corrections))
        for name, at, saw in product(("4140", "6061"), (500, 1400), catalog.saws)
    }
    assert kinds == {CannotCut, CutSetting}
