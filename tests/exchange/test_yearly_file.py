"""A sheet of yearly quantities: pieces a year and lots, everything odd told."""

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.tables import package_tables

from kerfsmith.exchange.yearly_file import YearlyRead
from kerfsmith.wiring.reading import read_yearly_bytes

CATALOG = package_tables()
SHEET = (
    "Part;Grade;Section;Length mm;Pieces a year;Lot size;Tolerance\n"
    "Arm;4140;round 80 mm;250;1200;50;0.5\n"
    "Pin;1045;round 40 mm;120,5;5000;;\n"
    "Bad;no such;round 4 mm;10;5;1;\n"
)


def read(text: str) -> YearlyRead:
    return read_yearly_bytes("year.csv", text.encode(), CATALOG)


def test_pieces_and_lots_are_read_and_a_row_that_cannot_be_is_told() -> None:
    found = read(SHEET)
    arm, pin = found.rows
    assert (arm.mark, arm.pieces_a_year, arm.lot, arm.length_um) == ("Arm", 1200, 50, 250_000)
    assert (arm.plus_um, arm.minus_um) == (500, 500)
    assert (pin.pieces_a_year, pin.lot, pin.length_um) == (5000, 417, 120_500)
    assert pin.plus_um is None
    (error,) = [finding for finding in found.findings if finding.is_error]
    assert (error.row, error.field) == (4, "grade")
    assert any(finding.code == "lot-taken" for finding in found.findings)


def test_other_words_over_the_columns() -> None:
    found = read("Teil;Werkstoff;Profil;Länge mm;Jahresmenge;Losgröße\nA;1045;round 50 mm;100;240;20\n")
    assert [(row.pieces_a_year, row.lot) for row in found.rows] == [(240, 20)]


@given(st.binary(max_size=200))
@settings(max_examples=60, deadline=None)
def test_nothing_in_a_file_makes_it_raise(data: bytes) -> None:
    found = read_yearly_bytes("year.csv", data, CATALOG)
    assert found.rows or found.findings
