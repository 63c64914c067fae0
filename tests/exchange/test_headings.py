"""Headings matched to fields; where two could be meant, nothing is taken."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfsmith.errors import Severity
from kerfsmith.exchange.columns import ColumnMatch, Confidence
from kerfsmith.exchange.heading_words import ORDER_FIELDS, RACK_FIELDS, FieldWords, fold
from kerfsmith.exchange.headings import heading_unit, match_columns
from kerfsmith.exchange.table import read_table
from kerfsmith.units.length import Unit


def match(*lines: str, **columns: str | int | None) -> tuple[ColumnMatch, list[str]]:
    """Columns of a semicolon table and the errors about them."""
    table = read_table("list.csv", "\n".join(lines).encode())
    found, findings = match_columns(table, ORDER_FIELDS, columns=columns)
    return found, [finding.field or finding.code for finding in findings if finding.is_error]


@pytest.mark.parametrize("fields", [ORDER_FIELDS, RACK_FIELDS])
def test_no_sure_word_means_two_fields_and_all_are_folded(fields: tuple[FieldWords, ...]) -> None:
    seen: dict[str, str] = {}
    for field in fields:
        for word in field.sure:
            assert fold(word) == word or word[0] in "+-±"
            assert seen.setdefault(word, field.field) == field.field


@pytest.mark.parametrize(
    ("headings", "expected"),
    [
        (
            "Mark;Grade;Section;Length;Qty;Tolerance;Due;Angle A;Angle B;Notes",
            "mark grade section length quantity tolerance due angle_a angle_b notes",
        ),
        (
            "QTY.;CUT LEN.;PROFILE;MAT'L GRADE;PIECE MARK;REMARKS",
            "quantity length section grade mark notes",
        ),
        (
            "Pos.-Nr.;Stück;Güte;Profil;Länge [mm];Toleranz;Liefertermin;Gehrung 1;Gehrung 2;Bemerkung",
            "mark quantity grade section length tolerance due angle_a angle_b notes",
        ),
        (
            "Repère;Nuance;Profil;Longueur (mm);Qté;Date de livraison",
            "mark grade section length quantity due",
        ),
        (
            "Marca;Calidad;Perfil;Longitud, mm;Cant.;Fecha de entrega",
            "mark grade section length quantity due",
        ),
        ("Item;Material;Description;Cut length;No. off", "mark grade section length quantity"),
        ("No;Material;Size;Length;Pcs", "mark grade section length quantity"),
        ("Part_No;Steel_Grade;Shape;Cut_Length;Req'd", "mark grade section length quantity"),
        ("Part;Grade;Shape;OD;Wall;Length;Qty", "mark grade shape diameter wall length quantity"),
        (
            "Mark;Grade;Section;Length;Qty;Tol +;Tol -",
            "mark grade section length quantity tolerance_plus tolerance_minus",
        ),
        ("Mark;Grade;Section;Length;Qty;Tol +/-", "mark grade section length quantity tolerance"),
    ],
)
def test_headings_as_people_write_them(headings: str, expected: str) -> None:
    found, errors = match("Platform 7", headings, "a;b;c;d;e;f;g;h;i;j")
    assert errors == []
    assert found.heading_row == 2
    by_index = {column.index: field for field, column in found.columns.items() if column.index is not None}
    assert [by_index[index] for index in range(len(by_index))] == expected.split()


@pytest.mark.parametrize(
    ("headings", "unsure"),
    [
        ("Mark;Grade;Section;Length;Cut length;Qty", ["length"]),
        ("Mark;Grade;Section;Length;Qty;Pcs", ["quantity"]),
        ("Mark;Grade;Section;How far;Qty", ["length"]),
        ("Grade;Section;Length;No", ["quantity"]),
        ("Mark;Grade;Section;Length;Qty;Tol;Tolerance", ["tolerance"]),
        ("Mark;Grade;Width;Thickness;Length;Qty", ["section"]),
        ("Mark;Length", ["grade", "section", "quantity"]),
    ],
)
def test_where_two_could_be_meant_nothing_is_taken(headings: str, unsure: list[str]) -> None:
    found, errors = match(headings, "a;b;c;d;e;f")
    assert errors == unsure
    assert all(found.index(field) is None for field in unsure)


def test_what_is_told_settles_it() -> None:
    found, errors = match("Mark;Grade;Section;Length;Cut length;Qty", "a;b;c;d;e;f", length="cut LENGTH")
    assert (errors, found.index("length")) == ([], 4)
    found, errors = match("Mark;Grade;Section;Length;Cut length;Qty", "a;b;c;d;e;f", length=3, mark=None)
    assert (errors, found.index("length"), found.index("mark")) == ([], 3, None)
    assert found.columns["length"].reason == "chosen"
    found, errors = match("A1;4140;R 50;6 m;3", mark=0, grade=1, section=2, length=3, quantity=4)
    assert (errors, found.heading_row, found.index("quantity")) == ([], None, 4)


@pytest.mark.parametrize(
    "columns", [{"length": "Nowhere"}, {"length": 9}, {"length": -1}, {"colour": "Length"}]
)
def test_what_is_told_wrongly_is_said(columns: dict[str, str | int | None]) -> None:
    _, errors = match("Mark;Grade;Section;Length;Qty", "a;b;c;d;e", **columns)
    assert errors[0] in columns


def test_a_proposal_looks_at_what_stands_in_the_columns() -> None:
    found, errors = match(
        "Mark;Grade;Section;Colour;Stretch;Qty", "A;4140;R 50;red;1190 mm;3", "B;4140;R 50;blue;46 7/8 in;3"
    )
    assert errors == ["length"]
    assert found.columns["length"].alternatives == (4,)
    assert found.columns["length"].confidence is Confidence.MISSING
    assert found.samples[0] == ("A", "4140", "R 50", "red", "1190 mm", "3")


def test_two_columns_for_words_that_cut_nothing_wrong_are_a_warning() -> None:
    table = read_table("list.csv", b"Mark;Part No;Grade;Section;Length;Qty\na;b;c;d;e;f")
    found, findings = match_columns(table, ORDER_FIELDS)
    assert found.index("mark") == 0
    assert [(finding.field, finding.severity) for finding in findings] == [("mark", Severity.WARNING)]


@pytest.mark.parametrize(
    ("heading", "unit"),
    [
        ("Length (mm)", Unit.MM),
        ("Length [in]", Unit.INCH),
        ("Length, m", Unit.M),
        ("Länge/cm", Unit.CM),
        ("Length mm", Unit.MM),
        ("cut_length_in", Unit.INCH),
        ('Length "', Unit.INCH),
        ("Length (ft)", Unit.FOOT),
        ("Length", None),
        ("Length (cut)", None),
        ("m", None),
    ],
)
def test_units_in_headings(heading: str, unit: Unit | None) -> None:
    assert heading_unit(heading) is unit


@given(st.lists(st.lists(st.text(max_size=12), max_size=6), max_size=6))
def test_any_headings_match_or_are_told(rows: list[list[str]]) -> None:
    table = read_table("list.csv", "\n".join(";".join(row) for row in rows).encode())
    if not table.rows:
        return
    found, findings = match_columns(table, ORDER_FIELDS)
    missing = [field for field in ("grade", "length", "quantity") if found.index(field) is None]
    assert not missing or any(finding.is_error for finding in findings)
    taken = [column.index for column in found.columns.values() if column.index is not None]
    assert len(taken) == len(set(taken))
