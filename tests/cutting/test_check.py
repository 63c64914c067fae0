"""The referee finds planted faults, one of each kind, and passes what was chosen."""

from dataclasses import replace

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.check import breaches
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.geometry.shapes import RoundTube

TUBE = Section("tube", RoundTube(114.3, 8.56))


def _setting(catalog: Catalog) -> CutSetting:
    found = set_cut(
        catalog.find_grade("4140"), TUBE, catalog.find_saw("north"), catalog.bands, catalog.corrections
    )
    assert isinstance(found, CutSetting)
    return found


def _told(catalog: Catalog, setting: CutSetting, saw_changes: dict[str, float] | None = None) -> set[str]:
    saw = replace(catalog.find_saw("north"), **(saw_changes or {}))  # type: ignore[arg-type]  # real fields
    return {b.what for b in breaches(catalog.find_grade("4140"), TUBE, saw, catalog.corrections, setting)}


def test_what_was_chosen_stands(catalog: Catalog) -> None:
    assert _told(catalog, _setting(catalog)) == set()


def _faster(setting: CutSetting, by: float) -> CutSetting:
    """The same cut at a multiple of its feed, its other numbers carried along as they truly would be."""
    slices = tuple(
        replace(s, feed_mm_per_min=s.feed_mm_per_min * by, chip_um=s.chip_um * by, power_kw=s.power_kw * by)
        for s in setting.slices
    )
    return replace(
        setting,
        slices=slices,
        cut_seconds=setting.cut_seconds / by,
        cut_seconds_low=setting.cut_seconds_low / by,
    )


def test_a_feed_a_little_too_fast_is_found(catalog: Catalog) -> None:
    told = _told(catalog, _faster(_setting(catalog), 1.02))
    assert told & {"area rate", "greatest chip", "teeth in the cut"}
    assert "time from slices" not in told


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"motor_kw": 0.2}, "motor power"),
        ({"feed_force_max_n": 100.0}, "saw's feed force"),
        ({"band_tension_mpa": 5.0}, "band force"),
        ({"feed_max_mm_per_min": 20.0}, "saw's greatest feed"),
        ({"feed_min_mm_per_min": 200.0}, "saw's least feed"),
        ({"band_width_mm": 27.0}, "band width"),
        ({"band_speed_max_m_per_min": 30.0}, "band speed"),
        ({"head_travel_mm": 100.0}, "head travel"),
        ({"guide_span_max_mm": 100.0}, "guide span"),
    ],
)
def test_a_weaker_saw_is_found_out(catalog: Catalog, changes: dict[str, float], what: str) -> None:
    assert what in _told(catalog, _setting(catalog), changes)


def test_wrong_times_areas_and_missing_cautions_are_found(catalog: Catalog) -> None:
    good = _setting(catalog)
    assert "time from slices" in _told(catalog, replace(good, cut_seconds=good.cut_seconds * 0.9))
    assert "area" in _told(catalog, replace(good, area_cm2=good.area_cm2 * 1.001))
    assert "cut_seconds" in _told(catalog, replace(good, cut_seconds=float("nan")))
    coarse = catalog.find_band("B34-1.4/2")
    assert "one tooth in a wall" in _told(catalog, replace(good, band=coarse))
    if good.least_teeth_in_cut < 3:
        assert "few teeth without a caution" in _told(catalog, replace(good, cautions=()))


def test_a_gullet_too_full_is_found(catalog: Catalog) -> None:
    told = _told(catalog, _faster(_setting(catalog), 6))
    assert "gullet" in told
