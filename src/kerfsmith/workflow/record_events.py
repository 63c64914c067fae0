"""Recording what a panel sent, one event or a queue of them after the network came back."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from kerfsmith.shop.person import Person
from kerfsmith.workflow.change_band import ChangeBand, change_band
from kerfsmith.workflow.change_run import ChangeRun, Replan, change_run
from kerfsmith.workflow.cut_load import CutLoad, cut_load
from kerfsmith.workflow.decide_piece import (
    AcceptDoubtful,
    AcceptPiece,
    MeasureAgain,
    accept_doubtful,
    accept_piece,
    measure_again,
)
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.finish_bar import FinishBar, finish_bar
from kerfsmith.workflow.finish_load import FinishLoad, finish_load
from kerfsmith.workflow.finish_run import FinishRun, finish_run
from kerfsmith.workflow.inspect_piece import InspectPiece, inspect_piece
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import LogCut, log_cut
from kerfsmith.workflow.measure_bar import MeasureBar, measure_bar
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.reject_piece import RejectPiece, reject_piece
from kerfsmith.workflow.return_bar import ReturnBar, return_bar
from kerfsmith.workflow.scrap_remnant import ScrapRemnant, scrap_remnant
from kerfsmith.workflow.stop_saw import ResumeSaw, StopSaw, resume_saw, stop_saw
from kerfsmith.workflow.take_out import TakeOut, take_out
from kerfsmith.workflow.undo_cut import UndoCut, undo_cut
from kerfsmith.workflow.undo_pass import UndoPass, undo_pass

PanelVerb = (
    LoadBar
    | ReturnBar
    | MeasureBar
    | LogCut
    | UndoCut
    | CutLoad
    | UndoPass
    | TakeOut
    | RejectPiece
    | InspectPiece
    | MeasureAgain
    | AcceptPiece
    | AcceptDoubtful
    | FinishBar
    | FinishLoad
    | PutAway
    | ScrapRemnant
    | FinishRun
    | ChangeRun
    | ChangeBand
    | StopSaw
    | ResumeSaw
)
"""Everything a panel may record while it is away from the network."""

_VERBS: dict[type[Any], Callable[..., Any]] = {
    LoadBar: load_bar,
    ReturnBar: return_bar,
    MeasureBar: measure_bar,
    LogCut: log_cut,
    UndoCut: undo_cut,
    CutLoad: cut_load,
    UndoPass: undo_pass,
    TakeOut: take_out,
    RejectPiece: reject_piece,
    InspectPiece: inspect_piece,
    MeasureAgain: measure_again,
    AcceptPiece: accept_piece,
    AcceptDoubtful: accept_doubtful,
    FinishBar: finish_bar,
    FinishLoad: finish_load,
    PutAway: put_away,
    ScrapRemnant: scrap_remnant,
    FinishRun: finish_run,
    ChangeBand: change_band,
    StopSaw: stop_saw,
    ResumeSaw: resume_saw,
}


@dataclass(frozen=True, slots=True)
class PanelEvent:
    """What was done at a panel, by whom, when it happened there, and the mark that makes it count once."""

    told: PanelVerb
    by: Person
    at: datetime
    mark: EventMark


def record_event(records: Records, event: PanelEvent, replan: Replan) -> object:
    """Do one event; the verb's answer, or its Refusal."""
    if isinstance(event.told, ChangeRun):
        return change_run(records, event.told, replan, by=event.by, at=event.at, event=event.mark)
    verb = _VERBS[type(event.told)]
    return verb(records, event.told, by=event.by, at=event.at, event=event.mark)


def record_events(records: Records, events: Sequence[PanelEvent], replan: Replan) -> tuple[object, ...]:
    """Do the events of a panel in the order of their numbers; the answers in that order.

    A refusal of one doesn't hold up the others: each says for itself what it needs. But where an earlier
    event is missing, it and all after it come back as ``events-missing`` and are to be sent again.
    """
    answers: list[object] = []
    for event in sorted(events, key=lambda one: one.mark.number):
        answers.append(record_event(records, event, replan))
    return tuple(answers)


def is_kept(answer: object) -> bool:
    """Whether a panel may strike an event off its queue: all but one whose predecessors are missing."""
    return not (isinstance(answer, Refusal) and answer.code in ("events-missing", "overtaken"))
