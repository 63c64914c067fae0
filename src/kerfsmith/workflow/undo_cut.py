"""Undoing the last entry of a bar's log: a new entry that takes it back."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.cut_log import CutEntry, EntryKind, last_standing
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_in_saw, refuse_if_out_of_step
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import Floor
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class UndoCut:
    """The entry ``cut_id``, the last that stands of its bar, was logged by mistake."""

    undo_id: str
    bar_id: str
    number: int
    cut_id: str
    note: str = ""


def undo_cut(
    records: Records, told: UndoCut, *, by: Person, at: datetime, event: EventMark | None = None
) -> CutEntry | Refusal:
    """Take back the last entry. Refused when it isn't the last that stands, somebody wrote after it, it is a
    piece that measured wrong, or it went through a load.
    """

    def body(change: Change) -> CutEntry:
        floor = change.floor
        _, at_saw = bar_in_saw(floor, told.bar_id)
        entries = floor.entries(told.bar_id)
        refuse_if_out_of_step(at_saw, told.number, entries)
        last = last_standing(entries)
        if last is None or last.id != told.cut_id:
            raise Refused(
                "not-last", "only the last entry of a bar can be undone", "Undo from the end, one by one"
            )
        if last.pass_id:
            raise Refused(
                "through-load",
                sentence("the last cut of bar {label} went through a load", label=at_saw.bar.label),
                "Undo the cut in all bars of the load",
            )
        refuse_measured(floor, last)
        undo = undo_of(last, told.undo_id, told.number, told.note, by=by, at=at)
        floor.log(undo)
        return undo

    return act(
        records,
        Verb.UNDO_CUT,
        body,
        answer_as=CutEntry,
        told=told,
        subject=told.bar_id,
        by=by,
        at=at,
        event=event,
    )


def refuse_measured(floor: Floor, last: CutEntry) -> None:
    """Refuse to take back a piece that measured wrong: it was cut."""
    if any(one.piece.id == last.id for one in floor.failed((last.run_id,))):
        raise Refused(
            "piece-measured",
            sentence("{mark} was measured and is out: it was cut, and that stays", mark=last.mark),
            "Scrap it, or cut or measure it again",
        )


def undo_of(last: CutEntry, undo_id: str, number: int, note: str, *, by: Person, at: datetime) -> CutEntry:
    """The entry that takes ``last`` back, as the ``number``-th of its bar."""
    return CutEntry(
        id=undo_id,
        number=number,
        bar_id=last.bar_id,
        run_id=last.run_id,
        kind=EntryKind.UNDO,
        parts=-last.parts,
        area_cm2=-last.area_cm2,
        saw=last.saw,
        by=by.name,
        at=at,
        line_id=last.line_id,
        mark=last.mark,
        length_um=last.length_um,
        mounting=last.mounting,
        corrects=last.id,
        note=note,
        load_id=last.load_id,
        pass_id=last.pass_id,
    )
