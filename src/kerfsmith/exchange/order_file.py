"""A cut list as a file: its lines, and everything in it that can't be used."""

from collections.abc import Mapping
from dataclasses import dataclass

from kerfsmith.catalog.section import Section
from kerfsmith.errors import Finding, Severity, UnreadableText
from kerfsmith.exchange.columns import ColumnMatch
from kerfsmith.exchange.grade_cells import GradeCells, GradeReader
from kerfsmith.exchange.heading_words import ORDER_FIELDS
from kerfsmith.exchange.list_file import Told, read_list
from kerfsmith.exchange.row_ids import RowIds
from kerfsmith.exchange.row_reader import RowReader
from kerfsmith.exchange.section_cells import SectionReader, read_row_section, remembered
from kerfsmith.exchange.substitute_cells import SubstituteCells
from kerfsmith.geometry.lay import lies
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.length import Measure
from kerfsmith.units.parse import DateOrder, ParsedLength, ParsedTolerance, Unit, parse_angle, parse_tolerance
from kerfsmith.units.told import either, sentence

_NAMES = {Unit.MM: sentence("millimetres"), Unit.INCH: sentence("inches")}
_NEEDED = ("grade", "section", "shape", "length", "quantity")


@dataclass(frozen=True, slots=True)
class OrderRead:
    """What a cut list gave.

    rows_read = len(lines) + rows_bad + rows_blank + rows_total + rows_heading; ``rows_total`` counts rows
    of sums. ``decimal`` is the decimal mark found or told, ``date_order`` likewise; None where neither.
    """

    lines: tuple[OrderLine, ...]
    findings: tuple[Finding, ...]
    columns: ColumnMatch
    rows_read: int
    rows_bad: int
    rows_blank: int
    rows_total: int
    rows_heading: int
    decimal: str | None
    date_order: DateOrder | None


def read_order(
    name: str,
    data: bytes,
    *,
    read_grade: GradeReader,
    read_section: SectionReader,
    bare_unit: Unit | None = None,
    columns: Mapping[str, str | int | None] | None = None,
    decimal: str | None = None,
    date_order: DateOrder | None = None,
) -> OrderRead:
    """Read a cut list from CSV, TSV, XLSX or ODS bytes.

    ``bare_unit`` is the unit of numbers without one where neither heading nor row says; None makes them
    findings. ``columns`` says where fields stand (heading, index from 0, or None for not there).
    ``decimal`` and ``date_order`` settle what the file itself doesn't. Never raises for anything in
    ``data``.
    """
    ids = RowIds()
    grades, sections = GradeCells(read_grade), remembered(read_section)
    others = SubstituteCells(read_grade, sections)
    taken: dict[Unit, int] = {}

    def read_item(row: RowReader) -> OrderLine | None:
        return _line(row, grades, sections, others, ids, taken)

    told = Told(bare_unit, columns, decimal, date_order)
    read = read_list(name, data, ORDER_FIELDS, told, read_item)
    findings = read.findings
    if read.items and not read.columns.has("mark"):
        findings = (*findings, _no_marks(name, read.columns))
    return OrderRead(
        read.items,
        findings,
        read.columns,
        read.rows_read,
        read.rows_bad,
        read.rows_blank,
        read.rows_total,
        read.rows_heading,
        read.habits.decimal,
        read.habits.date_order,
    )


def _no_marks(name: str, match: ColumnMatch) -> Finding:
    problem = sentence("no column holds the marks, so each line is called by its row")
    remedy = sentence("Add a column of marks, or say which column it is")
    return Finding("mark-missing", Severity.WARNING, name, match.heading_row, "mark", "", problem, remedy)


def _line(
    row: RowReader,
    grades: GradeCells,
    sections: SectionReader,
    others: SubstituteCells,
    ids: RowIds,
    taken: dict[Unit, int],
) -> OrderLine | None:
    if all(row.cell(field) is None for field in _NEEDED):
        row.fail(
            "row-empty",
            None,
            "has no grade, no section, no length and no quantity",
            "Complete the row, or take it out if it is only a title",
        )
        return None
    grade = grades.read(row)
    section = read_row_section(row, sections)
    length = row.length("length")
    quantity = row.quantity("quantity")
    tolerance = _tolerance(row, length)
    if tolerance is not None and length is not None:
        _tell_unit_taken(row, length, taken)
    due = row.day("due")
    angle_a, angle_b = _angles(row)
    lie = _lie(row, section)
    or_grades, or_sections = others.grades(row, grade), others.sections(row, section)
    mark, order, customer, notes = (
        row.name("mark"),
        row.name("order"),
        row.name("customer"),
        row.note("notes"),
    )
    if not row.is_good or grade is None or section is None or length is None or quantity is None:
        return None
    number = row.row.number
    return OrderLine(
        id=ids.give(row, "mark", mark, group=order, needed=row.match.has("mark")),
        mark=mark or f"row {number}",
        grade=grade,
        section=section,
        length_um=length.um,
        quantity=quantity,
        plus_um=tolerance.plus_um if tolerance else None,
        minus_um=tolerance.minus_um if tolerance else None,
        due=due,
        angle_a_deg=angle_a,
        angle_b_deg=angle_b,
        notes=notes,
        order=order,
        customer=customer,
        row=number,
        lie=lie,
        or_grades=or_grades,
        or_sections=or_sections,
    )


def _lie(row: RowReader, section: Section | None) -> str:
    """How the section must lie, by one of its own ways; "" where the row doesn't say."""
    if row.cell("lie") is None or section is None:
        return ""
    ways = [lie.name for lie in lies(section.shape)]

    def reader(text: str) -> str:
        said = " ".join(text.lower().split())
        if said not in ways:
            raise UnreadableText(
                text[:60],
                sentence("is no way to lay {section}", section=section.name),
                sentence("write {ways}", ways=either(ways)),
            )
        return said

    return row.read("lie", reader) or ""


def _tolerance(row: RowReader, length: ParsedLength | None) -> ParsedTolerance | None:
    """The tolerance of the row, a bare figure in the unit of its heading or else of the row's length."""
    if row.cell("tolerance_plus") is not None or row.cell("tolerance_minus") is not None:
        return _two_sided(row, length)
    bare = _tolerance_unit(row, "tolerance", length)
    nominal_um = length.um if length else None
    if row.cell("tolerance") is None or length is None:
        return None
    decimal = row.decimal("tolerance")
    return row.read(
        "tolerance", lambda text: parse_tolerance(text, bare=bare, decimal=decimal, nominal_um=nominal_um)
    )


def _tell_unit_taken(row: RowReader, length: ParsedLength, taken: dict[Unit, int]) -> None:
    """Tell once for each unit in which a bare tolerance was taken, at the first row where it was."""
    if row.cell("tolerance") is None or (column := row.match.columns.get("tolerance")) is None or column.unit:
        return
    try:
        parse_tolerance(
            row.text("tolerance"), bare=None, decimal=row.decimal("tolerance"), nominal_um=length.um
        )
    except UnreadableText:
        # It was read with a unit and can't be without one: the unit is ours.
        unit = _tolerance_unit(row, "tolerance", length)
        if unit is not None and unit not in taken:
            taken[unit] = row.row.number
            row.add(
                "tolerance-unit",
                Severity.NOTE,
                "tolerance",
                sentence(
                    "has no unit and was taken in {unit}, like its length, here and in rows below",
                    unit=_NAMES[unit],
                ),
                "Write the unit behind the tolerance where that is not meant",
            )


def _two_sided(row: RowReader, length: ParsedLength | None) -> ParsedTolerance | None:
    """A tolerance with a column for each side; both must be filled."""
    if length is None:
        return None
    sides: list[int] = []
    for field, sign in (("tolerance_plus", "+"), ("tolerance_minus", "-")):
        bare = _tolerance_unit(row, field, length)
        decimal = row.decimal(field)

        def reader(text: str, sign: str = sign, bare: Unit | None = bare, mark: str | None = decimal) -> int:
            bodies = (f"+{text.lstrip('+- ')}", "-0") if sign == "+" else ("+0", f"-{text.lstrip('+- ')}")
            if set(text.strip("+- ")) <= set("0.,"):
                return 0
            parsed = parse_tolerance(" ".join(bodies), bare=bare, decimal=mark, nominal_um=length.um)
            return parsed.plus_um if sign == "+" else parsed.minus_um

        side = row.read(field, reader, required=True)
        if side is not None:
            sides.append(side)
    if len(sides) != 2:
        return None
    if sides == [0, 0]:
        row.fail(
            "tolerance_plus-unreadable",
            "tolerance_plus",
            "allows no deviation at all",
            "Write what is allowed",
        )
    return ParsedTolerance(sides[0], sides[1])


def _tolerance_unit(row: RowReader, field: str, length: ParsedLength | None) -> Unit | None:
    of_heading = row.match.columns[field].unit if field in row.match.columns else None
    if of_heading is not None or length is None:
        return of_heading
    # Beside feet a bare tolerance is in inches, beside metres in millimetres: nobody saws to half a metre.
    return Unit.INCH if length.measure is Measure.INCH else Unit.MM


def _angles(row: RowReader) -> tuple[float, float]:
    """End angles in degrees from square, from a column for each end or from one for both (``45/-30``)."""
    if row.cell("angles") is None:
        a = row.read("angle_a", lambda text: parse_angle(text, decimal=row.decimal("angle_a")))
        b = row.read("angle_b", lambda text: parse_angle(text, decimal=row.decimal("angle_b")))
        return a or 0.0, b or 0.0

    def both(text: str) -> tuple[float, float]:
        ends = [parse_angle(end, decimal=row.decimal("angles")) for end in text.replace(";", "/").split("/")]
        if len(ends) == 1 and ends[0] == 0:
            return 0.0, 0.0
        if len(ends) != 2:
            raise UnreadableText(
                text, "doesn't say the angle of each end", "write both ends, such as 45/0 or 45/-45"
            )
        return ends[0], ends[1]

    return row.read("angles", both) or (0.0, 0.0)
