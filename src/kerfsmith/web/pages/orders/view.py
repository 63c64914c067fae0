"""What the pages of orders and uploads show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kerfsmith.errors import Finding
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.web.backstage import Column, UnknownGrade, UploadKind, UploadRead
from kerfsmith.web.findings import FindingRow, finding_rows, findings_words
from kerfsmith.web.reading import Reading
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say, say_many
from kerfsmith.workflow.allow_substitutes import AllowSubstitutes

_BETWEEN = "; "


@dataclass(frozen=True, slots=True)
class LineRow:
    """One line of an order."""

    mark: str
    grade: str
    section: str
    length: str
    tolerance: str
    quantity: str
    due: str
    ends: str
    notes: str
    or_grades: str = ""
    or_sections: str = ""
    is_mitred: bool = False
    href: str = ""
    """Where what it may be cut from instead is changed; "" where it can't be."""


@dataclass(frozen=True, slots=True)
class InsteadPage:
    """The form of what one line may be cut from instead; ``problem`` is why the last try was not kept."""

    mark: str
    ordered: str
    order: str
    or_grades: str
    or_sections: str
    action: str
    back: str
    problem: str = ""


@dataclass(frozen=True, slots=True)
class OrderSheet:
    """One order with its lines; ``is_open`` where pieces of it are still to be planned."""

    id: str
    name: str
    anchor: str
    words: str
    drop_href: str
    is_open: bool
    lines: tuple[LineRow, ...]


@dataclass(frozen=True, slots=True)
class OrdersPage:
    """All orders on the book, and what was found in the orders that the plan was made from."""

    orders: tuple[OrderSheet, ...]
    findings: tuple[FindingRow, ...]
    findings_words: str


@dataclass(frozen=True, slots=True)
class ColumnRow:
    """One column of a file that a person may name."""

    index: int
    heading: str
    samples: str
    field: str
    sure: bool


@dataclass(frozen=True, slots=True)
class GradeChoice:
    """A name that says no grade, how often it comes, and the grades near it, to choose from first."""

    name: str
    words: str
    near: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UploadPage:
    """A file as it was read, before it is kept.

    ``sure`` lets it be kept; ``asks`` lays the columns open because something is to be said first.
    ``price_href`` leads to a quote of its lines, "" where none are made. ``grade_choices`` are names for
    which the grade is asked, ``grades`` all there are; ``may_name`` is whether the reader's words are kept.
    """

    question: str
    id: str
    file: str
    is_order: bool
    sure: bool
    asks: bool
    needs_unit: bool
    words: str
    keeps: bool
    keep_label: str
    has_columns: bool
    columns: tuple[ColumnRow, ...]
    fields: tuple[tuple[str, str], ...]
    findings: tuple[FindingRow, ...]
    findings_words: str
    lines: tuple[LineRow, ...]
    price_href: str = ""
    grade_choices: tuple[GradeChoice, ...] = ()
    grades: tuple[str, ...] = ()
    may_name: bool = False
    problem: str = ""


def orders_page(
    orders: Sequence[Order], findings: Sequence[Finding], reading: Reading, in_runs: Mapping[str, int]
) -> OrdersPage:
    """The book, newest order last; ``in_runs`` counts the pieces of each line that runs have or had."""
    return OrdersPage(
        tuple(_order_sheet(order, reading, in_runs) for order in orders),
        finding_rows(findings),
        findings_words(findings),
    )


def upload_page(
    read: UploadRead,
    reading: Reading,
    *,
    priced: bool = False,
    grades: Sequence[str] = (),
    may_name: bool = False,
    problem: str = "",
) -> UploadPage:
    """A file that is held: what it is taken for and what was found in it."""
    lines = read.order.lines if read.order else ()
    good = len(lines) if read.kind is UploadKind.ORDER else len(read.rack.bars) if read.rack else 0
    many = (
        say_many("{count} line", "{count} lines", good)
        if read.kind is UploadKind.ORDER
        else say_many("{count} entry", "{count} entries", good)
    )
    return UploadPage(
        question=_question(read, good),
        id=read.id,
        file=read.file,
        is_order=read.kind is UploadKind.ORDER,
        sure=read.sure and good > 0,
        asks=not read.sure or read.needs_unit or not good,
        needs_unit=read.needs_unit,
        words=say("{many} can be used; {findings}.", many=many, findings=findings_words(read.findings)),
        keeps=good > 0,
        keep_label=say("Keep {many}", many=many),
        has_columns=bool(read.columns) or read.needs_unit,
        columns=tuple(map(_column_row, read.columns)),
        fields=tuple((key, say(words)) for key, words in read.fields),
        findings=finding_rows(read.findings),
        findings_words=findings_words(read.findings),
        lines=tuple(line_row(line, reading) for line in lines),
        price_href=f"/quotes/new?upload={read.id}" if priced and lines else "",
        grade_choices=tuple(GradeChoice(one.name, _written(one), one.near) for one in read.unknown_grades),
        grades=tuple(grades) if read.unknown_grades else (),
        may_name=may_name,
        problem=problem,
    )


def _written(unknown: UnknownGrade) -> str:
    many = say_many("once", "{count} times", unknown.count)
    if not unknown.name:
        return say("no grade told, {many}", many=many)
    return f"{unknown.name}, {many}"


def _question(read: UploadRead, good: int) -> str:
    if not good and not read.columns and not read.unknown_grades:
        return say("Why can nothing of it be used?")
    if not read.sure or (not good and not read.needs_unit and not read.unknown_grades):
        return say("Which column is which?")
    if read.unknown_grades and not read.needs_unit:
        return say("Which grades are meant?")
    if read.needs_unit:
        return say("Are the plain numbers millimetres or inches?")
    return say("Is this what the file means?")


def instead_page(
    order: Order, line: OrderLine, told: AllowSubstitutes | None = None, problem: str = ""
) -> InsteadPage:
    """The form for a line of ``order``, filled in as it is on the book, or as it was told and not kept."""
    grades = told.or_grades if told else line.or_grades
    sections = told.or_sections if told else tuple(section.name for section in line.or_sections)
    return InsteadPage(
        mark=line.mark,
        ordered=line.material.name,
        order=order.name,
        or_grades=_BETWEEN.join(grades),
        or_sections=_BETWEEN.join(sections),
        action=link("orders", order.id, "instead", line.id),
        back=f"/orders#{link(order.id)[1:]}",
        problem=problem,
    )


def parted(text: str) -> tuple[str, ...]:
    """Several names in one field, parted by semicolons."""
    return tuple(part.strip() for part in text.split(";") if part.strip())


def line_row(line: OrderLine, reading: Reading, order_id: str = "") -> LineRow:
    """A line in the reader's measure; of an order on the book where ``order_id`` is given."""
    return LineRow(
        mark=line.mark,
        grade=line.grade,
        section=line.section.name,
        length=reading.length(line.length_um),
        tolerance=_tolerance(line, reading),
        quantity=str(line.quantity),
        due=line.due.isoformat() if line.due else "",
        ends=_ends(line),
        notes=line.notes,
        or_grades=" / ".join(line.or_grades),
        or_sections=" / ".join(section.name for section in line.or_sections),
        is_mitred=line.is_mitred,
        href=link("orders", order_id, "instead", line.id) if order_id else "",
    )


def _ends(line: OrderLine) -> str:
    if not line.is_mitred:
        return say("square")
    return f"{line.angle_a_deg:.4g}° / {line.angle_b_deg:.4g}°" + (f", {line.lie}" if line.lie else "")


def _tolerance(line: OrderLine, reading: Reading) -> str:
    if line.plus_um is None and line.minus_um is None:
        return ""
    plus, minus = line.plus_um or 0, line.minus_um or 0
    if plus == minus:
        return f"± {reading.bare_length(plus)}"
    return f"+{reading.bare_length(plus)} −{reading.bare_length(minus)}"


def _order_sheet(order: Order, reading: Reading, in_runs: Mapping[str, int]) -> OrderSheet:
    taken = sum(min(line.quantity, in_runs.get(line.id, 0)) for line in order.lines)
    customers = dict.fromkeys(line.customer for line in order.lines if line.customer)
    first_due = min((line.due for line in order.lines if line.due), default=None)
    told = [
        say_many("1 line", "{count} lines", len(order.lines)),
        say_many("1 piece", "{count} pieces", order.pieces),
    ]
    told += [say_many("1 of them in a run or cut", "{count} of them in runs or cut", taken)] if taken else []
    told += [say("first due {first_due}", first_due=first_due.isoformat())] if first_due else []
    told += (
        [
            say("for {customers}", customers=", ".join(list(customers)[:3]))
            + (say(" and others") if len(customers) > 3 else "")
        ]
        if customers
        else []
    )
    return OrderSheet(
        id=order.id,
        name=order.name,
        anchor=link(order.id)[1:],
        words=", ".join(told),
        drop_href=f"{link('orders', order.id)}/drop",
        is_open=taken < order.pieces or not order.pieces,
        lines=tuple(line_row(line, reading, order.id) for line in order.lines),
    )


def _column_row(column: Column) -> ColumnRow:
    samples = ", ".join(text for text in column.samples if text.strip())
    return ColumnRow(column.index, column.heading, samples, column.field, column.sure)
