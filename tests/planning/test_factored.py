"""Factors in plans: only accepted ones, times multiplied, and the plan says which it used."""

import itertools

import pytest
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Round
from kerfsmith.planning.document import group_document
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.shop.factors import Factor, Factors, Measure, Scope
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules

ROUND = Section("round 80 mm", Round(80.0))
LINES = [OrderLine("a", "a", "1045", ROUND, 500_000, 6)]
RACK = Rack((Bar("b", "1045", ROUND, 6_000_000, 2),))


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


def plan(catalog: Catalog, *accepted: Factor) -> PlanGroup:
    effort = Effort(seconds=1e6, seed=1, now=itertools.count().__next__, should_stop=lambda: False)
    run = in_turn(catalog, ShopRules(factors=Factors(accepted)), effort)
    return make_plan(tasks_of(LINES, RACK), run, plan_id="p", name="p", seed=1).groups[0]


def factor(measure: Measure, value: float, scope: Scope) -> Factor:
    return Factor(measure, scope, value, value - 0.05, value + 0.05, 40)


def test_times_and_life_are_multiplied_and_the_plan_says_so(catalog: Catalog) -> None:
    """Source: the same plan without factors, multiplied by hand."""
    plain = plan(catalog)
    assert plain.factors == ()
    used = (
        factor(Measure.CUT_TIME, 1.25, Scope("1045")),
        factor(Measure.BAND_LIFE, 0.8, Scope("1045")),
        factor(Measure.INDEX_TIME, 1.5, Scope()),
    )
    found = plan(catalog, *used)
    assert found.saw == plain.saw
    assert set(found.factors) == set(used)
    assert found.times.sawing_s == pytest.approx(1.25 * plain.times.sawing_s)
    assert found.times.indexing_s == pytest.approx(1.5 * plain.times.indexing_s)
    assert found.times.loading_s == plain.times.loading_s
    setting, before = found.settings[0], plain.settings[0]
    assert setting.published_seconds == pytest.approx(before.cut_seconds)
    assert setting.life_area_cm2 is not None
    assert before.life_area_cm2 is not None
    assert setting.life_area_cm2[1] == pytest.approx(0.8 * before.life_area_cm2[1])
    assert setting.published_life_cm2 == pytest.approx(before.life_area_cm2[1])
    assert setting.cut_seconds_low < setting.cut_seconds < setting.cut_seconds_high
    assert any("cut time 1.25 × the published figure (1.20 to 1.30)" in note for note in found.notes)
    assert any(reason.about == "cut time" and "learned from 40" in reason.text for reason in setting.reasons)
    assert {one["measure"] for one in group_document(found)["factors"]} == {
        "cut time",
        "band life",
        "index time",
    }


def test_a_factor_of_other_work_changes_nothing(catalog: Catalog) -> None:
    plain = plan(catalog)
    assert plan(catalog, factor(Measure.CUT_TIME, 2.0, Scope("304"))) == plain
    assert plan(catalog, factor(Measure.CUT_TIME, 2.0, Scope(section_kind="tube"))) == plain


def test_the_saw_is_chosen_by_learned_times(catalog: Catalog) -> None:
    plain = plan(catalog)
    slow = plan(catalog, factor(Measure.CUT_TIME, 3.9, Scope(saw=plain.saw)))
    assert slow.saw != plain.saw
