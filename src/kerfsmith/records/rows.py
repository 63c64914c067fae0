"""Rows of the tables to values and back."""

from typing import Any

from kerfsmith.planning.plan import PlannedBar, PlannedPiece
from kerfsmith.records.codec import from_document, read_section_document, section_document, to_document
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.units.told import kept, marked


def line_row(order_id: str, place: int, line: OrderLine) -> dict[str, Any]:
    """Row of one order line."""
    return {
        "order_id": order_id,
        "id": line.id,
        "position": place,
        "mark": line.mark,
        "grade": line.grade,
        "section_key": line.section.key,
        "section": section_document(line.section),
        "length_um": line.length_um,
        "quantity": line.quantity,
        "plus_um": line.plus_um,
        "minus_um": line.minus_um,
        "due": line.due,
        "angle_a_deg": line.angle_a_deg,
        "angle_b_deg": line.angle_b_deg,
        "notes": marked(line.notes),
        "order_name": line.order,
        "customer": line.customer,
        "row": line.row,
        "lie": line.lie or None,
        **leave_row(line),
    }


def leave_row(line: OrderLine) -> dict[str, Any]:
    """The columns that say what a line may be cut from instead."""
    return {
        "or_grades": list(line.or_grades) or None,
        "or_sections": [section_document(section) for section in line.or_sections] or None,
    }


def read_line(row: Any) -> OrderLine:
    """Order line of a row."""
    return OrderLine(
        id=row.id,
        mark=row.mark,
        grade=row.grade,
        section=read_section_document(row.section),
        length_um=row.length_um,
        quantity=row.quantity,
        plus_um=row.plus_um,
        minus_um=row.minus_um,
        due=row.due,
        angle_a_deg=row.angle_a_deg,
        angle_b_deg=row.angle_b_deg,
        notes=kept(row.notes),
        order=row.order_name,
        customer=row.customer,
        row=row.row,
        lie=row.lie or "",
        or_grades=tuple(row.or_grades or ()),
        or_sections=tuple(map(read_section_document, row.or_sections or ())),
    )


def bar_row(bar: Bar) -> dict[str, Any]:
    """Row of one rack entry."""
    return {
        "id": bar.id,
        "grade": bar.grade,
        "section_key": bar.section.key,
        "section": section_document(bar.section),
        "length_um": bar.length_um,
        "count": bar.count,
        "heat": bar.heat or None,
        "place": bar.place,
        "price": bar.price,
        "kind": bar.kind.value,
        "row": bar.row,
        "end_is_good": int(bar.end_is_good),
    }


def read_bar(row: Any, count: int | None = None) -> Bar:
    """Rack entry of a row, or so many of it."""
    return Bar(
        id=row.id,
        grade=row.grade,
        section=read_section_document(row.section),
        length_um=row.length_um,
        count=row.count if count is None else count,
        heat=row.heat or "",
        place=row.place,
        price=row.price,
        kind=BarKind(row.kind),
        row=row.row,
        end_is_good=bool(row.end_is_good),
    )


def planned_bar_row(plan_id: str, group_id: str, place: int, bar: PlannedBar) -> dict[str, Any]:
    """Row of one planned bar."""
    keys = {"plan_id": plan_id, "group_id": group_id, "position": place, "bar_id": bar.bar_id}
    return keys | planned_columns(bar)


def planned_columns(bar: PlannedBar) -> dict[str, Any]:
    """The columns of a planned bar wherever it stands, without its keys and its name."""
    return {
        "kind": bar.kind.value,
        "length_um": bar.length_um,
        "times": bar.times,
        "at_once": bar.at_once,
        "heat": bar.heat,
        "place": bar.place,
        "facing_um": bar.facing_um,
        "facing_kerf_um": bar.facing_kerf_um,
        "pieces_um": bar.pieces_um,
        "kerfs_um": bar.used_um - bar.pieces_um,
        "remnant_um": bar.remnant_um,
        "keep": int(bar.keep),
        "pieces": to_document(bar.pieces, tuple[PlannedPiece, ...]),
    }


def read_planned_bar(row: Any) -> PlannedBar:
    """Planned bar of a row."""
    return read_planned(row, row.bar_id)


def read_planned(row: Any, bar_id: str) -> PlannedBar:
    """Planned bar called ``bar_id`` of the columns that `planned_columns` writes."""
    return PlannedBar(
        bar_id=bar_id,
        kind=BarKind(row.kind),
        length_um=row.length_um,
        times=row.times,
        heat=row.heat,
        place=row.place,
        facing_um=row.facing_um,
        facing_kerf_um=row.facing_kerf_um,
        pieces=from_document(row.pieces, tuple[PlannedPiece, ...]),
        remnant_um=row.remnant_um,
        keep=bool(row.keep),
        at_once=row.at_once,
    )
