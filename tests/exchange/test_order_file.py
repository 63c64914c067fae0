"""Cut lists read line by line; every row is accounted for and every bad field has its finding."""

from datetime import date
from io import BytesIO

import pytest
import xlsxwriter  # type: ignore[import-untyped]  # the package ships no types
from tests.exchange.fakes import read_grade, read_section

from kerfsmith.errors import Finding
from kerfsmith.exchange.order_file import OrderRead, read_order
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.parse import DateOrder, Unit

HEADING = "Mark;Grade;Section;Length;Qty;Tol;Due;Angle 1;Angle 2;Notes"


def read(
    *lines: str,
    bare_unit: Unit | None = None,
    decimal: str | None = None,
    date_order: DateOrder | None = None,
    columns: dict[str, str | int | None] | None = None,
) -> OrderRead:
    return read_bytes(
        "\n".join(lines).encode(),
        bare_unit=bare_unit,
        decimal=decimal,
        date_order=date_order,
        columns=columns,
    )


def read_bytes(
    data: bytes,
    bare_unit: Unit | None = None,
    decimal: str | None = None,
    date_order: DateOrder | None = None,
    columns: dict[str, str | int | None] | None = None,
) -> OrderRead:
    found = read_order(
        "list.csv",
        data,
        read_grade=read_grade,
        read_section=read_section,
        bare_unit=bare_unit,
        decimal=decimal,
        date_order=date_order,
        columns=columns,
    )
    accounted = found.rows_bad + found.rows_blank + found.rows_total + found.rows_heading
    assert found.rows_read == len(found.lines) + accounted
    return found


def errors(found: OrderRead) -> list[tuple[int | None, str]]:
    return [(finding.row, finding.code) for finding in found.findings if finding.is_error]


def only(found: OrderRead) -> OrderLine:
    assert errors(found) == []
    (line,) = found.lines
    return line


def test_a_line_with_everything() -> None:
    line = only(
        read(
            HEADING + ";Order;Customer",
            'A1;42CrMo4;round 50 mm;46 7/8";12;+1/16 -0;2026-12-01;45;-22,5;mind the  grain;J-7;Weir',
        )
    )
    assert (line.id, line.mark, line.order, line.customer, line.row) == ("J-7/A1", "A1", "J-7", "Weir", 2)
    assert (line.grade, line.section.key, line.length_um, line.quantity) == (
        "4140",
        "round:50000",
        1_190_625,
        12,
    )
    assert (line.plus_um, line.minus_um, line.due) == (1588, 0, date(2026, 12, 1))
    assert (line.angle_a_deg, line.angle_b_deg, line.notes) == (45.0, -22.5, "mind the grain")


# One bad field a row, and what is said of it.
BAD_ROWS = {
    "A;;round 50 mm;6 m;1;;;;;": "grade-missing",
    "A;41x0;round 50 mm;6 m;1;;;;;": "grade-unknown",
    "A;4140;;6 m;1;;;;;": "section-missing",
    "A;4140;blob;6 m;1;;;;;": "section-unreadable",
    "A;4140;round 50;6 m;1;;;;;": "section-unit-missing",
    "A;4140;round 50 mm;;1;;;;;": "length-missing",
    "A;4140;round 50 mm;6000;1;;;;;": "length-unit-missing",
    "A;4140;round 50 mm;six;1;;;;;": "length-unreadable",
    "A;4140;round 50 mm;-6 m;1;;;;;": "length-unreadable",
    "A;4140;round 50 mm;0 mm;1;;;;;": "length-unreadable",
    "A;4140;round 50 mm;#REF!;1;;;;;": "length-unreadable",
    "A;4140;round 50 mm;6 m;;;;;;": "quantity-missing",
    "A;4140;round 50 mm;6 m;0;;;;;": "quantity-unreadable",
    "A;4140;round 50 mm;6 m;2.5;;;;;": "quantity-unreadable",
    "A;4140;round 50 mm;6 m;1;+2;;;;": "tolerance-unreadable",
    "A;4140;round 50 mm;6 m;1;±0;;;;": "tolerance-unreadable",
    "A;4140;round 50 mm;6 m;1;;soon;;;": "due-unreadable",
    "A;4140;round 50 mm;6 m;1;;01/02/2026;;;": "due-unreadable",
    "A;4140;round 50 mm;6 m;1;;;90;;": "angle_a-unreadable",
    "A;4140;round 50 mm;6 m;1;;;;x;": "angle_b-unreadable",
    "A;4140;round 50 mm;6 m;1;;;;;;extra": "row-too-wide",
    'A;4140;"round 2"";6 m;1;;;;;': "quotes-unpaired",
    "Part two;;;;;;;;;": "row-empty",
    f"{'A' * 81};4140;round 50 mm;6 m;1;;;;;": "mark-unreadable",
}


def test_each_kind_of_bad_row_has_its_finding_and_the_good_rows_stand() -> None:
    good = "G{};4140;round 50 mm;6 m;1;;;;;"
    lines = [HEADING]
    expected = []
    for number, (row, code) in enumerate(BAD_ROWS.items()):
        lines += [row, good.format(number)]
        expected.append((len(lines) - 1, code))
    found = read(*lines)
    assert errors(found) == expected
    assert [line.mark for line in found.lines] == [f"G{number}" for number in range(len(BAD_ROWS))]
    assert (found.rows_bad, found.rows_heading) == (len(BAD_ROWS), 1)
    for finding in found.findings:
        assert finding.file == "list.csv"
        assert finding.problem
        assert finding.remedy[0].isupper()


def test_each_bad_field_of_one_row_is_told() -> None:
    found = read(HEADING, "A;xx;blob;six;many;tight;soon;90;91;")
    fields = [finding.field for finding in found.findings if finding.is_error]
    assert fields == ["grade", "section", "length", "quantity", "due", "angle_a", "angle_b"]


def test_blank_rows_sums_and_repeated_headings_are_left_out() -> None:
    found = read(
        "Cut list;;;;;;;;;",
        "",
        HEADING,
        "A;4140;round 50 mm;6 m;3;;;;;",
        ";;;;;;;;;",
        HEADING,
        "B;4140;round 50 mm;6 m;4;;;;;",
        "Total;;;;7;;;;;",
        ";;;42 m;7;;;;;",
        "Summe: 7 St;;;;;;;;;",
        ";Grand total;;;7;;;;;",
    )
    assert [line.mark for line in found.lines] == ["A", "B"]
    assert (found.rows_read, found.rows_blank, found.rows_total, found.rows_heading) == (11, 2, 4, 3)
    assert [finding.row for finding in found.findings if finding.code == "total-row"] == [8, 9, 10, 11]


def test_a_part_called_total_is_a_part() -> None:
    assert only(read(HEADING, "Total;4140;round 50 mm;6 m;3;;;;;")).mark == "Total"


def test_marks_missing_or_repeated_are_told_and_kept() -> None:
    row = ";4140;round 50 mm;6 m;3;;;;;"
    found = read(HEADING, "A" + row, "A" + row, row)
    assert [(line.id, line.mark) for line in found.lines] == [
        ("A", "A"),
        ("A (row 3)", "A"),
        ("row 4", "row 4"),
    ]
    assert [(f.row, f.code, f.severity.value) for f in found.findings] == [
        (3, "mark-repeated", "warning"),
        (4, "mark-missing", "warning"),
    ]
    nobody_marks = read("Grade;Section;Length;Qty", *["4140;round 50 mm;6 m;3"] * 2)
    assert [line.mark for line in nobody_marks.lines] == ["row 2", "row 3"]
    assert [(finding.row, finding.code) for finding in nobody_marks.findings] == [(1, "mark-missing")]


def test_a_grade_that_is_only_near_is_told() -> None:
    found = read(HEADING, "A;S355;round 50 mm;6 m;3;;;;;", "B;S355;round 50 mm;6 m;3;;;;;")
    assert found.lines[0].grade == "S355JR"
    assert [(finding.code, finding.is_error) for finding in found.findings] == [("grade-nearest", False)]


@pytest.mark.parametrize(
    ("others", "text", "um"),
    [
        ("12,5 mm", "1.190 mm", 1_190_000),
        ("12.5 mm", "1.190 mm", 1_190),
        ("12,5 mm", "1,190 mm", 1_190),
        ("1.190,5 mm", "1.190 mm", 1_190_000),
        ("1.190.500,0 mm", "1.190 mm", None),
        ("1190 mm", "1190,25 mm", 1_190_250),
        ("1190 mm", "1 190 mm", 1_190_000),
    ],
)
def test_one_clear_number_settles_the_decimal_mark(others: str, text: str, um: int | None) -> None:
    found = read(
        "Mark;Grade;Section;Length;Qty", f"A;4140;round 50 mm;{text};3", f"B;4140;round 50 mm;{others};3"
    )
    if um is None:
        assert errors(found) == [(3, "length-unreadable")]
        um = 1_190_000
    assert found.lines[0].length_um == um
    unclear = text in ("1.190 mm", "1,190 mm")
    assert [finding.code for finding in found.findings if not finding.is_error] == ["decimal-mark"] * unclear


def test_where_nothing_settles_it_the_sender_is_asked() -> None:
    lines = ("Mark;Grade;Section;Length;Qty", "A;4140;round 50 mm;1.190 mm;3", "B;4140;round 50 mm;6 m;3")
    assert errors(read(*lines)) == [(2, "length-unreadable")]
    both = (*lines, "C;4140;round 50 mm;12.5 mm;3", "D;4140;round 50 mm;12,5 mm;3")
    found = read(*both)
    assert errors(found) == [(2, "length-unreadable")]
    assert len(found.lines) == 3
    assert read(*both, decimal=",").lines[0].length_um == 1_190_000


@pytest.mark.parametrize(
    ("delimiter", "text", "um"),
    [
        (",", "1.190 mm", 1190),
        (",", '"1,190 mm"', 1190000),
        (";", "1,190 mm", 1190),
        (";", "1.190 mm", None),
        ("\t", "1.190 mm", None),
        ("\t", "46.875 in", 1190625),
    ],
)
def test_a_delimiter_speaks_where_no_number_does(delimiter: str, text: str, um: int | None) -> None:
    rows = (("Mark", "Grade", "Section", "Length", "Qty"), ("A", "4140", "round 50 mm", text, "3"))
    found = read(*(delimiter.join(row) for row in rows))
    assert [line.length_um for line in found.lines] == ([] if um is None else [um])
    codes = [finding.code for finding in found.findings]
    assert codes == (["length-unreadable"] if um is None else [] if "in" in text else ["decimal-mark"])


def test_days_with_two_meanings() -> None:
    heading, row = "Mark;Grade;Section;Length;Qty;Due", "{};4140;round 50 mm;6 m;3;{}"
    unclear = (heading, row.format("A", "03/04/2026"))
    assert errors(read(*unclear)) == [(2, "due-unreadable")]
    assert only(read(*unclear, date_order=DateOrder.MONTH_FIRST)).due == date(2026, 3, 4)
    found = read(*unclear, row.format("B", "13/04/2026"))
    assert [line.due for line in found.lines] == [date(2026, 4, 3), date(2026, 4, 13)]
    assert [finding.code for finding in found.findings] == ["date-order"]
    found = read(*unclear, row.format("B", "13/04/2026"), row.format("C", "04/13/2026"))
    assert errors(found) == [(2, "due-unreadable")]


@pytest.mark.parametrize(
    ("heading", "bare_unit", "text", "um"),
    [
        ("Length (mm)", None, "1190", 1_190_000),
        ("Length (mm)", Unit.INCH, "1190", 1_190_000),
        ("Length (mm)", None, '46 7/8"', 1_190_625),
        ("Length [in]", None, "46.875", 1_190_625),
        ("Length [in]", None, "46 7/8", 1_190_625),
        ("Length", Unit.MM, "1190", 1_190_000),
        ("Length", Unit.INCH, "46-7/8", 1_190_625),
        ("Length", None, "12'-6 3/8\"", 3_819_525),
    ],
)
def test_units_from_cell_heading_and_sender(heading: str, bare_unit: Unit | None, text: str, um: int) -> None:
    line = only(
        read(f"Mark;Grade;Section;{heading};Qty", f"A;4140;round 50 mm;{text};3", bare_unit=bare_unit)
    )
    assert line.length_um == um


def test_a_unit_column_holds_for_its_row_and_may_not_contradict() -> None:
    found = read(
        "Mark;Grade;Section;Length;Unit;Qty", "A;4140;round 50 mm;46.5;in;3", "B;4140;round 50 mm;46.5;mm;3"
    )
    assert [line.length_um for line in found.lines] == [1_181_100, 46_500]
    found = read("Mark;Grade;Section;Length (mm);Unit;Qty", "A;4140;round 50 mm;46.5;in;3")
    assert errors(found) == [(2, "unit-unreadable")]
    found = read("Mark;Grade;Section;Length;Unit;Qty", "A;4140;round 50 mm;46.5;kg;3")
    assert (2, "unit-unreadable") in errors(found)


@pytest.mark.parametrize(
    ("length", "tolerance", "plus", "minus"),
    [
        ("6 m", "±2", 2000, 2000),
        ("12'-6\"", "1/16", 1588, 1588),
        ('46 7/8"', "+1/8 -0", 3175, 0),
        ("1190 mm", '+1/8" -0', 3175, 0),
        ("500 mm", "m", 800, 800),
        ("500 mm", "ISO 2768-c", 2000, 2000),
    ],
)
def test_a_bare_tolerance_is_in_the_measure_of_its_length(
    length: str, tolerance: str, plus: int, minus: int
) -> None:
    line = only(read("Mark;Grade;Section;Length;Qty;Tol", f"A;4140;round 50 mm;{length};3;{tolerance}"))
    assert (line.plus_um, line.minus_um) == (plus, minus)


def test_a_tolerance_in_two_columns() -> None:
    heading = "Mark;Grade;Section;Length;Qty;Tol +;Tol -"
    line = only(read(heading, "A;4140;round 50 mm;500 mm;3;1,5;0"))
    assert (line.plus_um, line.minus_um) == (1500, 0)
    line = only(read(heading, "A;4140;round 50 mm;500 mm;3;+0.5;-0.2"))
    assert (line.plus_um, line.minus_um) == (500, 200)
    assert errors(read(heading, "A;4140;round 50 mm;500 mm;3;1;")) == [(2, "tolerance_minus-missing")]
    assert errors(read(heading, "A;4140;round 50 mm;500 mm;3;0;0")) == [(2, "tolerance_plus-unreadable")]


def test_both_ends_in_one_column() -> None:
    heading = "Mark;Grade;Section;Length;Qty;Mitre"
    assert only(read(heading, "A;4140;round 50 mm;500 mm;3;45/-30")).angle_b_deg == -30.0
    assert only(read(heading, "A;4140;round 50 mm;500 mm;3;0")).is_mitred is False
    assert errors(read(heading, "A;4140;round 50 mm;500 mm;3;45")) == [(2, "angles-unreadable")]


@pytest.mark.parametrize(
    ("heading", "cells", "key"),
    [
        ("Shape;Width (mm);Thickness (mm)", "Flat;100;10", "flat:100000x10000"),
        ("Shape;Size", "Round;50 mm", "round:50000"),
        ("Shape;Diameter [in]", "Round;2", "round:50800"),
        ("Section;Diameter (mm)", "Round;50", "round:50000"),
        ("Size", "round 2 in", "round:50800"),
    ],
)
def test_a_section_in_several_columns(heading: str, cells: str, key: str) -> None:
    line = only(read(f"Mark;Grade;{heading};Length;Qty", f"A;4140;{cells};6 m;1"))
    assert line.section.key == key


def test_an_unsure_column_stops_the_reading_and_a_word_settles_it() -> None:
    lines = ("Mark;Grade;Section;Length;Cut length;Qty", "A;4140;round 50 mm;6 m;5 m;3", "", "Total;;;;;3")
    found = read(*lines)
    assert found.lines == ()
    assert errors(found) == [(1, "columns-unsure")]
    assert (found.rows_bad, found.rows_blank, found.rows_total, found.rows_heading) == (2, 1, 0, 1)
    assert only(read(*lines[:2], columns={"length": "Cut length"})).length_um == 5_000_000


def test_headings_without_rows_and_rows_without_headings() -> None:
    assert errors(read(HEADING)) == [(None, "no-rows")]
    assert errors(read("1;2;3", "4;5;6")) == [(None, "headings-missing")]


def workbook(rows: list[list[object]]) -> bytes:
    buffer = BytesIO()
    with xlsxwriter.Workbook(buffer) as book:
        sheet, day = book.add_worksheet(), book.add_format({"num_format": "yyyy-mm-dd"})
        for number, row in enumerate(rows):
            for column, value in enumerate(row):
                if isinstance(value, date):
                    sheet.write_datetime(number, column, value, day)
                else:
                    sheet.write(number, column, value)
    return buffer.getvalue()


def test_a_workbook_gives_the_same_lines_as_its_text() -> None:
    rows: list[list[object]] = [
        ["Mark", "Grade", "Section", "Length (mm)", "Qty", "Tol", "Due"],
        ["A", 4140, "round 50 mm", 1190.625, 12.0, "±0.5", date(2026, 12, 1)],
        ["B", "A36", "flat 100 x 10 mm", '46 7/8"', 3, 0.5, "2026-12-02"],
        ["", "", "", "", "", "", ""],
        ["Total", "", "", "", 15, "", ""],
    ]
    from_book = read_bytes(workbook(rows))
    from_text = read(*(";".join(str(value) for value in row) for row in rows))
    assert [line.length_um for line in from_book.lines] == [1_190_625, 1_190_625]
    assert [str(line) for line in from_book.lines] == [str(line) for line in from_text.lines]
    assert (from_book.rows_total, from_book.rows_blank) == (1, 1)


def test_what_spreadsheets_do_to_cells_is_told() -> None:
    rows: list[list[object]] = [
        ["Mark", "Grade", "Section", "Length (mm)", "Qty", "Tol", "Due"],
        ["A", 4140, "round 50 mm", 1190, 12, date(2026, 1, 16), ""],
        ["B", 4140, "round 50 mm", 1190, 12, "", 46357],
        ["C", 4140, "round 50 mm", 1190, 12.5, "", ""],
        [date(2026, 4, 3), 4140, "round 50 mm", 1190, 12, "", ""],
    ]
    found = read_bytes(workbook(rows))
    assert errors(found) == [(2, "tolerance-unreadable"), (4, "quantity-unreadable"), (5, "mark-unreadable")]
    # 46357 is the day 2026-12-01 in the 1900 date system of ECMA-376, part 1, 18.17.4.1.
    assert found.lines[0].due == date(2026, 12, 1)
    assert [finding.code for finding in found.findings if not finding.is_error] == ["due-as-number"]


def test_findings_read_as_sentences() -> None:
    (finding,) = read(HEADING, "A;4140;round 50 mm;6 m;many;;;;;").findings
    assert isinstance(finding, Finding)
    assert str(finding) == (
        "list.csv, row 2, quantity: is not a count (read 'many'). Write a whole number of pieces"
    )
