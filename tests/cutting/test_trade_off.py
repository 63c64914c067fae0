"""Quickest, cheapest, safest: nothing beats them, and each is what the way in says it is."""

from itertools import product

import pytest
from tests.cutting.rig import work

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.check import breaches
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.risk import BURNING_ROOM, risk_of
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.cutting.trade_off import TradeOff, alternatives
from kerfsmith.geometry.shapes import Round, RoundTube, Shape, Square

CASES: list[tuple[str, Shape, str]] = [
    ("4140", Round(101.6), "north"),
    ("N07718", Round(150), "yard"),
    ("6061", Round(120), "light-metal"),
    ("304", RoundTube(114.3, 13.49), "north"),
]


def _offer(catalog: Catalog, grade: str, shape: Shape, saw: str) -> TradeOff:
    found = alternatives(
        catalog.find_grade(grade),
        Section(str(shape), shape),
        catalog.find_saw(saw),
        catalog.bands,
        catalog.corrections,
        speeds=13,
    )
    assert isinstance(found, TradeOff)
    return found


@pytest.mark.parametrize(("grade", "shape", "saw"), CASES)
def test_no_alternative_on_the_front_beats_another(
    catalog: Catalog, grade: str, shape: Shape, saw: str
) -> None:
    front = _offer(catalog, grade, shape, saw).front
    weighed = [(a.seconds, a.cost.total if a.cost else a.seconds, a.risk.share) for a in front]
    for first, second in product(weighed, weighed):
        if first != second:
            assert any(a < b * (1 + 1e-9) for a, b in zip(first, second, strict=True))


@pytest.mark.parametrize(("grade", "shape", "saw"), CASES)
def test_the_named_ones_are_least_in_what_they_are_named_for(
    catalog: Catalog, grade: str, shape: Shape, saw: str
) -> None:
    offer = _offer(catalog, grade, shape, saw)
    assert offer.named("quickest").seconds == min(a.seconds for a in offer.front)
    costs = [a.cost.total for a in offer.front if a.cost]
    cheapest = offer.named("cheapest").cost
    assert cheapest is not None
    assert cheapest.total == pytest.approx(min(costs))
    assert cheapest.low <= cheapest.total <= cheapest.high
    assert offer.named("safest").risk.share == pytest.approx(min(a.risk.share for a in offer.front), abs=1e-6)


@pytest.mark.parametrize(("grade", "shape", "saw"), CASES)
def test_the_way_in_gives_the_same_time_and_the_referee_passes_it(
    catalog: Catalog, grade: str, shape: Shape, saw: str
) -> None:
    metal, sheet, section = catalog.find_grade(grade), catalog.find_saw(saw), Section(str(shape), shape)
    for each in _offer(catalog, grade, shape, saw).front:
        found = set_cut(
            metal,
            section,
            sheet,
            catalog.bands,
            catalog.corrections,
            band_id=each.band.id,
            speed_m_per_min=each.speed_m_per_min,
            feed_share=each.feed_share,
            lie=each.lie,
        )
        assert isinstance(found, CutSetting), found
        assert found.cut_seconds == pytest.approx(each.seconds, rel=0.02)
        assert breaches(metal, section, sheet, catalog.corrections, found) == ()


def test_a_faster_band_wears_sooner(catalog: Catalog) -> None:
    """A life in area goes as v^(1 - 1/n): at n = 0.125, +10 % speed leaves 0.51 of the area."""
    from kerfsmith.cutting.life import band_life

    saw, grade = catalog.find_saw("north"), catalog.find_grade("1045")
    band = catalog.find_band("B34-3/4")
    usual = band_life(grade, saw, band, 1.0, catalog.corrections)
    fast = band_life(grade, saw, band, 1.1, catalog.corrections)
    assert usual is not None
    assert fast is not None
    assert fast.usual / usual.usual == pytest.approx(1.1 ** (1 - 8), rel=1e-9)
    assert usual.low < usual.usual < usual.high


def test_work_that_does_not_fit_is_told(catalog: Catalog) -> None:
    found = alternatives(
        catalog.find_grade("1018"),
        Section("bar", Square(700)),
        catalog.find_saw("north"),
        catalog.bands,
        catalog.corrections,
    )
    assert isinstance(found, CannotCut)


def test_the_safest_magnesium_makes_a_chip_and_stays_off_the_speed_that_burns(catalog: Catalog) -> None:
    """T.O. 1-1A-9, para 4-21: coarse feed, never let the tool rub; trouble from 500 to 700 surface ft/min."""
    grade = catalog.find_grade("AZ31B")
    safest = _offer(catalog, "AZ31B", Round(80), "light-metal").named("safest")
    strain, rubbing, teeth, fire = safest.risk.shares
    assert safest.risk.share == max(safest.risk.shares)
    assert rubbing <= 1
    chip = BURNING_ROOM * grade.chip_um.low / rubbing
    assert chip > 1.5 * grade.chip_um.low
    assert fire == pytest.approx(safest.speed_m_per_min / (700 * 0.3048), rel=1e-3)
    assert 0 < strain < 1
    assert 0 < teeth < 0.5


def test_risk_is_the_largest_of_its_shares_by_hand(catalog: Catalog) -> None:
    """304 hardens under a rubbing band: 1.5 least chips over the mean, one tooth over those there."""
    grade, band = catalog.find_grade("304"), catalog.find_band("B34-3/4")
    of = work(Square(25.4))
    found = risk_of(grade, of, band, 0.4, 3 * grade.chip_um.low, 40.0)
    assert found.shares == pytest.approx((0.4, 1.5 / 3, 1 / 3, 0.0))
    assert found.by == "rubbing"
    assert found.share == pytest.approx(0.5)
