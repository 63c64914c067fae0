"""What a panel's form or its queue tells, read into the verbs' own values. Nothing unchecked gets further."""

import json
from collections.abc import Mapping
from dataclasses import fields as dataclass_fields
from datetime import datetime, timedelta
from typing import Any

from pydantic import AwareDatetime, BaseModel, Field, TypeAdapter, ValidationError

from kerfsmith.errors import InvalidValue, UnreadableText
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.shop.person import Person
from kerfsmith.units.length import LONGEST_UM, Unit
from kerfsmith.units.parse import parse_length
from kerfsmith.workflow.change_band import ChangeBand
from kerfsmith.workflow.change_run import ChangeRun
from kerfsmith.workflow.cut_load import CutLoad
from kerfsmith.workflow.decide_piece import AcceptDoubtful, AcceptPiece, MeasureAgain
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.finish_bar import FinishBar
from kerfsmith.workflow.finish_load import FinishLoad
from kerfsmith.workflow.finish_run import FinishRun
from kerfsmith.workflow.inspect_piece import InspectPiece
from kerfsmith.workflow.load_bar import LoadBar
from kerfsmith.workflow.log_cut import LogCut
from kerfsmith.workflow.measure_bar import MeasureBar
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.put_away import PutAway
from kerfsmith.workflow.record_events import PanelEvent, PanelVerb
from kerfsmith.workflow.reject_piece import RejectPiece
from kerfsmith.workflow.return_bar import ReturnBar
from kerfsmith.workflow.scrap_remnant import ScrapRemnant
from kerfsmith.workflow.stop_saw import ResumeSaw, StopSaw
from kerfsmith.workflow.take_out import TakeOut
from kerfsmith.workflow.undo_cut import UndoCut
from kerfsmith.workflow.undo_pass import UndoPass

_TOLD: dict[Verb, Any] = {
    Verb.LOAD_BAR: LoadBar,
    Verb.RETURN_BAR: ReturnBar,
    Verb.MEASURE_BAR: MeasureBar,
    Verb.LOG_CUT: LogCut,
    Verb.UNDO_CUT: UndoCut,
    Verb.CUT_LOAD: CutLoad,
    Verb.UNDO_PASS: UndoPass,
    Verb.TAKE_OUT: TakeOut,
    Verb.REJECT_PIECE: RejectPiece,
    Verb.INSPECT_PIECE: InspectPiece,
    Verb.MEASURE_AGAIN: MeasureAgain,
    Verb.ACCEPT_PIECE: AcceptPiece,
    Verb.ACCEPT_DOUBTFUL: AcceptDoubtful,
    Verb.FINISH_BAR: FinishBar,
    Verb.FINISH_LOAD: FinishLoad,
    Verb.PUT_AWAY: PutAway,
    Verb.SCRAP_REMNANT: ScrapRemnant,
    Verb.FINISH_RUN: FinishRun,
    Verb.CHANGE_RUN: ChangeRun,
    Verb.CHANGE_BAND: ChangeBand,
    Verb.STOP_SAW: StopSaw,
    Verb.RESUME_SAW: ResumeSaw,
}
PANEL_VERBS = tuple(_TOLD)
"""What a panel may record."""
_ADAPTERS: dict[Verb, TypeAdapter[Any]] = {verb: TypeAdapter(told) for verb, told in _TOLD.items()}
_LONGEST_TEXT = 200
_LONGEST_ID = 80
_MOST_LINES = 500
_FAST_CLOCK = timedelta(minutes=5)
_LENGTH = "_length"
_LEFT_OF = "left_of_"
_OF_ONE = ("scrapped", "measured_um", "out_of_square_um")


class UntoldError(ValueError):
    """What was sent can't be read; says why in words."""


def told_of(verb: Verb, fields: Mapping[str, object]) -> PanelVerb:
    """The value of a verb from its fields. Raises UntoldError."""
    adapter = _ADAPTERS.get(verb)
    if adapter is None:
        raise UntoldError(f"a panel does not record {verb!r}")
    _refuse_wild(fields)
    unknown = sorted(set(fields) - {field.name for field in dataclass_fields(_TOLD[verb])})
    if unknown:
        raise UntoldError(f"{verb} says nothing of {unknown[0].replace('_', ' ')!r}")
    try:
        told: PanelVerb = adapter.validate_python(dict(fields))
    except ValidationError as error:
        raise UntoldError(_first_fault(error)) from error
    except InvalidValue as fault:
        raise UntoldError(str(fault)) from fault
    if isinstance(told, LogCut | CutLoad):
        _refuse_odd_cut(told)
    return told


def _refuse_odd_cut(told: LogCut | CutLoad) -> None:
    lines = [told.line_id] if isinstance(told, LogCut) else [one.line_id for one in told.cuts]
    if not told.kind.is_cut or any((told.kind is EntryKind.PIECE) != bool(line) for line in lines):
        raise UntoldError("a cut is a facing, a trim, or a piece of a line")


def _first_fault(error: ValidationError) -> str:
    fault = error.errors()[0]
    where = " ".join(str(part) for part in fault["loc"] if isinstance(part, str))
    return f"{where.replace('_', ' ')}: {fault['msg'].lower()}"


def _refuse_wild(value: object, depth: int = 0) -> None:
    """Refuse what no panel sends: huge numbers, long or unprintable texts, deep nests."""
    if isinstance(value, str):
        if len(value) > _LONGEST_TEXT or not value.isprintable():
            raise UntoldError("a text is too long or has characters that can't be printed")
    elif isinstance(value, bool) or value is None:
        return
    elif isinstance(value, int | float):
        if not -LONGEST_UM <= value <= LONGEST_UM:
            raise UntoldError("a number is out of all range")
    elif isinstance(value, Mapping) and depth < 4:
        for key, inner in value.items():
            if str(key).endswith("_id") and isinstance(inner, str) and len(inner) > _LONGEST_ID:
                raise UntoldError("an id is too long")
            _refuse_wild(inner, depth + 1)
    elif isinstance(value, list | tuple) and depth < 4 and len(value) <= _MOST_LINES:
        for inner in value:
            _refuse_wild(inner, depth + 1)
    else:
        raise UntoldError("it is of no shape that is known")


def told_of_form(verb: Verb, form: Mapping[str, str], unit: Unit) -> PanelVerb:
    """The value of a verb from a plain form; empty fields are left out, lengths read in ``unit``.

    Raises UntoldError.
    """
    fields: dict[str, object] = {}
    for name, text in form.items():
        if not text.strip():
            continue
        if name.endswith(_LENGTH):
            fields[name.removesuffix(_LENGTH) + "_um"] = _length_um(text, unit)
        else:
            fields[name] = text.strip()
    if verb in (Verb.CUT_LOAD, Verb.UNDO_PASS):
        _unfold(fields)
    if verb is Verb.FINISH_LOAD:
        _gather_left(fields)
    if verb is Verb.CHANGE_RUN and "line_id" in fields:
        line = {key: fields.pop(key) for key in ("line_id", "quantity", "length_um") if key in fields}
        fields["changes"] = (line,)
    elif verb is Verb.CHANGE_RUN and ("quantity" in fields or "length_um" in fields):
        raise UntoldError("of which piece are there to be more or fewer, or another length? Choose it")
    return told_of(verb, fields)


def _unfold(fields: dict[str, object]) -> None:
    """What a form tells of each bar of a load stands in one field as JSON; what it tells of one bar's piece
    (``scrapped``, ``measured_um``, ``out_of_square_um``) names that bar as ``of_bar``.

    Raises UntoldError.
    """
    name = "undos" if "undos" in fields else "cuts"
    try:
        each = json.loads(str(fields.get(name, "")))
    except ValueError:
        each = None
    if not isinstance(each, list):
        raise UntoldError("what was done to each bar can't be read")
    of_one = {key: fields.pop(key) for key in _OF_ONE if key in fields}
    of_bar = fields.pop("of_bar", None)
    if of_one and not any(_is_of(one, of_bar) for one in each):
        raise UntoldError("of which bar is that piece? Choose it")
    fields[name] = [one | of_one if _is_of(one, of_bar) else one for one in each]


def _gather_left(fields: dict[str, object]) -> None:
    """What is left of each bar of a load stands in a field of its own, named for the bar."""
    names = [name for name in fields if name.startswith(_LEFT_OF)]
    fields["measured"] = [
        {"bar_id": name.removeprefix(_LEFT_OF).removesuffix("_um"), "left_um": fields.pop(name)}
        for name in names
    ]


def _is_of(one: object, bar_id: object) -> bool:
    return isinstance(one, dict) and one.get("bar_id") == bar_id


def _length_um(text: str, unit: Unit) -> int:
    try:
        return parse_length(text, bare=unit, decimal=None).um
    except UnreadableText as fault:
        raise UntoldError(f"length {text!r} {fault.problem}") from fault


class SentEvent(BaseModel):
    """One event as a panel sends it. ``key`` is the digest of the session in which it was made."""

    id: str = Field(min_length=1, max_length=_LONGEST_ID)
    number: int = Field(ge=1, le=1_000_000_000)
    at: AwareDatetime
    key: str = Field(default="", max_length=64)
    verb: Verb
    told: dict[str, object]


class SentQueue(BaseModel):
    """A panel's queue, oldest first; ``show`` is the run whose panel is wanted back, "" for none.

    Events are read one by one, so that one which can't be read is told from the others.
    """

    panel: str = Field(min_length=1, max_length=_LONGEST_ID)
    events: list[dict[str, object]] = Field(max_length=500)
    show: str = Field(default="", max_length=_LONGEST_ID)


def sent_of(event: Mapping[str, object]) -> SentEvent:
    """One event of a queue. Raises UntoldError."""
    try:
        return SentEvent.model_validate(dict(event))
    except ValidationError as error:
        raise UntoldError(_first_fault(error)) from error


def event_of(sent: SentEvent, panel: str, by: Person, now: datetime) -> PanelEvent:
    """The event for the records. A clock that runs ahead is held back to the moment of receipt.

    Raises UntoldError.
    """
    at = sent.at if sent.at <= now + _FAST_CLOCK else now
    return PanelEvent(told_of(sent.verb, sent.told), by, at, EventMark(sent.id, panel, sent.number, now))
