"""Finishing a load: nothing more is cut from any of its bars, and what is left of each is in hand."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import load_in_saw
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.finish_bar import BarFinished, finished
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class LeftOfBar:
    """``left_um`` is what is left of a bar, by the rule."""

    bar_id: str
    left_um: int


@dataclass(frozen=True, slots=True)
class FinishLoad:
    """All bars of the load are cut out. ``measured`` is what is left of some; else the reckoning holds."""

    load_id: str
    measured: tuple[LeftOfBar, ...] = ()


@dataclass(frozen=True, slots=True)
class LoadFinished:
    """The bars, each with its remnant in hand and a free label of its own."""

    load_id: str
    bars: tuple[BarFinished, ...]


def finish_load(
    records: Records, told: FinishLoad, *, by: Person, at: datetime, event: EventMark | None = None
) -> LoadFinished | Refusal:
    """End the cutting of a load; then put away or scrap what is left, bar by bar.

    Refused: a load of which nothing is in the saw, a measure of a bar that isn't in it.
    """

    def body(change: Change) -> LoadFinished:
        floor = change.floor
        _, load, bars = load_in_saw(floor, told.load_id)
        measured = {one.bar_id: one.left_um for one in told.measured}
        strange = sorted(set(measured) - {one.bar.id for one in bars})
        if strange:
            raise Refused(
                "not-in-load", sentence("{bar} is no bar of this load", bar=strange[0]), "Look at the load"
            )
        labels = floor.free_remnant_labels(len(bars))
        ended = tuple(
            finished(change, one, measured.get(one.bar.id), label, by=by, at=at)
            for one, label in zip(bars, labels, strict=True)
        )
        return LoadFinished(load.id, ended)

    return act(
        records,
        Verb.FINISH_LOAD,
        body,
        answer_as=LoadFinished,
        told=told,
        subject=told.load_id,
        by=by,
        at=at,
        event=event,
    )
