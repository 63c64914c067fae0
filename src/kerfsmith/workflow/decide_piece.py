"""Deciding on a piece that measured wrong: accepted as it is, or cut or measured again. Scrap is a reject."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.hold import Decision, DecisionKind, FailedPiece
from kerfsmith.shop.inspection import Inspection, InspectionKind, Verdict
from kerfsmith.shop.person import Person
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.told import quantity, sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import run_at_work
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.floor_ports import Floor
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class AcceptPiece:
    """The held piece ``cut_id`` is accepted as it is; ``reason`` says why, or on whose word."""

    decision_id: str
    cut_id: str
    reason: str


@dataclass(frozen=True, slots=True)
class AcceptDoubtful:
    """All pieces of the run that are doubtful now are accepted as they are."""

    decision_id: str
    run_id: str
    reason: str


@dataclass(frozen=True, slots=True)
class MeasureAgain:
    """The held piece was measured again, ``recut`` to length before or not, and is ``measured_um`` long."""

    decision_id: str
    cut_id: str
    measured_um: int
    recut: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class DoubtfulAccepted:
    """What was accepted, one decision a piece."""

    decisions: tuple[Decision, ...]


def accept_piece(
    records: Records, told: AcceptPiece, *, by: Person, at: datetime, event: EventMark | None = None
) -> Decision | Refusal:
    """Let a held piece count as it is, under the name of who accepts it. Refused: one that isn't held."""

    def body(change: Change) -> Decision:
        failed = _held(change.floor, told.cut_id)
        decision = Decision(
            told.decision_id,
            told.cut_id,
            DecisionKind.ACCEPTED,
            _reason(told.reason),
            by.name,
            at,
            failed.inspection.id,
        )
        change.floor.add_decision(decision)
        return decision

    return act(
        records,
        Verb.ACCEPT_PIECE,
        body,
        answer_as=Decision,
        told=told,
        subject=told.cut_id,
        by=by,
        at=at,
        event=event,
    )


def accept_doubtful(
    records: Records, told: AcceptDoubtful, *, by: Person, at: datetime, event: EventMark | None = None
) -> DoubtfulAccepted | Refusal:
    """Let the doubtful pieces of a run count as they are. Refused: there are none."""

    def body(change: Change) -> DoubtfulAccepted:
        run = run_at_work(change.floor, told.run_id)
        pieces = change.floor.doubtful((run.id,))
        if not pieces:
            raise Refused("none-doubtful", sentence("no piece of run {run} is doubtful", run=run.id))
        reason = _reason(told.reason)
        decisions = tuple(
            Decision(f"{told.decision_id}-{at_place}", one.id, DecisionKind.ACCEPTED, reason, by.name, at)
            for at_place, one in enumerate(pieces)
        )
        for decision in decisions:
            change.floor.add_decision(decision)
        return DoubtfulAccepted(decisions)

    return act(
        records,
        Verb.ACCEPT_DOUBTFUL,
        body,
        answer_as=DoubtfulAccepted,
        told=told,
        subject=told.run_id,
        by=by,
        at=at,
        event=event,
    )


def measure_again(
    records: Records, told: MeasureAgain, *, by: Person, at: datetime, event: EventMark | None = None
) -> Inspection | Refusal:
    """Keep a held piece's new measure; where it is within what is allowed, the piece is held no more.

    Refused: a piece that isn't held, or one that was too short and was cut again.
    """

    def body(change: Change) -> Inspection:
        floor = change.floor
        failed = _held(floor, told.cut_id)
        former = failed.inspection
        _refuse_odd_measure(told, former)
        inspection = Inspection(
            id=f"{told.decision_id}-m",
            cut_id=told.cut_id,
            kind=InspectionKind.EXTRA,
            nominal_um=former.nominal_um,
            plus_um=former.plus_um,
            minus_um=former.minus_um,
            measured_um=told.measured_um,
            by=by.name,
            at=at,
        )
        floor.add_inspection(inspection)
        if not inspection.verdict.is_out:
            kind = DecisionKind.RECUT if told.recut else DecisionKind.MEASURED_AGAIN
            floor.add_decision(
                Decision(told.decision_id, told.cut_id, kind, told.note, by.name, at, former.id)
            )
        return inspection

    return act(
        records,
        Verb.MEASURE_AGAIN,
        body,
        answer_as=Inspection,
        told=told,
        subject=told.cut_id,
        by=by,
        at=at,
        event=event,
    )


def _held(floor: Floor, cut_id: str) -> FailedPiece:
    piece = floor.entry(cut_id)
    if piece is None:
        raise Refused("unknown-piece", sentence("no piece was logged as {cut_id}", cut_id=cut_id))
    floor.hold_saw(piece.saw)
    held = [one for one in floor.failed((piece.run_id,)) if one.piece.id == cut_id and one.is_held]
    if not held:
        raise Refused(
            "not-held",
            sentence("piece {mark} is not held", mark=piece.mark),
            "Look at the run: others may have decided",
        )
    return held[0]


def _reason(text: str) -> str:
    reason = text.strip()
    if not reason:
        raise Refused(
            "no-reason", "a piece is accepted for a reason", "Say why it will do, or who agreed to it"
        )
    return reason


def _refuse_odd_measure(told: MeasureAgain, former: Inspection) -> None:
    if told.measured_um <= 0:
        raise Refused("no-length", "a piece is longer than nothing", "Key the measured length again")
    if told.recut and former.verdict is Verdict.SHORT:
        raise Refused(
            "too-short-to-recut",
            sentence(
                "the piece measured {measured} and was too short already",
                measured=quantity(um_to_mm(former.measured_um), "mm"),
            ),
            "Scrap it, or measure it again",
        )
