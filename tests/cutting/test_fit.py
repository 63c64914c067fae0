"""What goes through a saw: the demo saws' own sheets, each misfit by how much and what would help."""

from dataclasses import replace

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.choose import best_setting, set_cut
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.fit import Fit, bar_mass_kg, ways_to_fit
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.errors import InvalidValue
from kerfsmith.geometry.shapes import Flat, RectTube, Round, Shape, Square


def _fits(catalog: Catalog, shape: Shape, saw: str, **asked: object) -> tuple[Fit, ...]:
    section = Section(str(shape), shape)
    others = asked.pop("others", ())
    grade = catalog.find_grade(str(asked.pop("grade", "1018")))
    return ways_to_fit(grade, section, catalog.find_saw(saw), others=others, **asked)  # type: ignore[arg-type]


def test_a_round_fits_up_to_its_capacity_and_not_a_hair_over(catalog: Catalog) -> None:
    room = catalog.find_saw("north").capacities[0].round_mm
    assert _fits(catalog, Round(room), "north")[0].fits
    misfit = _fits(catalog, Round(room + 1), "north")[0].misfits[0]
    assert (misfit.dimension, misfit.wanted, misfit.limit) == ("diameter", room + 1, room)
    assert "1 mm over" in misfit.text


def test_a_wide_flat_is_turned(catalog: Catalog) -> None:
    saw = replace(catalog.find_saw("yard"), head_travel_mm=600)
    room = saw.capacities[2]
    assert room.angle_deg == 45
    flat = Flat(room.rect_height_mm - 5, 40)
    grade = catalog.find_grade("1018")
    flat_way, edge_way = ways_to_fit(grade, Section("flat", flat), saw, angle_deg=45)
    assert not flat_way.fits
    assert edge_way.fits
    assert "lay it on edge" in flat_way.misfits[0].remedy
    found = set_cut(grade, Section("flat", flat), saw, catalog.bands, catalog.corrections, angle_deg=45)
    assert isinstance(found, CutSetting)
    assert found.lie == "on edge"


def test_another_saw_and_a_lower_angle_are_named(catalog: Catalog) -> None:
    yard = catalog.find_saw("yard")
    large = _fits(catalog, Round(400), "north", others=[yard])[0].misfits[0]
    assert yard.name in large.remedy
    steep = _fits(catalog, Round(450), "yard", angle_deg=60)[0].misfits[0]
    assert "takes it at 45°" in steep.remedy
    beyond = _fits(catalog, Round(50), "yard", angle_deg=70)[0].misfits[0]
    assert beyond.dimension == "head angle"


def test_an_angle_between_rows_is_held_to_the_next_row_up(catalog: Catalog) -> None:
    rows = {row.angle_deg: row for row in catalog.find_saw("yard").capacities}
    between = (rows[45].round_mm + rows[60].round_mm) / 2
    assert _fits(catalog, Round(between), "yard", angle_deg=45)[0].fits
    assert not _fits(catalog, Round(between), "yard", angle_deg=46)[0].fits


def test_a_heavy_or_long_bar_and_a_lost_grip(catalog: Catalog) -> None:
    yard = catalog.find_saw("yard")
    heavy = Condition(bar_length_mm=12_000)
    found = {m.dimension: m for m in _fits(catalog, Round(400), "yard", condition=heavy)[0].misfits}
    # pi/4 0.4^2 m2 x 12 m x 7850 kg/m3.
    assert found["mass of the bars"].wanted == pytest.approx(11_838, rel=1e-3)
    long = Condition(bar_length_mm=yard.max_bar_length_mm + 10)
    assert "bar length" in {m.dimension for m in _fits(catalog, Round(60), "yard", condition=long)[0].misfits}
    short = Condition(bar_length_mm=1000, piece_length_mm=1000 - yard.least_grip_mm + 5)
    assert "piece length" in {
        m.dimension for m in _fits(catalog, Round(60), "yard", condition=short)[0].misfits
    }


def test_mass_of_a_bar_of_common_practice(catalog: Catalog) -> None:
    """17 in round steel at 0.2836 lb/in3: 64.4 lb an inch, 5,000 lb at 77.7 in (common practice)."""
    shape = Round(17 * 25.4)
    saw = replace(catalog.find_saw("yard"), load_limit_kg=5000 * 0.45359237)
    grade = catalog.find_grade("1018")
    fit = ways_to_fit(grade, Section("17 in", shape), saw, condition=Condition(bar_length_mm=77.6 * 25.4))[0]
    assert fit.fits
    assert bar_mass_kg(grade, fit.work, 25.4) / 0.45359237 == pytest.approx(64.4, abs=0.1)
    over = ways_to_fit(grade, Section("17 in", shape), saw, condition=Condition(bar_length_mm=78 * 25.4))[0]
    assert "mass of the bars" in {m.dimension for m in over.misfits}


def test_thin_work_and_bundles(catalog: Catalog) -> None:
    assert "least width" in {m.dimension for m in _fits(catalog, Round(8), "north")[0].misfits}
    ways = _fits(catalog, Round(40), "north", bundle=7)
    assert {fit.work.lie for fit in ways} >= {"7 in one row", "7 in hexagonal rows"}
    assert any(fit.fits for fit in ways)
    assert all(fit.work.area_mm2 == pytest.approx(7 * Round(40).outline().area_mm2) for fit in ways)
    mitred = _fits(catalog, Square(40), "yard", bundle=4, angle_deg=45)
    assert {m.dimension for m in mitred[0].misfits} == {"bundle"}
    too_many = _fits(catalog, Square(60), "north", bundle=30)
    assert not any(fit.fits for fit in too_many)


def test_a_saw_set_up_for_light_metal_refuses_steel(catalog: Catalog) -> None:
    found = set_cut(
        catalog.find_grade("4140"),
        Section("bar", Round(50)),
        catalog.find_saw("light-metal"),
        catalog.bands,
        catalog.corrections,
    )
    assert isinstance(found, CannotCut)
    assert "isn't set up for alloy steel" in found.text


def test_best_setting_takes_a_saw_that_can_and_tells_each_saw_that_cannot(catalog: Catalog) -> None:
    grade = catalog.find_grade("S355J2")
    tube = Section("tube", RectTube(400, 200, 12, 24, 12))
    found = best_setting(grade, tube, catalog.saws, catalog.bands, catalog.corrections)
    assert isinstance(found, CutSetting)
    assert found.saw == "yard"
    none = best_setting(grade, Section("huge", Round(900)), catalog.saws, catalog.bands, catalog.corrections)
    assert isinstance(none, CannotCut)
    assert {name for name, _ in none.misfits} == {saw.id for saw in catalog.saws}


def test_a_wall_thinner_than_a_tooth_is_refused_with_the_pitch_it_wants(catalog: Catalog) -> None:
    found = set_cut(
        catalog.find_grade("1018"),
        Section("thin", RectTube(80, 80, 1.5)),
        catalog.find_saw("north"),
        catalog.bands,
        catalog.corrections,
    )
    assert isinstance(found, CannotCut)
    assert found.misfits[0][1][0].dimension == "pitch"
    assert found.misfits[0][1][0].wanted == pytest.approx(3 * 25.4 / 1.5, rel=1e-6)


def test_a_condition_that_cannot_be_is_refused() -> None:
    with pytest.raises(InvalidValue):
        Condition(hb=0)


def test_angles_are_told_in_degrees_by_their_sign(catalog: Catalog) -> None:
    """ISO 80000-3: the symbol of the degree is the raised ring, without a space."""
    steep = max(row.angle_deg for row in catalog.find_saw("north").capacities) + 10
    found = set_cut(
        catalog.find_grade("A36"),
        Section("bar", Round(50)),
        catalog.find_saw("north"),
        catalog.bands,
        catalog.corrections,
        angle_deg=steep,
    )
    assert isinstance(found, CannotCut)
    assert f"head angle is {steep:g}°, 10° over the saw's {steep - 10:g}°" in found.text
