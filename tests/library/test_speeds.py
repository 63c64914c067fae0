"""Band speeds: Machinery's Handbook, 31st ed. (2020), Band Saw Blades, p. 1245.

Bimetal band, 4 in (102 mm) in the cut, 3/4 teeth per inch, with coolant. Both columns are the page's own.
"""

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence

FPM = 0.3048

STEEL: list[tuple[tuple[str, ...], int, int]] = [
    (("12L14",), 425, 130),
    (("1213", "1215"), 400, 122),
    (("1117",), 340, 104),
    (("1030",), 330, 101),
    (("1008", "1015", "1020", "1025"), 320, 98),
    (("1035",), 310, 94),
    (("1018", "1021", "1022", "1026", "1513", "A242 type A"), 300, 91),
    (("1137",), 290, 88),
    (("1141", "1144", "1144 high-stress"), 280, 85),
    (("41L40",), 275, 84),
    (("1040", "4130", "A242 type B", "A36"), 270, 82),
    (("1042", "1541", "4140", "4142"), 250, 76),
    (("8615", "8620", "8622"), 240, 73),
    (("W-1",), 225, 69),
    (("1044", "1045", "1330", "4340", "E4340", "5160", "8630"), 220, 67),
    (("1345", "4145", "6150"), 210, 64),
    (("1060", "4150", "8640", "A-6", "O-1", "S-1"), 200, 61),
    (("H-11", "H-12", "H-13", "L-6", "O-6"), 190, 58),
    (("1095",), 185, 56),
    (("A-2",), 180, 55),
    (("E9310",), 175, 53),
    (("300M", "A-10", "E52100", "HY-80", "HY-100"), 160, 49),
    (("S-5",), 140, 43),
    (("S-7",), 125, 38),
    (("M-1",), 110, 34),
    (("HP 9-4-20", "HP 9-4-25"), 105, 32),
    (("M-2", "M-42", "T-1"), 100, 30),
    (("D-2",), 90, 27),
    (("T-15",), 70, 21),
]
TITANIUM: list[tuple[tuple[str, ...], int, int]] = [
    (("Ti Gr 1", "Ti Gr 2", "Ti Gr 3", "Ti Gr 4", "Ti-3Al-8V-6Cr-4Mo-4Zr", "Ti-8Mo-8V-2Fe-3Al"), 80, 24),
    (("Ti-2Al-11Sn-5Zr-1Mo", "Ti-5Al-2.5Sn", "Ti-6Al-2Sn-4Zr-2Mo"), 75, 23),
    (("Ti-6Al-4V",), 70, 21),
    (("Ti-7Al-4Mo", "Ti-8Al-1Mo-1V"), 65, 20),
]


@pytest.mark.parametrize(("names", "fpm", "m_per_min"), STEEL + TITANIUM)
def test_rows_of_the_table(catalog: Catalog, names: tuple[str, ...], fpm: int, m_per_min: int) -> None:
    for name in names:
        speed = catalog.find_grade(name).band_speed
        assert speed.value / FPM == pytest.approx(fpm, abs=1e-9)
        assert speed.value == pytest.approx(m_per_min, abs=0.5)
        assert (speed.source, speed.confidence) == ("MH31", Confidence.READ)
        assert "1245" in speed.where


def test_the_table_has_its_33_rows() -> None:
    assert len(STEEL) + len(TITANIUM) == 33


@pytest.mark.parametrize(
    ("name", "fpm"),
    [
        ("12L14", 425),
        ("1018", 300),
        ("4140", 250),
        ("1045", 220),
        ("H-13", 190),
        ("E52100", 160),
        ("D-2", 90),
        ("T-15", 70),
        ("Ti-6Al-4V", 70),
        ("304", 120),
    ],
)
def test_speed_look_up(catalog: Catalog, name: str, fpm: int) -> None:
    """304: the worked example of the same page."""
    assert catalog.find_grade(name).band_speed.value / FPM == pytest.approx(fpm, abs=1e-9)


def test_rows_paired_from_scrambled_text_say_so(catalog: Catalog) -> None:
    for name in ("1030", "1020", "1035", "1018", "1137"):
        assert "scrambled" in catalog.find_grade(name).band_speed.note


def test_no_other_grade_claims_to_be_read_on_that_page(catalog: Catalog) -> None:
    printed = {name for names, _, _ in STEEL + TITANIUM for name in names} | {"304"}
    likened = {"304L", "4140 QT", "4142 QT", "4340 QT", "Ti-6Al-4V ELI"}
    read = {
        grade.name
        for grade in catalog.grades
        if grade.band_speed.source == "MH31" and grade.band_speed.confidence is Confidence.READ
    }
    assert read == printed | likened
    assert all(
        "published for" in (note := catalog.find_grade(n).band_speed.note) or "taken" in note for n in likened
    )


def test_structural_grades_are_not_slowed_twice(catalog: Catalog) -> None:
    """The A36 row is for shapes already; every grade whose speed leans on it says the same."""
    for grade in catalog.grades:
        if "A36 shapes" in grade.band_speed.note or grade.name == "A36":
            assert grade.structural_row


def test_magnesium_stays_below_its_fire_speed(catalog: Catalog) -> None:
    """T.O. 1-1A-9 para 4-21: below 500 to 700 ft/min (printed for turning)."""
    for grade in catalog.grades:
        if grade.family == "magnesium":
            assert grade.fire_speed is not None
            assert grade.fire_speed.low / FPM == pytest.approx(500)
            assert grade.fire_speed.high / FPM == pytest.approx(700)
            assert grade.band_speed.high <= grade.fire_speed.low
