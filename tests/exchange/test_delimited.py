"""Text files parted into cells, against the standard library's csv reader where well formed."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfsmith.exchange.cells import MOST_COLUMNS, MOST_ROWS, RawCell, RawTable
from kerfsmith.exchange.quoted import records
from kerfsmith.exchange.table import read_table

HEADING = "Mark,Grade,Section,Length,Qty\n"


def cells(table: RawTable) -> list[tuple[RawCell, ...]]:
    return [row.cells for row in table.rows]


CELL = st.text(alphabet=st.sampled_from(list("ab1 ,;\t|\"'\n\r7/8")), max_size=8)


@given(st.lists(st.lists(CELL, min_size=1, max_size=5), max_size=8), st.sampled_from([",", ";", "\t", "|"]))
def test_well_formed_text_is_parted_as_by_the_standard_library(rows: list[list[str]], delimiter: str) -> None:
    buffer = io.StringIO(newline="")
    csv.writer(buffer, delimiter=delimiter, quoting=csv.QUOTE_ALL).writerows(rows)
    text = buffer.getvalue()
    found = list(records(text, delimiter))
    # A doubled quote before a delimiter in a cell of several lines is the trace of an inch mark that was not
    # doubled: such a record is refused by design, and everything after it with it may differ.
    if all(record.paired for record in found):
        expected = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))
        assert [list(record.cells) for record in found] == expected
    else:
        assert any(f'"{delimiter}' in cell and ("\n" in cell or "\r" in cell) for row in rows for cell in row)


@given(st.text(alphabet=st.sampled_from(list('ab,;"\n\r ')), max_size=60), st.sampled_from([",", ";"]))
def test_any_text_is_parted_without_losing_a_line(text: str, delimiter: str) -> None:
    found = list(records(text, delimiter))
    assert "".join("".join(record.cells) for record in found).count("a") == text.count("a")


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_every_delimiter_encoding_and_line_ending(delimiter: str, encoding: str, ending: str) -> None:
    lines: tuple[list[str], ...] = (
        ["Pos", "Güte", "Profil", "Länge [mm]", "Stück"],
        ["1", "S355", "Ø 50", "1190", "3"],
        [],
        ["2", "S355", "Ø 60", "6000", "4"],
    )
    data = ending.join(delimiter.join(line) for line in lines).encode(encoding)
    table = read_table("list.csv", data)
    assert [len(row.cells) for row in table.rows] == [5, 5, 1, 5]
    assert table.rows[0].cells[1] == "Güte"
    assert table.rows[1].cells[2] == "Ø 50"
    assert table.rows[2].is_blank
    assert [row.number for row in table.rows] == [1, 2, 3, 4]
    assert [finding.code for finding in table.findings] == (["encoding"] if encoding == "cp1252" else [])


def test_semicolons_win_over_decimal_commas_and_commas_over_semicolons_in_notes() -> None:
    table = read_table(
        "a.csv", b"Mark;Grade;Section;Length;Qty\nA;4140;R 50,5;1190,5;3\nB;4140;R 60,5;1191,5;3\n"
    )
    assert table.delimiter == ";"
    table = read_table("a.csv", b"Mark,Grade,Length,Qty,Notes\nA,4140,5 m,1,a;b;c\nB,4140,5 m,1,a;b;c\n")
    assert table.delimiter == ","
    table = read_table("a.csv", b"sep=;\nMark;Grade,Section,Length;Qty\nA;x;1\n")
    assert table.delimiter == ";"
    assert table.rows[1].number == 2


def test_a_cell_with_line_breaks_is_one_row() -> None:
    table = read_table("a.csv", (HEADING + '"A\n1",4140,"R\r\n50",6 m,1\nB,4140,R 50,6 m,1\n').encode())
    assert len(table.rows) == 3
    assert table.rows[1].cells[0] == "A\n1"
    assert table.rows[2].number == 3


def test_an_inch_mark_that_is_not_doubled_spoils_its_own_row_only() -> None:
    text = (
        HEADING
        + 'A,4140,R 50,"46 7/8"",1\nB,4140,"R 2""","46 7/8""",1\nC,4140,R 2",46 7/8",1\nD,4140,R 2,"5"",1'
    )
    table = read_table("a.csv", text.encode())
    assert table.unpaired == {2, 5}
    assert table.rows[2].cells == ("B", "4140", 'R 2"', '46 7/8"', "1")
    assert table.rows[3].cells == ("C", "4140", 'R 2"', '46 7/8"', "1")


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "file-empty"),
        (b" \r\n\t\n", "file-empty"),
        (b"\x00" * 100, "file-empty"),
        (b"%PDF-1.7 ...", "file-unreadable"),
        (b"\x01\x02\x03\x04" * 50, "file-unreadable"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "file-unreadable"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "file-unreadable"),
        (b"PK\x03\x04 not a zip", "file-unreadable"),
        (b"\xff\xfea", "file-unreadable"),
        (b"x" * (20 * 1024 * 1024 + 1), "file-too-large"),
        (b"a\n" * (MOST_ROWS + 1), "file-too-large"),
        (b"a" + b"," * 19_000_000, "file-too-large"),
        (b'"' + b"," * 19_000_000, "file-too-large"),
        (b"a," * MOST_COLUMNS, "file-too-large"),
    ],
    ids=lambda value: value if isinstance(value, str) else f"{len(value)} bytes",
)
def test_files_that_are_no_list_say_why(data: bytes, code: str) -> None:
    table = read_table("list.csv", data)
    assert table.rows == ()
    assert [finding.code for finding in table.findings] == [code]
    assert table.findings[0].is_error
