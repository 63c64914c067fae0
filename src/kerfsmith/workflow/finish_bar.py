"""Finishing a bar: nothing more is cut from it, and what is left is in hand."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.shop.person import Person
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import bar_in_saw, keep_bar, refuse_in_load
from kerfsmith.workflow.bar_progress import still_to_cut
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class FinishBar:
    """The bar is cut out. ``measured_um`` is what is left by the rule, else what is reckoned holds."""

    bar_id: str
    measured_um: int | None = None


@dataclass(frozen=True, slots=True)
class BarFinished:
    """The bar with its remnant in hand: whether the shop keeps one so long, and a label free for it.

    ``not_cut`` are pieces of its pattern that weren't cut.
    """

    bar: BarAtSaw
    worth_keeping: bool
    free_label: str
    not_cut: tuple[PlannedPiece, ...]


def finish_bar(
    records: Records, told: FinishBar, *, by: Person, at: datetime, event: EventMark | None = None
) -> BarFinished | Refusal:
    """End the cutting of a bar. With nothing left it is done with; else put away or scrap what is left."""

    def body(change: Change) -> BarFinished:
        floor = change.floor
        _, at_saw = bar_in_saw(floor, told.bar_id)
        refuse_in_load(at_saw)
        label = floor.free_remnant_labels(1)[0]
        return finished(change, at_saw, told.measured_um, label, by=by, at=at)

    return act(
        records,
        Verb.FINISH_BAR,
        body,
        answer_as=BarFinished,
        told=told,
        subject=told.bar_id,
        by=by,
        at=at,
        event=event,
    )


def finished(
    change: Change, at_saw: BarAtSaw, measured_um: int | None, label: str, *, by: Person, at: datetime
) -> BarFinished:
    """The bar ended with ``measured_um`` left, by the reckoning where that is None.

    Raises Refused for less than nothing.
    """
    floor, bar = change.floor, at_saw.bar
    left_um = bar.left_um if measured_um is None else measured_um
    if left_um < 0:
        raise Refused("no-length", "no less than nothing can be left", "Key the measured length again")
    state = BarState.FINISHED if left_um else BarState.SCRAPPED
    ended = keep_bar(floor, at_saw, state, left_um, by=by, at=at)
    return BarFinished(
        ended,
        worth_keeping=left_um >= change.rules().least_remnant_um,
        free_label=label,
        not_cut=still_to_cut(ended, floor.entries(bar.id)),
    )
