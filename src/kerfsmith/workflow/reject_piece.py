"""Rejecting a piece that was logged as good: a new entry says so, and one more is wanted again."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.cut_log import CutEntry, EntryKind, Outcome, ScrapReason, pieces_standing, rejected_ids
from kerfsmith.shop.loaded_bar import Parts
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import run_at_work
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class RejectPiece:
    """The good piece ``cut_id`` turned out to be no good."""

    reject_id: str
    cut_id: str
    reason: ScrapReason
    note: str = ""


def reject_piece(
    records: Records, told: RejectPiece, *, by: Person, at: datetime, event: EventMark | None = None
) -> CutEntry | Refusal:
    """Count a good or surplus piece as scrapped, its bar closed or not. Refused when it isn't good now."""

    def body(change: Change) -> CutEntry:
        floor = change.floor
        piece = floor.entry(told.cut_id)
        if piece is None:
            raise Refused("unknown-cut", sentence("no cut was logged as {cut_id}", cut_id=told.cut_id))
        run_at_work(floor, piece.run_id)
        entries = floor.entries(piece.bar_id)
        good = {entry.id for entry in pieces_standing(entries) if entry.outcome is not Outcome.SCRAPPED}
        if piece.id not in good - rejected_ids(entries):
            raise Refused("not-good", sentence("piece {mark} is not a good piece now", mark=piece.mark))
        reject = CutEntry(
            id=told.reject_id,
            number=len(entries) + 1,
            bar_id=piece.bar_id,
            run_id=piece.run_id,
            kind=EntryKind.REJECT,
            parts=Parts(pieces_um=-piece.parts.pieces_um, scrap_um=piece.parts.pieces_um),
            area_cm2=0.0,
            saw=piece.saw,
            by=by.name,
            at=at,
            line_id=piece.line_id,
            mark=piece.mark,
            length_um=piece.length_um,
            outcome=Outcome.SCRAPPED,
            reason=told.reason,
            mounting=piece.mounting,
            corrects=piece.id,
            note=told.note,
        )
        floor.log(reject)
        return reject

    return act(
        records,
        Verb.REJECT_PIECE,
        body,
        answer_as=CutEntry,
        told=told,
        subject=told.cut_id,
        by=by,
        at=at,
        event=event,
    )
