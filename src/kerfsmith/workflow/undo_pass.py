"""Undoing the last cut through a load: it is taken back in all bars that it went through, or in none."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.cut_log import CutEntry, last_standing
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_in_saw, refuse_if_out_of_step
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import Floor
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused
from kerfsmith.workflow.undo_cut import refuse_measured, undo_of


@dataclass(frozen=True, slots=True)
class BarUndo:
    """The ``number``-th entry of a bar's log, to be known as ``undo_id``."""

    bar_id: str
    undo_id: str
    number: int


@dataclass(frozen=True, slots=True)
class UndoPass:
    """The pass ``pass_id``, the last of all its bars, was logged by mistake.

    Raises InvalidValue for a bar told twice.
    """

    pass_id: str
    undos: tuple[BarUndo, ...]
    note: str = ""

    def __post_init__(self) -> None:
        if len({one.bar_id for one in self.undos}) < len(self.undos):
            raise InvalidValue("an undo is told once of each bar")


@dataclass(frozen=True, slots=True)
class PassUndone:
    """The entries that took it back."""

    pass_id: str
    entries: tuple[CutEntry, ...]


def undo_pass(
    records: Records, told: UndoPass, *, by: Person, at: datetime, event: EventMark | None = None
) -> PassUndone | Refusal:
    """Take back the last pass in every bar it went through, one that was taken out since too.

    Refused as a whole: other bars than it went through, a bar with a later entry or not in the saw any more,
    an entry number that another has taken, a piece that measured wrong.
    """

    def body(change: Change) -> PassUndone:
        floor = change.floor
        made = {entry.bar_id: entry for entry in floor.entries_of_pass(told.pass_id)}
        if not made:
            raise Refused("unknown-pass", sentence("no pass is known as {id}", id=told.pass_id))
        if set(made) != {one.bar_id for one in told.undos}:
            raise Refused(
                "load-changed",
                sentence(
                    "this pass went through {count} bars, and the undo was told of others", count=len(made)
                ),
                "Undo it in all bars that it went through",
            )
        return PassUndone(
            told.pass_id, tuple(_undo(floor, told, one, made[one.bar_id], by, at) for one in told.undos)
        )

    return act(
        records,
        Verb.UNDO_PASS,
        body,
        answer_as=PassUndone,
        told=told,
        subject=told.pass_id,
        by=by,
        at=at,
        event=event,
    )


def _undo(floor: Floor, told: UndoPass, one: BarUndo, made: CutEntry, by: Person, at: datetime) -> CutEntry:
    _, at_saw = bar_in_saw(floor, one.bar_id)
    log = floor.entries(one.bar_id)
    refuse_if_out_of_step(at_saw, one.number, log)
    last = last_standing(log)
    if last is None or last.id != made.id:
        raise Refused(
            "not-last",
            sentence("of bar {label} it isn't the last entry", label=at_saw.bar.label),
            "Undo from the end, one by one",
        )
    refuse_measured(floor, made)
    undo = undo_of(made, one.undo_id, one.number, told.note, by=by, at=at)
    floor.log(undo)
    return undo
