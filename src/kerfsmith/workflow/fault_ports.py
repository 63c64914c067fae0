"""What the verbs of faults ask of the records."""

from collections.abc import Mapping
from typing import Protocol

from kerfsmith.faults.kept import Fault, FaultOnRecord, FoundCause
from kerfsmith.faults.table import Symptom


class FaultReading(Protocol):
    """Faults, to be read."""

    def faults(self, limit: int = 200) -> tuple[FaultOnRecord, ...]:
        """Newest first."""

    def fault(self, fault_id: str) -> FaultOnRecord | None:
        """One fault."""

    def found(self, symptom: Symptom) -> Mapping[str, int]:
        """How often each cause was found behind a symptom; of a fault corrected, the last alone counts."""


class FaultBook(FaultReading, Protocol):
    """Faults, to be kept."""

    def add(self, fault: Fault) -> None:
        """Keep a fault."""

    def settle(self, found: FoundCause) -> None:
        """Keep what a fault turned out to be."""
