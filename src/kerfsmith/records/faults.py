"""Faults in the tables."""

from collections import Counter
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, insert, select

from kerfsmith.faults.circumstances import Seen
from kerfsmith.faults.kept import Fault, FaultOnRecord, FoundCause, NamedCause
from kerfsmith.faults.table import Symptom
from kerfsmith.records import fault_tables as t
from kerfsmith.records.codec import from_document, to_document


class FaultsRead:
    """`workflow.fault_ports.FaultReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def faults(self, limit: int = 200) -> tuple[FaultOnRecord, ...]:
        """Newest first."""
        rows = self._run.execute(select(t.faults).order_by(t.faults.c.number.desc()).limit(limit)).all()
        found = self._found([row.id for row in rows])
        return tuple(FaultOnRecord(_read(row), found.get(row.id, ())) for row in rows)

    def fault(self, fault_id: str) -> FaultOnRecord | None:
        """One fault."""
        row = self._run.execute(select(t.faults).where(t.faults.c.id == fault_id)).first()
        if row is None:
            return None
        return FaultOnRecord(_read(row), self._found([fault_id]).get(fault_id, ()))

    def found(self, symptom: Symptom) -> Mapping[str, int]:
        """How often each cause was found behind a symptom; the last word on a fault alone counts."""
        wanted = (
            select(t.found_causes.c.fault_id, t.found_causes.c.cause)
            .join(t.faults, t.faults.c.id == t.found_causes.c.fault_id)
            .where(t.faults.c.symptom == symptom.value)
            .order_by(t.found_causes.c.number)
        )
        last = {row.fault_id: row.cause for row in self._run.execute(wanted)}
        return Counter(last.values())

    def _found(self, fault_ids: list[str]) -> dict[str, tuple[FoundCause, ...]]:
        kept = t.found_causes
        wanted = select(kept).where(kept.c.fault_id.in_(fault_ids)).order_by(kept.c.number)
        found: dict[str, tuple[FoundCause, ...]] = {}
        for row in self._run.execute(wanted):
            one = FoundCause(row.fault_id, row.cause, row.note, row.by, row.at)
            found[row.fault_id] = (*found.get(row.fault_id, ()), one)
        return found


class FaultsWrite(FaultsRead):
    """`workflow.fault_ports.FaultBook` over one connection."""

    def add(self, fault: Fault) -> None:
        """Keep a fault."""
        self._run.execute(
            insert(t.faults).values(
                id=fault.id,
                saw=fault.saw,
                symptom=fault.symptom.value,
                grade=fault.grade,
                section=fault.section,
                run_id=fault.run_id,
                band_id=fault.band_id,
                note=fault.note,
                seen=to_document(fault.seen, Seen),
                named=to_document(fault.named, tuple[NamedCause, ...]),
                at=fault.at,
                by=fault.by,
            )
        )

    def settle(self, found: FoundCause) -> None:
        """Keep what a fault turned out to be."""
        self._run.execute(
            insert(t.found_causes).values(
                fault_id=found.fault_id, cause=found.cause, note=found.note, by=found.by, at=found.at
            )
        )


def _read(row: Any) -> Fault:
    return Fault(
        id=row.id,
        saw=row.saw,
        symptom=Symptom(row.symptom),
        grade=row.grade,
        section=row.section,
        seen=from_document(row.seen, Seen),
        named=from_document(row.named, tuple[NamedCause, ...]),
        by=row.by,
        at=row.at,
        run_id=row.run_id,
        band_id=row.band_id,
        note=row.note,
    )
