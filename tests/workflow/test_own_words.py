"""Sections a shop draws and grades it calls by its own words: kept, read everywhere, and when they may go.

The area of a ring is checked against its closed form.
"""

import math
from dataclasses import replace

import pytest
from tests.tables import package_tables
from tests.workflow.shop_floor import AT, LEAD, LINES, PLANNER, later

from kerfsmith.catalog.catalog import OWN_NAME
from kerfsmith.catalog.reading import read_section
from kerfsmith.catalog.section import Section
from kerfsmith.errors import UnknownName
from kerfsmith.geometry.affine import Point
from kerfsmith.geometry.drawing import drawn_outline
from kerfsmith.geometry.outline import Loop
from kerfsmith.geometry.pieces import Arc, Line
from kerfsmith.geometry.shapes import Drawn
from kerfsmith.records.store import Store
from kerfsmith.shop.order import Order
from kerfsmith.shop.own_words import OwnGradeName, OwnSection
from kerfsmith.units.length import Unit
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.workflow.keep_section import RenameSection, drop_section, keep_section, rename_section
from kerfsmith.workflow.name_grade import NameGrade, drop_grade_name, name_grade
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.take_order import drop_order, take_order

TABLES = package_tables()


def circle(radius_mm: float) -> Loop:
    middle: Point = (0.0, 0.0)
    return Loop((Arc.by_angles(middle, radius_mm, 0, 180), Arc.by_angles(middle, radius_mm, 180, 360)))


def square(x: float, size: float) -> Loop:
    corners = [(x, 0.0), (x + size, 0.0), (x + size, size), (x, size)]
    return Loop(tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)))


def drawn(name: str, *loops: Loop) -> Section:
    return Section(name, Drawn(drawn_outline(loops), name), f"drawing {name}.dxf")


RING = drawn("Sleeve 9", circle(40), circle(30))


def keep(store: Store, section: Section = RING) -> OwnSection | Refusal:
    return keep_section(store, section, "a.dxf", TABLES, by=PLANNER, at=AT)


def code(answer: object) -> str:
    assert isinstance(answer, Refusal), answer
    return answer.code


def test_a_kept_section_comes_back_and_is_read_by_its_name(store: Store) -> None:
    tables = ShopTables(store, TABLES)
    with pytest.raises(Exception, match="SLEEVE-9"):
        read_section("SLEEVE-9", tables.now(), bare=Unit.MM)
    kept = keep(store)
    assert isinstance(kept, OwnSection)
    with store.look() as look:
        assert look.own.sections() == (kept,)
    found = read_section("SLEEVE-9", tables.now(), bare=Unit.MM)
    assert (found.name, found.key) == ("Sleeve 9", RING.key)
    assert found.shape.outline().area_mm2 == pytest.approx(math.pi * (40**2 - 30**2), rel=1e-12)
    assert found.shape.wall_mm == pytest.approx(10.0)
    assert read_section("W12X26", tables.now(), bare=None).key == TABLES.find_section("W12X26").key


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("W12X26", "name-taken"),
        ("round 50 mm", "name-taken"),
        ("flat", "name-taken"),
        ("sleeve-9", "name-taken"),
        (" ", "no-name"),
        ("x" * 61, "no-name"),
        ("two\nlines", "no-name"),
    ],
)
def test_a_name_that_says_something_already_is_refused(store: Store, name: str, why: str) -> None:
    keep(store)
    other = drawn("x", circle(20))
    assert code(keep(store, replace(other, name=name))) == why


def test_an_outline_is_on_record_once_and_is_one(store: Store) -> None:
    keep(store)
    assert code(keep(store, replace(RING, name="Sleeve 10"))) == "section-known"
    assert code(keep(store, drawn("Two", square(0, 20), square(50, 20)))) == "outlines-apart"


def test_a_section_in_use_stays_as_it_is_called(store: Store) -> None:
    keep(store)
    line = replace(LINES[0], id="s1", section=RING)
    take_order(store, Order("o9", "Sleeves", (line,)), by=PLANNER, at=AT, source="x")
    told = RenameSection("Sleeve 9", "Sleeve 10")
    assert code(rename_section(store, told, TABLES, by=PLANNER, at=AT)) == "section-in-use"
    assert code(drop_section(store, "Sleeve 9", by=PLANNER, at=AT)) == "section-in-use"
    drop_order(store, "o9", by=PLANNER, at=AT)
    named = rename_section(store, told, TABLES, by=PLANNER, at=later(1))
    assert isinstance(named, OwnSection)
    tables = ShopTables(store, TABLES)
    assert tables.now().find_section("Sleeve 10").key == RING.key
    assert tables.now().section_called("Sleeve 9") is None
    assert isinstance(drop_section(store, "sleeve 10", by=LEAD, at=later(2)), OwnSection)
    assert tables.now().section_called("Sleeve 10") is None
    assert code(drop_section(store, "Sleeve 10", by=LEAD, at=later(3))) == "unknown-section"


def test_a_word_for_a_grade_holds_until_it_is_taken_away(store: Store) -> None:
    tables = ShopTables(store, TABLES)
    with pytest.raises(UnknownName):
        tables.now().find_grade("Mild 5")
    kept = name_grade(store, NameGrade(" Mild  5", "1.0038"), TABLES, by=PLANNER, at=AT)
    assert isinstance(kept, OwnGradeName)
    assert (kept.word, kept.grade) == ("Mild 5", TABLES.find_grade("S235JR").name)
    match = tables.now().match_grade("MILD-5")
    assert (match.grade.name, match.system, match.nearest) == (kept.grade, OWN_NAME, False)
    name_grade(store, NameGrade("mild 5", "S355J2"), TABLES, by=PLANNER, at=later(1))
    assert tables.now().find_grade("Mild 5") == TABLES.find_grade("S355J2")
    drop_grade_name(store, "Mild 5", by=PLANNER, at=later(2))
    with pytest.raises(UnknownName):
        tables.now().find_grade("Mild 5")


@pytest.mark.parametrize(
    ("word", "grade", "why"),
    [("4140", "S235JR", "name-taken"), ("Mild 5", "no such", "unknown-grade"), ("  ", "4140", "no-name")],
)
def test_a_word_that_would_mislead_is_refused(store: Store, word: str, grade: str, why: str) -> None:
    assert code(name_grade(store, NameGrade(word, grade), TABLES, by=PLANNER, at=AT)) == why
