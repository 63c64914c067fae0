"""Faults on record: read back as they were kept, only added to, and gone with the demo alone."""

from dataclasses import replace

import pytest
from sqlalchemy import Engine, delete, update
from sqlalchemy.exc import DBAPIError
from tests.workflow.shop_floor import AT, OPERATOR, released

from kerfsmith.faults.circumstances import Chips, Seen
from kerfsmith.faults.kept import Fault, NamedCause
from kerfsmith.faults.table import Symptom
from kerfsmith.records import fault_tables
from kerfsmith.records.store import Store
from kerfsmith.units.told import Told
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.report_fault import ReportFault, SettleFault, report_fault, settle_fault

WORN = NamedCause("worn band", 0.7, (Told("cut ⟨41000.0 cm2⟩"),), ())
NAMED = (WORN, NamedCause("feed too heavy", 0.3, (), ()))
REPORT = ReportFault(
    "F-1", "north", Symptom.CROOKED, "4140", "round 50", Seen(chips=Chips.POWDER, work_firm=True), NAMED, "r1"
)


@pytest.fixture
def told(store: Store) -> Store:
    released(store)
    assert isinstance(report_fault(store, REPORT, by=OPERATOR, at=AT), Fault)
    settle_fault(store, SettleFault("F-1", "worn guides", "renewed"), by=OPERATOR, at=AT)
    return store


def test_a_fault_is_read_back_as_it_was_kept(told: Store) -> None:
    with told.look() as look:
        one = look.faults.fault("F-1")
    assert one is not None
    assert (one.fault.seen, one.fault.named, one.fault.run_id) == (REPORT.seen, NAMED, "r1")
    assert one.fault.named[0].speaks_for[0].marked == "cut ⟨41000.0 cm2⟩"
    assert one.settled is not None
    assert one.settled.cause == "worn guides"


def test_what_cannot_be_is_refused(told: Store) -> None:
    for report in (REPORT, replace(REPORT, fault_id="F-2", run_id="nowhere")):
        assert isinstance(report_fault(told, report, by=OPERATOR, at=AT), Refusal)
    for word in (SettleFault("F-9", "worn band"), SettleFault("F-1", " ")):
        assert isinstance(settle_fault(told, word, by=OPERATOR, at=AT), Refusal)


@pytest.mark.parametrize("name", ["faults", "found_causes"])
def test_nothing_of_it_is_changed_or_taken_away(told: Store, engine: Engine, name: str) -> None:
    table = getattr(fault_tables, name)
    changes = (update(table).values(note="other"), delete(table))
    for change in changes:
        with engine.begin() as connection, pytest.raises(DBAPIError, match=r"kept for good|kept_for_good"):
            connection.execute(change)
