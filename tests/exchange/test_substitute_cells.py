"""What a list says its pieces may be cut from instead, in each form a list may have."""

from collections.abc import Sequence
from io import BytesIO

import pytest
import xlsxwriter  # type: ignore[import-untyped]  # the package ships no types
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.exchange.export.orders import cut_list_table
from kerfsmith.exchange.export.write import Form, written
from kerfsmith.exchange.order_file import OrderRead
from kerfsmith.units.parse import Unit
from kerfsmith.wiring.reading import read_order_bytes

HEADING = ("mark", "grade", "section", "length", "qty", "or grade", "or section")


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


def as_csv(rows: Sequence[tuple[str, ...]]) -> tuple[str, bytes]:
    quoted = (",".join(f'"{cell}"' for cell in row) for row in (HEADING, *rows))
    return "list.csv", "\n".join(quoted).encode()


def as_xlsx(rows: Sequence[tuple[str, ...]]) -> tuple[str, bytes]:
    data = BytesIO()
    book = xlsxwriter.Workbook(data, {"in_memory": True})
    sheet = book.add_worksheet()
    for number, row in enumerate((HEADING, *rows)):
        sheet.write_row(number, 0, row)
    book.close()
    return "list.xlsx", data.getvalue()


def read(made: tuple[str, bytes], catalog: Catalog) -> OrderRead:
    return read_order_bytes(*made, catalog, bare=Unit.MM)


def told(found: OrderRead) -> list[tuple[str, int | None, str | None, str]]:
    return [(one.severity.value, one.row, one.field, one.code) for one in found.findings]


@pytest.mark.parametrize("made_as", [as_csv, as_xlsx])
def test_several_of_each(made_as, catalog: Catalog) -> None:  # type: ignore[no-untyped-def]
    rows = [
        ("P1", "4140", "round 50 mm", "400", "4", "4142; 4340", ""),
        ("P2", "4140", "round 50 mm", "400", "4", "", "round 55 mm or round 60 mm"),
        ("P3", "4140", "round 50 mm", "400", "4", "", ""),
    ]
    found = read(made_as(rows), catalog)
    assert told(found) == []
    assert [line.or_grades for line in found.lines] == [("4142", "4340"), (), ()]
    keys = [[section.key for section in line.or_sections] for line in found.lines]
    assert keys == [[], ["round:55000", "round:60000"], []]


@pytest.mark.parametrize("form", [Form.CSV, Form.XLSX])
def test_a_list_written_out_is_read_back(form: Form, catalog: Catalog) -> None:
    rows = [("P1", "4140", "round 50 mm", "400", "4", "4142; 4340", "round 55 mm")]
    (line,) = read(as_csv(rows), catalog).lines
    data = written(cut_list_table((line,)), form)
    (back,) = read((f"cut-list.{form.value}", data), catalog).lines
    assert (back.or_grades, back.or_sections) == (line.or_grades, line.or_sections)


def test_each_fault_names_file_row_and_field(catalog: Catalog) -> None:
    rows = [
        ("P1", "4140", "round 50 mm", "400", "4", "4142; Unobtanium", ""),
        ("P2", "4140", "round 50 mm", "400", "4", "", "round wide"),
        ("P3", "4140", "round 50 mm", "400", "4", "4142", ""),
    ]
    found = read(as_csv(rows), catalog)
    assert [line.mark for line in found.lines] == ["P3"]
    assert told(found) == [
        ("error", 2, "or_grade", "or_grade-unreadable"),
        ("error", 3, "or_section", "or_section-unreadable"),
    ]
    assert "'Unobtanium', which is no grade that is known" in str(found.findings[0])
    assert str(found.findings[0]).startswith("list.csv, row 2, or_grade: ")


def test_what_may_be_an_oversight_is_told_and_taken(catalog: Catalog) -> None:
    # A round of 45 has 45^2 / 50^2 = 81 % of the section of one of 50, so 19 % less.
    rows = [
        ("P1", "4140", "round 50 mm", "400", "4", "4140; 4142", "round 45 mm"),
        ("P2", "4140", "round 50 mm", "400", "4", "", "square 50 mm"),
    ]
    found = read(as_csv(rows), catalog)
    assert [(line.or_grades, len(line.or_sections)) for line in found.lines] == [(("4142",), 1), ((), 1)]
    assert told(found) == [
        ("note", 2, "or_grade", "substitute-needless"),
        ("note", 2, "or_section", "substitute-smaller"),
        ("note", 3, "or_section", "substitute-smaller"),
    ]
    assert "19 % less section than round 50 mm" in found.findings[1].problem
    assert "another shape than round 50 mm" in found.findings[2].problem
