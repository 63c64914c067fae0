"""Whatever bytes come, a list is read or told about: never an exception, never a row unaccounted for."""

from io import BytesIO

import pytest
import xlsxwriter  # type: ignore[import-untyped]  # the package ships no types
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.exchange.fakes import mass_kg, read_grade, read_section
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.reading import read_section as read_catalog_section
from kerfsmith.catalog.section import Section
from kerfsmith.exchange.grade_cells import GradeReading
from kerfsmith.exchange.order_file import OrderRead, read_order
from kerfsmith.exchange.rack_file import read_rack
from kerfsmith.units.parse import Unit

GOOD = (
    "Mark;Grade;Section;Length (mm);Qty;Tol;Due;Angle 1;Angle 2;Notes\r\n"
    'A1;4140;round 50 mm;"1190,5";12;±0,5;2026-12-01;45;-45;"two\nlines"\r\n'
    'A2;A36;flat 100 x 10 mm;"46 7/8""";1.000;+1/16" -0;01.12.2026;;;\r\n'
    ";;;;;;;;;\r\n"
    "Total;;;;13;;;;;\r\n"
).encode()

MANGLED = st.builds(
    lambda cut, at, put, times: GOOD[:cut] + put * times + GOOD[at:],
    st.integers(0, len(GOOD)),
    st.integers(0, len(GOOD)),
    st.binary(max_size=6)
    | st.sampled_from([b'"', b";", b"\n", b"\r", b"\x00", b"\xff\xfe", b"\xc2\xa0", b"'", b","]),
    st.integers(0, 4),
)


def read(data: bytes, bare: Unit | None = None) -> OrderRead:
    found = read_order("list", data, read_grade=read_grade, read_section=read_section, bare_unit=bare)
    accounted = found.rows_bad + found.rows_blank + found.rows_total + found.rows_heading
    assert found.rows_read == len(found.lines) + accounted
    assert min(found.rows_bad, found.rows_blank, found.rows_total, found.rows_heading) >= 0
    assert len({line.id for line in found.lines}) == len(found.lines)
    told = {finding.row for finding in found.findings if finding.is_error}
    assert not {line.row for line in found.lines} & told
    assert found.rows_bad == 0 or told
    assert found.lines or any(finding.is_error for finding in found.findings)
    return found


def read_both(data: bytes) -> None:
    read(data)
    read(data, Unit.INCH)
    rack = read_rack(
        "list", data, read_grade=read_grade, read_section=read_section, mass_kg=mass_kg, currency="EUR"
    )
    accounted = rack.rows_bad + rack.rows_blank + rack.rows_total + rack.rows_heading
    assert rack.rows_read == len(rack.bars) + accounted


@given(st.binary(max_size=300) | st.text(max_size=200).map(lambda text: text.encode()))
def test_any_bytes(data: bytes) -> None:
    read_both(data)
    read_both(b"PK\x03\x04" + data)


@settings(max_examples=300)
@given(MANGLED)
def test_a_mangled_text_file(data: bytes) -> None:
    read_both(data)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "cp1252"])
def test_a_file_cut_off_anywhere(encoding: str) -> None:
    whole = GOOD.decode().encode(encoding)
    lengths = {line.length_um for line in read(whole).lines}
    for cut in range(len(whole)):
        for line in read(whole[:cut]).lines:
            assert line.length_um in lengths


@pytest.mark.parametrize("filler", [b" ", b'"', b"(", b"1.", b"a ", b"' ", b"\xc2\xa0"])
def test_a_cell_of_a_million_characters(filler: bytes) -> None:
    long = filler * (1_000_000 // len(filler))
    read(long)
    read(GOOD + b"A3;" + long + b";round 50 mm;6 m;1;;;;;\r\n")
    read(GOOD.replace(b"Notes", long))
    read(GOOD.replace(b"round 50 mm", long))
    read(GOOD.replace(b"1190,5", long))


def book() -> bytes:
    buffer = BytesIO()
    with xlsxwriter.Workbook(buffer) as workbook:
        sheet = workbook.add_worksheet()
        for number, line in enumerate(GOOD.decode().replace('"two\nlines"', "two lines").splitlines()):
            sheet.write_row(number, 0, line.split(";"))
    return buffer.getvalue()


BOOK = book()


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, len(BOOK)), st.integers(0, len(BOOK)), st.binary(max_size=8))
def test_a_mangled_workbook(cut: int, at: int, put: bytes) -> None:
    read(BOOK[:cut] + put + BOOK[at:])


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


SECTION_TEXT = st.text(
    alphabet=st.sampled_from(list("0123456789.,/xX\"' -mØø²½wWhHeEaAlLpPiIsSrRoOuUnNdDcCtTbB")), max_size=16
)


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(SECTION_TEXT, st.text(max_size=12), st.sampled_from([None, Unit.MM, Unit.INCH]))
def test_the_real_catalog_reads_any_grade_and_section_or_says_why(
    catalog: Catalog, section: str, grade: str, bare: Unit | None
) -> None:
    def grade_reader(text: str) -> GradeReading:
        return GradeReading(catalog.find_grade(text).name)

    def section_reader(text: str, *, bare: Unit | None, decimal: str | None) -> Section:
        return read_catalog_section(text, catalog, bare=bare, decimal=decimal)

    lines = (
        "Mark\tGrade\tSection\tLength\tQty",
        f"A\t{grade}\t{section}\t6 m\t1",
        f"B\t4140\t{section}\t6 m\t1",
    )
    read_order(
        "list",
        "\n".join(lines).encode(),
        read_grade=grade_reader,
        read_section=section_reader,
        bare_unit=bare,
    )
