"""Cutting force and unit power.

Unit power: Machinery's Handbook, 31st ed. (2020), p. 1147, Table 1b, in hp/(in3/min) and kW/(cm3/s).
Force: material groups after ISO 513 / VDI 3323, kc = kc1.1 h^-mc.
"""

from itertools import pairwise

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.material import Grade, Kienzle

KW_PER_HP = 2.7303


def unit_power_hp(grade: Grade, hb: float) -> float:
    (span,) = [span for span in grade.unit_power if span.hb_low <= hb < span.hb_high]
    return span.figure.value / KW_PER_HP


@pytest.mark.parametrize(
    ("grade", "hb", "hp", "kw"),
    [
        ("1018", 90, 0.63, 1.72),
        ("1045", 190, 0.82, 2.24),
        ("1045", 290, 1.00, 2.73),
        ("1045", 350, 1.14, 3.11),
        ("1117", 110, 0.41, 1.12),
        ("1144", 210, 0.55, 1.50),
        ("4140", 250, 0.80, 2.18),
        ("4340", 330, 0.96, 2.62),
        ("8620", 190, 0.62, 1.69),
        ("8630", 330, 0.89, 2.43),
        ("E52100", 210, 0.87, 2.38),
    ],
)
def test_printed_pairs(catalog: Catalog, grade: str, hb: float, hp: float, kw: float) -> None:
    """Both printed columns: the second follows from the first within its last digit."""
    found = catalog.find_grade(grade)
    assert unit_power_hp(found, hb) == pytest.approx(hp, abs=1e-4)
    assert hp * KW_PER_HP == pytest.approx(kw, abs=0.01)
    (span,) = [span for span in found.unit_power if span.hb_low <= hb < span.hb_high]
    assert span.figure.value == pytest.approx(kw, abs=0.01)
    assert span.figure.unit == "kW/(cm3/s)"


@pytest.mark.parametrize(
    ("grade", "hb", "hp"),
    [("1045", 190, 0.82), ("4140", 250, 0.80), ("8620", 190, 0.62), ("E52100", 210, 0.87)],
)
def test_look_up(catalog: Catalog, grade: str, hb: float, hp: float) -> None:
    assert unit_power_hp(catalog.find_grade(grade), hb) == pytest.approx(hp, abs=1e-4)


def test_spans_touch_with_the_lower_edge_inclusive(catalog: Catalog) -> None:
    spans = catalog.find_grade("1045").unit_power
    assert all(one.hb_high == other.hb_low for one, other in pairwise(spans))
    assert unit_power_hp(catalog.find_grade("1045"), 180) == pytest.approx(0.82, abs=1e-4)
    assert unit_power_hp(catalog.find_grade("1045"), 200) == pytest.approx(0.85, abs=1e-4)


def test_grades_that_the_table_names_are_read_and_others_are_not(catalog: Catalog) -> None:
    for name in ("1045", "1117", "1144", "4130", "4140", "4340", "6150", "8620", "1330", "E52100"):
        assert {span.figure.confidence for span in catalog.find_grade(name).unit_power} == {Confidence.READ}
    for name in ("12L14", "A36", "5160", "41L40", "S355", "60-40-18"):
        assert {span.figure.confidence for span in catalog.find_grade(name).unit_power} == {
            Confidence.MEMORY_LOW
        }


def kc(entry: Kienzle, h_mm: float) -> float:
    return float(entry.kc11.value * h_mm**-entry.mc)


@pytest.mark.parametrize(
    ("grade", "group", "kc_n_per_mm2"),
    [("1018", 1, 3551), ("1045", 2, 4131), ("304", 14, 5401), ("6061", 22, 2530), ("N06625", 33, 9966)],
)
def test_force_at_ten_micrometres(catalog: Catalog, grade: str, group: int, kc_n_per_mm2: float) -> None:
    (entry,) = catalog.find_grade(grade).kienzle
    assert entry.group == group
    assert kc(entry, 0.01) == pytest.approx(kc_n_per_mm2, rel=1e-3)


@pytest.mark.parametrize(
    ("grade", "group", "a", "b"), [("Ti Gr 2", 36, 4903, 3503), ("Ti-6Al-4V", 37, 5811, 3760)]
)
def test_titanium_keeps_both_sources(catalog: Catalog, grade: str, group: int, a: float, b: float) -> None:
    entries = catalog.find_grade(grade).kienzle
    assert {entry.group for entry in entries} == {group}
    by_source = {entry.kc11.source: kc(entry, 0.01) for entry in entries}
    assert by_source["VDI3323a"] == pytest.approx(a, rel=1e-3)
    assert by_source["VDI3323b"] == pytest.approx(b, rel=1e-3)


@pytest.mark.parametrize(
    ("grade", "hp"),
    [("C11000", 0.91), ("6061", 0.33), ("AZ31B", 0.10), ("Ti-6Al-4V", 0.65), ("N04400", 1.00)],
)
def test_unit_power_of_other_metals(catalog: Catalog, grade: str, hp: float) -> None:
    """Machinery's Handbook p. 1146, not read: from memory, and marked so."""
    (span,) = catalog.find_grade(grade).unit_power
    assert span.figure.value == pytest.approx(hp * KW_PER_HP, rel=1e-4)
    assert span.figure.confidence is Confidence.MEMORY_GOOD
