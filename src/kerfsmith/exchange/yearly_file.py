"""A sheet of yearly quantities as a file: pieces of each kind wanted in a year, and in what lots."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from kerfsmith.costing.which_saw.workload import YearlyRow
from kerfsmith.errors import Finding, Severity
from kerfsmith.exchange.columns import ColumnMatch
from kerfsmith.exchange.grade_cells import GradeCells, GradeReader
from kerfsmith.exchange.heading_words import ORDER_FIELDS, FieldWords
from kerfsmith.exchange.list_file import Told, read_list
from kerfsmith.exchange.row_reader import RowReader
from kerfsmith.exchange.section_cells import SectionReader, read_row_section, remembered
from kerfsmith.units.parse import Unit, parse_angle, parse_tolerance
from kerfsmith.units.told import sentence

_YEARLY = (
    "pieces a year|pieces per year|pieces year|pcs year|pcs per year|per year|a year|yearly|annual|annually"
    "|annual quantity|annual qty|annual usage|yearly quantity|qty per year|quantity per year|jahresmenge"
    "|stuck pro jahr|stuck jahr|quantite annuelle|pieces par an|cantidad anual|piezas al ano"
)
_LOT = "lot|lot size|batch|batch size|pieces a lot|losgrosse|los|taille de lot|lote|tamano de lote"
_KEPT = frozenset({"mark", "grade", "section", "length", "unit", "tolerance", "angle_a", "angle_b"})
_SECTION_PARTS = frozenset({"shape", "size", "diameter", "width", "height", "thickness", "wall"})

YEARLY_FIELDS: tuple[FieldWords, ...] = (
    *(words for words in ORDER_FIELDS if words.field in _KEPT | _SECTION_PARTS),
    *(
        replace(words, sure=words.sure | frozenset(_YEARLY.split("|")))
        for words in ORDER_FIELDS
        if words.field == "quantity"
    ),
    FieldWords("lot", frozenset(_LOT.split("|")), frozenset(), False),
)
"""Columns of a yearly sheet: those of a cut list that say what a piece is, pieces a year, and the lot."""


@dataclass(frozen=True, slots=True)
class YearlyRead:
    """What a yearly sheet gave. A row without a lot is cut in twelve lots a year, which is told."""

    rows: tuple[YearlyRow, ...]
    findings: tuple[Finding, ...]
    columns: ColumnMatch


def read_yearly(
    name: str,
    data: bytes,
    *,
    read_grade: GradeReader,
    read_section: SectionReader,
    bare_unit: Unit | None = None,
    columns: Mapping[str, str | int | None] | None = None,
) -> YearlyRead:
    """Read a yearly sheet from CSV, TSV, XLSX or ODS bytes. Never raises for anything in ``data``."""
    grades, sections = GradeCells(read_grade), remembered(read_section)
    without_lot: list[int] = []

    def read_item(row: RowReader) -> YearlyRow | None:
        return _row(row, grades, sections, without_lot)

    read = read_list(name, data, YEARLY_FIELDS, Told(bare_unit, columns), read_item)
    findings = read.findings
    if without_lot and read.items:
        problem = sentence(
            "{count} rows say no lot and were taken in twelve lots a year", count=len(without_lot)
        )
        remedy = sentence("Add a column of lots where pieces are cut in other lots")
        findings = (*findings, Finding("lot-taken", Severity.NOTE, name, None, "lot", "", problem, remedy))
    return YearlyRead(read.items, findings, read.columns)


def _row(
    row: RowReader, grades: GradeCells, sections: SectionReader, without_lot: list[int]
) -> YearlyRow | None:
    grade, section = grades.read(row), read_row_section(row, sections)
    length, pieces = row.length("length"), row.quantity("quantity")
    lot = row.quantity("lot") if row.cell("lot") is not None else None
    angles = [
        row.read(name, lambda text, name=name: parse_angle(text, decimal=row.decimal(name))) or 0.0  # type: ignore[misc]  # bound by default
        for name in ("angle_a", "angle_b")
    ]
    tolerance = None
    if row.cell("tolerance") is not None and length is not None:
        heading = row.match.columns["tolerance"].unit
        bare = heading or (Unit.INCH if length.measure.value == "inch" else Unit.MM)
        tolerance = row.read(
            "tolerance",
            lambda text: parse_tolerance(
                text, bare=bare, decimal=row.decimal("tolerance"), nominal_um=length.um
            ),
        )
    mark = row.name("mark")
    if not row.is_good or grade is None or section is None or length is None or pieces is None:
        return None
    if lot is None:
        without_lot.append(row.row.number)
    return YearlyRow(
        grade=grade,
        section=section,
        length_um=length.um,
        pieces_a_year=pieces,
        lot=lot or -(-pieces // 12),
        mark=mark,
        plus_um=tolerance.plus_um if tolerance else None,
        minus_um=tolerance.minus_um if tolerance else None,
        angle_a_deg=angles[0],
        angle_b_deg=angles[1],
    )
