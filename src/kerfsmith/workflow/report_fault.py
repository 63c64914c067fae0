"""Reporting a fault at a saw, and telling what it turned out to be."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.faults.circumstances import Seen
from kerfsmith.faults.kept import Fault, FoundCause, NamedCause
from kerfsmith.faults.table import Symptom
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class ReportFault:
    """A symptom at ``saw`` with what was seen, and the causes that were named for it."""

    fault_id: str
    saw: str
    symptom: Symptom
    grade: str
    section: str
    seen: Seen
    named: tuple[NamedCause, ...]
    run_id: str | None = None
    band_id: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class SettleFault:
    """The fault was ``cause``."""

    fault_id: str
    cause: str
    note: str = ""


def report_fault(records: Records, told: ReportFault, *, by: Person, at: datetime) -> Fault | Refusal:
    """Keep a fault. Refused: a run that isn't known, a fault kept before."""

    def body(change: Change) -> Fault:
        if change.faults.fault(told.fault_id) is not None:
            raise Refused("known", "this fault is on record")
        if told.run_id is not None and change.floor.run(told.run_id) is None:
            raise Refused("unknown-run", sentence("no run is called {run_id}", run_id=told.run_id))
        fault = Fault(
            id=told.fault_id,
            saw=told.saw,
            symptom=told.symptom,
            grade=told.grade,
            section=told.section,
            seen=told.seen,
            named=told.named,
            by=by.name,
            at=at,
            run_id=told.run_id,
            band_id=told.band_id,
            note=told.note,
        )
        change.faults.add(fault)
        return fault

    return act(
        records, Verb.REPORT_FAULT, body, answer_as=Fault, told=told, subject=told.fault_id, by=by, at=at
    )


def settle_fault(records: Records, told: SettleFault, *, by: Person, at: datetime) -> FoundCause | Refusal:
    """Keep what a fault was; it counts the next time its symptom is reported. A later word corrects.

    Refused: a fault that isn't on record, a cause without name.
    """

    def body(change: Change) -> FoundCause:
        if change.faults.fault(told.fault_id) is None:
            raise Refused("unknown-fault", sentence("no fault is called {fault_id}", fault_id=told.fault_id))
        if not told.cause.strip():
            raise Refused("no-cause", "no cause was told", "Choose what it turned out to be")
        found = FoundCause(told.fault_id, told.cause, told.note, by.name, at)
        change.faults.settle(found)
        return found

    return act(
        records, Verb.SETTLE_FAULT, body, answer_as=FoundCause, told=told, subject=told.fault_id, by=by, at=at
    )
