"""Rows of what happens at the saws, to values and back."""

from typing import Any

from kerfsmith.planning.plan import PlannedBar, PlannedPiece
from kerfsmith.records.codec import from_document, read_section_document, section_document, to_document
from kerfsmith.records.rows import planned_columns, read_planned
from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome, ScrapReason
from kerfsmith.shop.inspection import Inspection, InspectionKind
from kerfsmith.shop.load import Load
from kerfsmith.shop.loaded_bar import BarState, LoadedBar, Parts
from kerfsmith.shop.run import Run, RunLine, RunState
from kerfsmith.shop.saw_stop import Stop, StopReason
from kerfsmith.units.told import kept, marked
from kerfsmith.workflow.floor_ports import BarAtSaw

Row = dict[str, Any]
Pieces = tuple[PlannedPiece, ...]


def run_row(run: Run) -> Row:
    """Row of a run."""
    return {
        "id": run.id,
        "plan_id": run.plan_id,
        "group_id": run.group_id,
        "saw_id": run.saw,
        "saw_name": run.saw_name,
        "grade": run.grade,
        "section_key": run.section.key,
        "section": section_document(run.section),
        "area_cm2": run.area_cm2,
        "kerf_um": run.kerf_um,
        "grip_um": run.grip_um,
        "state": run.state.value,
        "revision": run.revision,
        "released_at": run.released_at,
        "released_by": run.released_by,
        "finished_at": run.finished_at,
        "finished_by": run.finished_by,
    }


def read_run(row: Any) -> Run:
    """Run of a row."""
    return Run(
        id=row.id,
        plan_id=row.plan_id,
        group_id=row.group_id,
        saw=row.saw_id,
        saw_name=row.saw_name,
        grade=row.grade,
        section=read_section_document(row.section),
        area_cm2=row.area_cm2,
        kerf_um=row.kerf_um,
        grip_um=row.grip_um,
        state=RunState(row.state),
        revision=row.revision,
        released_at=row.released_at,
        released_by=row.released_by,
        finished_at=row.finished_at,
        finished_by=row.finished_by,
    )


def run_line_row(line: RunLine, place: int) -> Row:
    """Row of a line of a run."""
    return {
        "run_id": line.run_id,
        "line_id": line.line_id,
        "position": place,
        "mark": line.mark,
        "length_um": line.length_um,
        "kerf_um": line.kerf_um,
        "wanted": line.wanted,
        "good": line.good,
        "surplus": line.surplus,
        "scrapped": line.scrapped,
        "angle_a_deg": line.angle_a_deg,
        "angle_b_deg": line.angle_b_deg,
        "plus_um": line.plus_um,
        "minus_um": line.minus_um,
        "due": line.due,
        "order_id": line.order_id,
        "order_name": line.order,
        "customer": line.customer,
        "notes": marked(line.notes),
        "lie": line.lie or None,
        "ordered": line.ordered or None,
    }


def read_run_line(row: Any) -> RunLine:
    """Line of a run of a row."""
    return RunLine(
        run_id=row.run_id,
        line_id=row.line_id,
        mark=row.mark,
        length_um=row.length_um,
        kerf_um=row.kerf_um,
        wanted=row.wanted,
        good=row.good,
        surplus=row.surplus,
        scrapped=row.scrapped,
        angle_a_deg=row.angle_a_deg,
        angle_b_deg=row.angle_b_deg,
        plus_um=row.plus_um,
        minus_um=row.minus_um,
        due=row.due,
        order_id=row.order_id,
        order=row.order_name,
        customer=row.customer,
        notes=kept(row.notes),
        lie=row.lie or "",
        ordered=row.ordered or "",
    )


def run_bar_row(run_id: str, revision: int, place: int, bar: PlannedBar) -> Row:
    """Row of a planned bar of a run."""
    keys = {"run_id": run_id, "revision": revision, "position": place, "label": bar.bar_id}
    return keys | planned_columns(bar)


def read_run_bar(row: Any) -> PlannedBar:
    """Planned bar of a run of a row."""
    return read_planned(row, row.label)


def loaded_row(at_saw: BarAtSaw, grade: str, section_key: str, times: int) -> Row:
    """Row of a loaded bar."""
    bar = at_saw.bar
    return {
        "id": bar.id,
        "run_id": bar.run_id,
        "saw_id": bar.saw,
        "revision": bar.revision,
        "position": bar.position,
        "times": times,
        "copy": bar.copy,
        "load_id": bar.load_id or None,
        "label": bar.label,
        "grade": grade,
        "section_key": section_key,
        "heat": bar.heat or None,
        "labelled_um": bar.labelled_um,
        "length_um": bar.length_um,
        "trims_um": bar.parts.trims_um,
        "kerfs_um": bar.parts.kerfs_um,
        "pieces_um": bar.parts.pieces_um,
        "scrap_um": bar.parts.scrap_um,
        "left_um": bar.left_um,
        "state": bar.state.value,
        "entries": bar.entries,
        "facing_um": at_saw.facing_um,
        "facing_kerf_um": at_saw.facing_kerf_um,
        "pattern": to_document(at_saw.pattern, Pieces),
        "loaded_at": bar.loaded_at,
        "loaded_by": bar.loaded_by,
        "closed_at": None,
        "closed_by": "",
    }


def read_loaded(row: Any) -> BarAtSaw:
    """Loaded bar of a row."""
    bar = LoadedBar(
        id=row.id,
        run_id=row.run_id,
        saw=row.saw_id,
        revision=row.revision,
        position=row.position,
        label=row.label,
        heat=row.heat or "",
        labelled_um=row.labelled_um,
        length_um=row.length_um,
        parts=Parts(row.trims_um, row.kerfs_um, row.pieces_um, row.scrap_um),
        left_um=row.left_um,
        state=BarState(row.state),
        entries=row.entries,
        loaded_at=row.loaded_at,
        loaded_by=row.loaded_by,
        copy=row.copy,
        load_id=row.load_id or "",
    )
    return BarAtSaw(bar, row.facing_um, row.facing_kerf_um, from_document(row.pattern, Pieces))


def load_row(load: Load) -> Row:
    """Row of a load."""
    return {
        "id": load.id,
        "run_id": load.run_id,
        "revision": load.revision,
        "position": load.position,
        "at_once": load.at_once,
        "begun_at": load.begun_at,
        "begun_by": load.begun_by,
        "fewer_why": load.fewer_why,
    }


def read_load(row: Any) -> Load:
    """Load of a row."""
    return Load(
        id=row.id,
        run_id=row.run_id,
        revision=row.revision,
        position=row.position,
        at_once=row.at_once,
        begun_at=row.begun_at,
        begun_by=row.begun_by,
        fewer_why=row.fewer_why,
    )


def cut_row(entry: CutEntry, counts: tuple[int, int, int]) -> Row:
    """Row of an entry of the cut log; ``counts`` are its changes of good, surplus and scrapped pieces."""
    good, surplus, scrapped = counts
    return {
        "id": entry.id,
        "bar_id": entry.bar_id,
        "entry": entry.number,
        "run_id": entry.run_id,
        "kind": entry.kind.value,
        "line_id": entry.line_id,
        "mark": entry.mark,
        "length_um": entry.length_um,
        "outcome": entry.outcome.value if entry.outcome else None,
        "reason": entry.reason.value if entry.reason else None,
        "trims_um": entry.parts.trims_um,
        "kerfs_um": entry.parts.kerfs_um,
        "pieces_um": entry.parts.pieces_um,
        "scrap_um": entry.parts.scrap_um,
        "good": good,
        "surplus": surplus,
        "scrapped": scrapped,
        "area_cm2": entry.area_cm2,
        "saw_id": entry.saw,
        "mounting_id": entry.mounting,
        "by": entry.by,
        "at": entry.at,
        "corrects": entry.corrects,
        "note": entry.note,
        "began_at": entry.began_at,
        "ended_at": entry.ended_at,
        "motor_load_percent": entry.motor_load_percent,
        "motor_power_kw": entry.motor_power_kw,
        "load_id": entry.load_id or None,
        "pass_id": entry.pass_id or None,
    }


def read_cut(row: Any) -> CutEntry:
    """Entry of the cut log of a row."""
    return CutEntry(
        id=row.id,
        number=row.entry,
        bar_id=row.bar_id,
        run_id=row.run_id,
        kind=EntryKind(row.kind),
        parts=Parts(row.trims_um, row.kerfs_um, row.pieces_um, row.scrap_um),
        area_cm2=row.area_cm2,
        saw=row.saw_id,
        by=row.by,
        at=row.at,
        line_id=row.line_id,
        mark=row.mark,
        length_um=row.length_um,
        outcome=Outcome(row.outcome) if row.outcome else None,
        reason=ScrapReason(row.reason) if row.reason else None,
        mounting=row.mounting_id,
        corrects=row.corrects,
        note=row.note,
        began_at=row.began_at,
        ended_at=row.ended_at,
        motor_load_percent=row.motor_load_percent,
        motor_power_kw=row.motor_power_kw,
        load_id=row.load_id or "",
        pass_id=row.pass_id or "",
    )


def read_inspection(row: Any) -> Inspection:
    """Inspection of a row."""
    return Inspection(
        id=row.id,
        cut_id=row.cut_id,
        kind=InspectionKind(row.kind),
        nominal_um=row.nominal_um,
        plus_um=row.plus_um,
        minus_um=row.minus_um,
        measured_um=row.measured_um,
        by=row.by,
        at=row.at,
        out_of_square_um=row.out_of_square_um,
    )


def read_stop(row: Any) -> Stop:
    """Stop of a row."""
    return Stop(
        id=row.id,
        saw=row.saw_id,
        run_id=row.run_id,
        reason=StopReason(row.reason),
        note=row.note,
        began_at=row.began_at,
        began_by=row.began_by,
        ended_at=row.ended_at,
        ended_by=row.ended_by,
    )
