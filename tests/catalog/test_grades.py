"""Grades under the names people write. Designations: SAE J1086 (UNS) and EN 10027-2, both from memory."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.errors import UnknownName

CATALOG = package_tables()

EXACT = [
    ("4140", "4140"),
    ("aisi 4140", "4140"),
    ("AISI/SAE 4140", "4140"),
    ("SAE-4140", "4140"),
    ("G41400", "4140"),
    ("UNS G41400", "4140"),
    ("4140 HT", "4140 QT"),
    ("4140 Q&T", "4140 QT"),
    ("1018", "1018"),
    ("52100", "E52100"),
    ("12L14", "12L14"),
    ("H13", "H-13"),
    ("h-13", "H-13"),
    ("D2", "D-2"),
    ("T20813", "H-13"),
    ("S355J2+N", "S355J2"),
    ("S355", "S355"),
    ("S355JR", "S355JR"),
    ("1.0577", "S355J2"),
    ("S235JR", "S235JR"),
    ("A36", "A36"),
    ("ASTM A36", "A36"),
    ("A 36", "A36"),
    ("A572-50", "A572 Gr 50"),
    ("A572 Grade 50", "A572 Gr 50"),
    ("A992", "A992"),
    ("A500 Gr. B", "A500 Gr B"),
    ("6061-T6511", "6061"),
    ("6061-T4", "6061-T4"),
    ("7075-T7351", "7075-T73"),
    ("A53 Gr B", "A53"),
    ("304L", "304L"),
    ("304/304L", "304L"),
    ("SS304", "304"),
    ("304 SS", "304"),
    ("17-4PH", "17-4 PH"),
    ("S31803", "2205"),
    ("Ti-6Al-4V", "Ti-6Al-4V"),
    ("Ti6Al4V", "Ti-6Al-4V"),
    ("Gr 5", "Ti-6Al-4V"),
    ("Grade 5", "Ti-6Al-4V"),
    ("Ti Gr.2", "Ti Gr 2"),
    ("6061-T6", "6061"),
    ("6061 T6", "6061"),
    ("EN AW-6082", "6082"),
    ("EN AW-6082-T6", "6082"),
    ("AW 6082 T6", "6082"),
    ("C36000", "C36000"),
    ("360 brass", "C36000"),
    ("N07718", "N07718"),
    ("alloy 718", "N07718"),
    ("AMS 5662", "N07718"),
    ("AMS4928", "Ti-6Al-4V"),
    ("4140 heat treated", "4140 QT"),
    ("AZ31B", "AZ31B"),
    ("HDPE", "polyethylene"),
    ("G-10", "glass-epoxy laminate"),
]


@pytest.mark.parametrize(("text", "name"), EXACT)
def test_exact_names(catalog: Catalog, text: str, name: str) -> None:
    match = catalog.match_grade(text)
    assert (match.grade.name, match.nearest, match.ignored) == (name, False, "")
    assert catalog.find_grade(text) is match.grade


NEAREST = [
    # Old names of DIN 17200 and DIN 1725-1, withdrawn for EN 10083 and EN 573-3 (memory).
    ("Ck45", "1045"),
    ("CK 45", "1045"),
    ("Ck15", "1015"),
    ("Ck60", "1060"),
    ("AlMgSi1", "6082"),
    ("Al Mg Si 1", "6082"),
    ("42CrMo4", "4140"),
    ("1.7225", "4140"),
    ("C45", "1045"),
    ("1.1191", "1045"),
    ("1.4301", "304"),
    ("EN 1.4404", "316L"),
    ("X5CrNi18-10", "304"),
    ("1.2379", "D-2"),
    ("1.2344", "H-13"),
    ("St52-3", "S355J2"),
    ("RST37-2", "S235JR"),
    ("3.7165", "Ti-6Al-4V"),
    ("3.3211", "6061"),
    ("2.4668", "N07718"),
    ("100Cr6", "E52100"),
    ("GG25", "A48 class 35"),
]


@pytest.mark.parametrize(("text", "name"), NEAREST)
def test_nearest_names_say_that_they_are(catalog: Catalog, text: str, name: str) -> None:
    match = catalog.match_grade(text)
    assert match.grade.name == name
    assert match.nearest


@pytest.mark.parametrize(
    ("text", "name", "ignored"),
    [
        ("1018 CRS", "1018", "CRS"),
        ("1018 cold drawn", "1018", "cold drawn"),
        ("304 stainless steel", "304", "stainless steel"),
        ("SS 316L", "316L", ""),
        ("stainless 316L bar", "316L", "bar, stainless"),
        ("aluminum 6061-T6", "6061", "aluminum"),
        ("brass C360", "C36000", "brass"),
        ("1018CF", "1018", "CF"),
        ("A36 HRS", "A36", "HRS"),
        ("ASTM A276 304L", "304L", "ASTM A276"),
        ("A108 1018 CD", "1018", "A108, CD"),
        ("EN 10025-2 S355J2+N", "S355J2", "EN 10025-2"),
        ("S355J2+N EN 10025-2", "S355J2", "EN 10025-2"),
        ("B221 6061-T6511", "6061", "B221"),
        ("304L (1.4307)", "304L", ""),
        ("1.4301 / 304", "304", ""),
        ("S355J2+N (1.0577)", "S355J2", ""),
        ("S460N+C", "S460N", "+C"),
        ("4140 annealed", "4140", "annealed"),
    ],
)
def test_a_delivery_condition_is_left_out_and_named(
    catalog: Catalog, text: str, name: str, ignored: str
) -> None:
    match = catalog.match_grade(text)
    assert (match.grade.name, match.ignored) == (name, ignored)


def test_an_unknown_name_offers_near_ones(catalog: Catalog) -> None:
    with pytest.raises(UnknownName) as fault:
        catalog.find_grade("4143")
    assert "4140" in fault.value.near
    with pytest.raises(UnknownName) as fault:
        catalog.find_grade("6016-T6")
    assert "6061" in fault.value.near


@pytest.mark.parametrize(
    ("text", "near"),
    [
        # The same numbers, or the numbers of a neighbour in the standards' own lists (EN 10027-2, memory).
        ("S355MC", "S355M"), ("42CrMo4V", "4140"), ("C45U", "1045"),
        ("17CrNiMo6", "18CrNiMo7-6"), ("X155CrVMo12-1", "D-2"), ("1.2312", "P-20"), ("1.0037", "S235JR"),
        ("GJL250", "A48 class 35"), ("X65", "API 5L X65"),
        ("superalloy 718", "N07718"), ("polyethylen", "polyethylene"),
    ],
)  # fmt: skip
def test_what_is_near_is_offered(catalog: Catalog, text: str, near: str) -> None:
    assert near in catalog.near_grades(text)


@pytest.mark.parametrize(
    "text",
    [
        "QSTE 380", "QStE500", "St 60-x", "S700MC", "DD11", "DC01", "16Mo3", "L80", "V2A", "V4A", "HSS-E",
        "RG7", "8740", "1.2842", "AlMg9", "plate 400", "wear 450", "Baustahl", "E335", "xyz", "-", "",
    ],
)  # fmt: skip
def test_what_only_looks_alike_is_not_offered(catalog: Catalog, text: str) -> None:
    assert catalog.near_grades(text) == ()


@pytest.mark.parametrize(
    "text", ["MS", "mild steel", "stainless", "SS", "Al", "brass", "tool steel", "NA", "Ti"]
)
def test_a_word_that_leaves_the_grade_open_is_refused_with_an_offer(catalog: Catalog, text: str) -> None:
    with pytest.raises(UnknownName) as fault:
        catalog.find_grade(text)
    assert all(catalog.find_grade(name) for name in fault.value.near)
    assert fault.value.near


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "304N",
        "4140 titanium",
        "XYZ",
        "1.9999",
        "10038",
        "304 aluminium",
        "brass 304",
        "304/316",
        "/",
        "A276",
    ],
)
def test_what_is_not_a_grade_is_refused(catalog: Catalog, text: str) -> None:
    with pytest.raises(UnknownName):
        catalog.find_grade(text)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("S355JR", "S355J2"),
        ("S355J2", "S355K2"),
        ("6061-T6", "6061-T4"),
        ("6061-T6", "6061-O"),
        ("A500 Gr B", "A500 Gr C"),
        ("API 5L X42", "API 5L X52"),
        ("300W", "350W"),
        ("304", "304L"),
        ("A105", "A350 LF2"),
        ("4140", "4140 QT"),
    ],
)
def test_what_may_not_stand_in_for_one_another_stays_apart(catalog: Catalog, one: str, other: str) -> None:
    """Bars are matched by grade: a lower toughness class or another temper must not fill an order."""
    assert catalog.find_grade(one).name != catalog.find_grade(other).name


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=60))
def test_any_text_is_found_or_refused(text: str) -> None:
    try:
        match = CATALOG.match_grade(text)
    except UnknownName as refusal:
        assert refusal.name == text  # noqa: PT017 - both outcomes are right
    else:
        assert match.designation


def test_every_name_of_every_grade_finds_it(catalog: Catalog) -> None:
    for grade in catalog.grades:
        exact = [grade.name, *grade.aliases]
        exact += [each for _, each in grade.designations if not each.startswith("~")]
        for name in exact:
            match = catalog.match_grade(name)
            assert match.grade is grade
            assert not match.nearest
        for name in (each[1:] for _, each in grade.designations if each.startswith("~")):
            assert catalog.match_grade(name).grade.name


def test_one_nearest_designation_leads_to_one_grade(catalog: Catalog) -> None:
    seen: dict[str, str] = {}
    for grade in catalog.grades:
        for _, designation in grade.designations:
            if designation.startswith("~"):
                assert seen.setdefault(designation, grade.name) == grade.name
