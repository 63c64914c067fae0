"""What the pages of faults need from behind them; the wiring implements it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from kerfsmith.errors import Finding
from kerfsmith.faults.circumstances import Seen
from kerfsmith.faults.kept import Fault, FaultOnRecord, FoundCause
from kerfsmith.faults.table import FaultTable, Symptom
from kerfsmith.shop.person import Person
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class SawAtWork:
    """A saw with the work on it; ``run_id`` is None and the rest "" where it has no open run."""

    saw: str
    saw_name: str
    run_id: str | None = None
    grade: str = ""
    section: str = ""
    band: str = ""


@dataclass(frozen=True, slots=True)
class FaultTold:
    """What a person at a saw tells. Grade and section as he writes them; of a run they need not be told."""

    saw: str
    symptom: Symptom
    seen: Seen
    run_id: str | None = None
    grade: str = ""
    section: str = ""
    other_bars_fine: bool | None = None
    note: str = ""


class FaultStage(Protocol):
    """Everything behind the pages of faults."""

    def table(self) -> FaultTable:
        """Symptoms, causes and what is usual."""

    def saws(self) -> Sequence[SawAtWork]:
        """The shop's saws with what is on them."""

    def faults(self) -> Sequence[FaultOnRecord]:
        """Newest first."""

    def fault(self, fault_id: str) -> FaultOnRecord | None:
        """One fault."""

    def report(self, told: FaultTold, *, by: Person) -> Fault | Refusal | tuple[Finding, ...]:
        """Judge and keep a fault; findings where what was told can't be read."""

    def settle(self, fault_id: str, cause: str, note: str, *, by: Person) -> FoundCause | Refusal:
        """Keep what a fault turned out to be."""
