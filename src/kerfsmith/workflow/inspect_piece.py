"""Inspecting a piece: its length measured, at the first piece and at intervals."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.shop.inspection import Inspection, InspectionKind
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import refuse_odd_squareness
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class InspectPiece:
    """The piece ``cut_id`` measures ``measured_um``.

    ``out_of_square_um`` is how far its face leans over the section's height, None where it wasn't measured.
    """

    inspection_id: str
    cut_id: str
    kind: InspectionKind
    measured_um: int
    out_of_square_um: int | None = None


def inspect_piece(
    records: Records, told: InspectPiece, *, by: Person, at: datetime, event: EventMark | None = None
) -> Inspection | Refusal:
    """Keep a measured length; its ``verdict`` says whether the piece is within what its line allows.

    Nothing is scrapped by it: reject the piece where it is no good. Refused: a cut that is no piece.
    """

    def body(change: Change) -> Inspection:
        floor = change.floor
        piece = floor.entry(told.cut_id)
        line = floor.line(piece.run_id, piece.line_id) if piece and piece.line_id else None
        if piece is None or line is None or piece.kind is not EntryKind.PIECE:
            raise Refused("unknown-piece", sentence("no piece was logged as {cut_id}", cut_id=told.cut_id))
        if told.measured_um <= 0:
            raise Refused("no-length", "a piece is longer than nothing", "Key the measured length again")
        refuse_odd_squareness(told.out_of_square_um)
        inspection = Inspection(
            id=told.inspection_id,
            cut_id=piece.id,
            kind=told.kind,
            nominal_um=piece.length_um,
            plus_um=line.plus_um,
            minus_um=line.minus_um,
            measured_um=told.measured_um,
            by=by.name,
            at=at,
            out_of_square_um=told.out_of_square_um,
        )
        floor.hold_saw(piece.saw)
        floor.add_inspection(inspection)
        return inspection

    return act(
        records,
        Verb.INSPECT_PIECE,
        body,
        answer_as=Inspection,
        told=told,
        subject=told.cut_id,
        by=by,
        at=at,
        event=event,
    )
