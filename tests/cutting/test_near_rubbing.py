"""Magnesium by the book: a band clear of rubbing where there is one, told plainly where there is none.

T.O. 1-1A-9, para 4-21: sharp tools and a coarse feed, never let the tool rub on the work. How far above the
least chip is clear (twice) is the house's, low confidence.
"""

from dataclasses import replace

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.check import breaches
from kerfsmith.cutting.choose import best_setting, set_cut
from kerfsmith.cutting.models.teeth_in_cut import TeethClass
from kerfsmith.cutting.risk import BURNING_ROOM
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.geometry.shapes import Round, RoundTube, Shape, Square

SHAPES = [Round(20), Round(50), Round(76.2), Round(150), Square(60), Square(200), RoundTube(100, 10)]
TOLD = "may set chips of AZ31B alight"


def _set(catalog: Catalog, shape: Shape, saw: SawSheet, band: str | None = None) -> CutSetting | None:
    grade, section = catalog.find_grade("AZ31B"), Section(str(shape), shape)
    found = set_cut(grade, section, saw, catalog.bands, catalog.corrections, band_id=band)
    if isinstance(found, CannotCut):
        return None
    assert breaches(grade, section, saw, catalog.corrections, found) == ()
    return found


def _clear(catalog: Catalog, setting: CutSetting) -> bool:
    """Travel over time, times pitch, over band speed, against twice the least chip."""
    assert setting.band.pitch is not None
    travel_mm = setting.slices[-1].depth_mm + setting.slices[0].depth_mm
    chip_um = (
        travel_mm / (setting.cut_seconds / 60) * setting.band.pitch.mean_mm / setting.band_speed_m_per_min
    )
    return chip_um >= BURNING_ROOM * catalog.find_grade("AZ31B").chip_um.low * (1 - 1e-4)


@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_a_band_clear_of_rubbing_is_taken_where_one_is_and_told_where_none_is(
    catalog: Catalog, shape: Shape
) -> None:
    for saw in catalog.saws:
        found = _set(catalog, shape, saw)
        if found is None:
            continue
        told = any(TOLD in text for text in found.cautions)
        assert told is not _clear(catalog, found)
        if told:
            others = [_set(catalog, shape, saw, band.id) for band in catalog.bands]
            assert not any(
                other is not None and other.teeth_class is not TeethClass.TOO_FEW and _clear(catalog, other)
                for other in others
            )


def test_three_inches_on_the_saw_for_light_metal_take_the_coarser_band_at_the_same_feed(
    catalog: Catalog,
) -> None:
    saw, shape = catalog.find_saw("light-metal"), Round(76.2)
    found, finer = _set(catalog, shape, saw), _set(catalog, shape, saw, "B27-4H")
    assert found is not None
    assert finer is not None
    assert found.band.pitch is not None
    assert found.band.pitch.mean_tpi < 4
    assert found.cut_seconds == pytest.approx(finer.cut_seconds)
    assert any(TOLD in text for text in finer.cautions)


def test_a_saw_clear_of_rubbing_comes_before_a_cheaper_one_that_is_not(catalog: Catalog) -> None:
    shape = Round(76.2)
    near = catalog.find_saw("yard")
    assert any(TOLD in text for text in _set(catalog, shape, near).cautions)  # type: ignore[union-attr]
    found = best_setting(
        catalog.find_grade("AZ31B"),
        Section("bar", shape),
        [near, replace(catalog.find_saw("light-metal"), rate_per_hour=1000 * near.rate_per_hour)],
        catalog.bands,
        catalog.corrections,
    )
    assert isinstance(found, CutSetting)
    assert found.saw == "light-metal"


def test_steel_is_told_nothing_of_it_and_keeps_its_book(catalog: Catalog) -> None:
    found = set_cut(
        catalog.find_grade("304"),
        Section("bar", Round(76.2)),
        catalog.find_saw("north"),
        catalog.bands,
        catalog.corrections,
    )
    assert isinstance(found, CutSetting)
    assert not any("alight" in text for text in found.cautions)
