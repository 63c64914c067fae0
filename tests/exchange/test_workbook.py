"""Workbooks read into cells; written by XlsxWriter, or by hand where it would not."""

import io
import zipfile
from collections.abc import Callable
from datetime import date

import pytest
import xlsxwriter  # type: ignore[import-untyped]  # the package ships no types

from kerfsmith.exchange.table import read_table
from kerfsmith.exchange.workbook import FAILED_CELL

HEADING = ["Mark", "Grade", "Section", "Length (mm)", "Qty", "Due"]
ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"


def workbook(fill: Callable[["xlsxwriter.Workbook"], None]) -> bytes:
    buffer = io.BytesIO()
    with xlsxwriter.Workbook(buffer) as book:
        fill(book)
    return buffer.getvalue()


def ods(rows: str) -> bytes:
    """An ODS of one sheet with these rows, its namespaces as OpenDocument 1.3 part 3 gives them."""
    space = "urn:oasis:names:tc:opendocument:xmlns"
    content = (
        '<?xml version="1.0" encoding="UTF-8"?><office:document-content '
        f'xmlns:office="{space}:office:1.0" xmlns:table="{space}:table:1.0" xmlns:text="{space}:text:1.0" '
        'xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0">'
        f'<office:body><office:spreadsheet><table:table table:name="List">{rows}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("mimetype", ODS_TYPE)
        archive.writestr(
            "META-INF/manifest.xml",
            f'<manifest:manifest xmlns:manifest="{space}:manifest:1.0"><manifest:file-entry '
            f'manifest:full-path="/" manifest:media-type="{ODS_TYPE}"/></manifest:manifest>',
        )
        archive.writestr("content.xml", content)
    return buffer.getvalue()


def text(value: str, extra: str = "") -> str:
    return f'<table:table-cell office:value-type="string"{extra}><text:p>{value}</text:p></table:table-cell>'


def ods_row(cells: str, extra: str = "") -> str:
    return f"<table:table-row{extra}>{cells}</table:table-row>"


def test_numbers_days_and_text_keep_their_kind() -> None:
    def fill(book: "xlsxwriter.Workbook") -> None:
        sheet = book.add_worksheet()
        sheet.write_row(2, 0, HEADING)
        sheet.write_row(4, 0, ["00123", 4140, "R 50", 2450.0, 0.1 + 0.2])
        sheet.write_datetime(4, 5, date(2026, 12, 1), book.add_format({"num_format": "d mmm yyyy"}))

    table = read_table("list.xlsx", workbook(fill))
    assert [row.number for row in table.rows] == [1, 2, 3, 4, 5]
    assert table.rows[0].is_blank
    assert table.rows[3].is_blank
    assert table.rows[4].cells == ("00123", 4140, "R 50", 2450, 0.1 + 0.2, date(2026, 12, 1)) or (
        table.rows[4].cells == ("00123", 4140, "R 50", 2450, 0.3, date(2026, 12, 1))
    )
    assert table.rows[4].texts() == ("00123", "4140", "R 50", "2450", "0.3", "2026-12-01")
    assert table.findings == ()


def test_the_sheet_with_the_headings_is_taken_and_the_others_are_named() -> None:
    def fill(book: "xlsxwriter.Workbook") -> None:
        book.add_worksheet("Cover").write(0, 0, "Offer for a platform")
        book.add_worksheet("Cuts").write_row(3, 0, HEADING)
        book.add_worksheet("Empty")
        hidden = book.add_worksheet("Old")
        hidden.write_row(0, 0, [*HEADING, "Notes"])
        hidden.hide()

    table = read_table("list.xlsx", workbook(fill))
    assert table.sheet == "Cuts"
    assert [(finding.code, finding.read) for finding in table.findings] == [("other-sheets", "Cover")]


def test_a_formula_without_a_value_does_not_pass_as_an_empty_cell() -> None:
    def fill(book: "xlsxwriter.Workbook") -> None:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, HEADING)
        sheet.write_row(1, 0, ["A", "4140", "R 50"])
        sheet.write_formula(1, 3, "=2*595", value="")
        sheet.write_formula(1, 4, "=1+2", value=3)
        sheet.write_formula(1, 5, "=1/0", value="#DIV/0!")

    assert read_table("list.xlsx", workbook(fill)).rows[1].cells[3:] == (FAILED_CELL, 3, FAILED_CELL)


def test_an_ods_with_repeated_and_failed_cells() -> None:
    rows = (
        ods_row("".join(map(text, HEADING)))
        + ods_row('<table:table-cell table:number-columns-repeated="6"/>', ' table:number-rows-repeated="2"')
        + ods_row(
            text("A", ' table:number-columns-repeated="2"')
            + text("R 50")
            + '<table:table-cell office:value-type="float" office:value="1190.5"><text:p>1190,5</text:p>'
            "</table:table-cell>"
            + text("Err:502", ' calcext:value-type="error"')
            + '<table:table-cell office:value-type="date" office:date-value="2026-12-01"/>'
        )
        + ods_row(
            '<table:table-cell table:number-columns-repeated="16384"/>',
            ' table:number-rows-repeated="1048570"',
        )
    )
    table = read_table("list.ods", ods(rows))
    assert [row.number for row in table.rows] == [1, 2, 3, 4]
    assert table.rows[3].cells[:4] == ("A", "A", "R 50", 1190.5)
    assert table.rows[3].cells[4] in (FAILED_CELL, "Err:502")
    assert table.rows[3].cells[5] == date(2026, 12, 1)


def only_finding(data: bytes) -> str:
    table = read_table("list.xlsx", data)
    assert table.rows == ()
    assert [finding.code for finding in table.findings] == ["file-unreadable"]
    return table.findings[0].problem


def test_one_value_in_the_far_corner_is_refused_before_it_fills_the_memory() -> None:
    def far(row: int, column: int) -> Callable[["xlsxwriter.Workbook"], None]:
        def fill(book: "xlsxwriter.Workbook") -> None:
            sheet = book.add_worksheet()
            sheet.write_row(0, 0, HEADING)
            sheet.write(row, column, 1)

        return fill

    assert "row 1048576" in only_finding(workbook(far(1_048_575, 0)))
    assert "column 16384" in only_finding(workbook(far(0, 16_383)))
    assert "more than 5000000 cells" in only_finding(workbook(far(150_000, 150)))
    big = ' table:number-columns-repeated="16384"'
    assert "column 16384" in only_finding(
        ods(ods_row(text("x", big), ' table:number-rows-repeated="1048576"'))
    )
    assert "row 1048576" in only_finding(ods(ods_row(text("x"), ' table:number-rows-repeated="1048576"')))
    gap = ods_row("<table:table-cell/>", ' table:number-rows-repeated="1048570"')
    assert "row 1048571" in only_finding(ods(gap + ods_row(text("x"))))


def test_a_formatted_but_empty_far_corner_does_no_harm() -> None:
    def fill(book: "xlsxwriter.Workbook") -> None:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, HEADING)
        sheet.write_blank(1_048_575, 16_383, None, book.add_format({"bold": True}))

    assert len(read_table("list.xlsx", workbook(fill)).rows) == 1


def zipped(parts: dict[str, bytes], compression: int = zipfile.ZIP_DEFLATED) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", compression) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return buffer.getvalue()


def test_packed_zeros_foreign_zips_and_document_types_are_refused() -> None:
    zeros = bytes(210 * 2**20)
    assert "unpacks to more than 200 MB" in only_finding(zipped({"xl/workbook.xml": zeros}))
    assert "not an XLSX or ODS" in only_finding(zipped({"word/document.xml": b"<a/>"}))
    bomb = b'<!DOCTYPE a [<!ENTITY b "bbbbbbbb"><!ENTITY c "&b;&b;&b;&b;">]><a>&c;</a>'
    assert "document type" in only_finding(zipped({"xl/workbook.xml": bomb}))
    assert "not whole" in only_finding(zipped({"xl/workbook.xml": b"<a><b></a>"}))
    assert "damaged" in only_finding(zipped({"xl/workbook.xml": b"<a/>"}))
    many = {f"xl/{number}.xml": b"<a/>" for number in range(2001)}
    assert "more than 2000 parts" in only_finding(zipped(many))


def test_a_sheet_cut_off_or_changed_anywhere_is_refused_or_read_whole() -> None:
    def fill(book: "xlsxwriter.Workbook") -> None:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, HEADING)
        for row in range(1, 20):
            sheet.write_row(row, 0, [f"A{row}", "4140", "R 50", 1000.0 + row, row])

    whole = workbook(fill)
    expected = read_table("list.xlsx", whole).rows
    assert len(expected) == 20
    for cut in range(0, len(whole) - 1, 97):
        assert read_table("list.xlsx", whole[:cut]).rows == ()
    for at in range(0, len(whole), 61):
        damaged = whole[:at] + bytes([whole[at] ^ 0x5A]) + whole[at + 1 :]
        table = read_table("list.xlsx", damaged)
        assert table.rows in ((), expected) or not damaged.startswith(b"PK") or table.findings


@pytest.mark.parametrize("name", ["list.csv", "list.xls", "list", "../../etc/list.xlsx"])
def test_what_a_file_is_shows_in_its_bytes(name: str) -> None:
    data = workbook(lambda book: book.add_worksheet().write_row(0, 0, HEADING))
    assert read_table(name, data).rows[0].cells[0] == "Mark"
