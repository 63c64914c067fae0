"""Lists read with the real catalog: split sections, mixed languages, and the demo's own files."""

import csv
import io
from collections import Counter

import pytest
import xlsxwriter  # type: ignore[import-untyped]  # the package ships no types
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.reading import read_section
from kerfsmith.catalog.section import Section
from kerfsmith.demo.files import FAULTY, ORDER_BOOK, demo_file
from kerfsmith.exchange.grade_cells import GradeReading
from kerfsmith.exchange.order_file import OrderRead, read_order
from kerfsmith.units.parse import Unit


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


def read(catalog: Catalog, data: bytes, bare_unit: Unit | None = None) -> OrderRead:
    def grade(text: str) -> GradeReading:
        match = catalog.match_grade(text)
        return GradeReading(match.grade.name, "is only near" if match.nearest else "")

    def section(text: str, *, bare: Unit | None, decimal: str | None) -> Section:
        return read_section(text, catalog, bare=bare, decimal=decimal)

    return read_order("list", data, read_grade=grade, read_section=section, bare_unit=bare_unit)


@pytest.mark.parametrize(
    ("heading", "cells", "key"),
    [
        # Pipe sizes: ASME B36.10M, 4 in schedule 40 is 114.3 x 6.02 mm, schedule 80 is 114.3 x 8.56 mm.
        ("Shape;Size;Schedule", "Pipe;4;40", "round tube:114300x6020"),
        ("Shape;Size;Schedule", "Pipe;NPS 4;Sch 80", "round tube:114300x8560"),
        ("Shape;Size", 'Round;2"', "round:50800"),
        ("Shape;Width (mm);Thickness (mm)", "Flat;100;10", "flat:100000x10000"),
        ("Profile;Width (mm);Thickness (mm)", "Flat;100;10", "flat:100000x10000"),
        ("Shape;Diameter (mm);Wall (mm)", "Tube;60,3;5", "round tube:60300x5000"),
        ("Shape;Width (mm)", "Square;50", "square:50000"),
    ],
)
def test_sections_in_several_columns(catalog: Catalog, heading: str, cells: str, key: str) -> None:
    found = read(catalog, f"Mark;Grade;{heading};Length;Qty\nA;A36;{cells};6 m;1".encode())
    assert [finding for finding in found.findings if finding.is_error] == []
    assert found.lines[0].section.key == key


def test_a_list_in_german(catalog: Catalog) -> None:
    text = (
        "Stückliste Podest\n"
        "Pos.;Werkstoff;Abmessung;Länge [mm];Stück;Termin\n"
        "1;42CrMo4;Rd 50,5;1.190,5;12;01.12.2026\n"
        "2;S355J2+N;Fl 100x12,5;2.450;3;02.12.2026\n"
        "Summe;;;;15;\n"
    )
    found = read(catalog, text.encode("cp1252"), Unit.MM)
    assert [finding for finding in found.findings if finding.is_error] == []
    assert [line.length_um for line in found.lines] == [1_190_500, 2_450_000]
    assert [line.section.key for line in found.lines] == ["round:50500", "flat:100000x12500"]
    notes = [finding.code for finding in found.findings]
    assert notes == ["encoding", "lines-above", "decimal-mark", "grade-nearest", "total-row"]


def test_the_demo_order_book_is_the_same_in_a_workbook(catalog: Catalog) -> None:
    data = demo_file(ORDER_BOOK)
    buffer = io.BytesIO()
    with xlsxwriter.Workbook(buffer) as book:
        sheet = book.add_worksheet()
        for number, row in enumerate(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""))):
            for column, cell in enumerate(row):
                sheet.write(number, column, int(cell) if cell.isdigit() else cell)
    from_text, from_book = read(catalog, data), read(catalog, buffer.getvalue())
    assert from_text.findings == from_book.findings
    assert [finding.code for finding in from_text.findings] == ["tolerance-unit"] * 2
    assert from_text.lines == from_book.lines
    assert from_text.rows_bad == 0


def test_each_bad_row_of_the_demo_has_one_finding_and_the_good_rows_stand(catalog: Catalog) -> None:
    found = read(catalog, demo_file(FAULTY))
    rows = Counter(finding.row for finding in found.findings if finding.is_error)
    assert set(rows.values()) == {1}
    assert len(rows) == found.rows_bad >= 20
    assert all(line.mark.startswith("OK-") for line in found.lines)
    assert found.lines
