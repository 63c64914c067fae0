"""A fault as it is kept: what was seen, which causes were named then, and what it turned out to be."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.errors import InvalidValue
from kerfsmith.faults.circumstances import Seen
from kerfsmith.faults.judge import LikelyCause
from kerfsmith.faults.table import Symptom
from kerfsmith.units.told import Told


@dataclass(frozen=True, slots=True)
class NamedCause:
    """A cause as it was named: how likely, and what spoke for and against it."""

    cause: str
    share: float
    speaks_for: tuple[Told, ...]
    speaks_against: tuple[Told, ...]


@dataclass(frozen=True, slots=True)
class Fault:
    """A symptom at a saw. ``run_id``, ``band_id``: None where none was known; ``named`` is likeliest first.

    Raises InvalidValue for a fault of no saw or without causes.
    """

    id: str
    saw: str
    symptom: Symptom
    grade: str
    section: str
    seen: Seen
    named: tuple[NamedCause, ...]
    by: str
    at: datetime
    run_id: str | None = None
    band_id: str | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if not self.saw.strip() or not self.named:
            raise InvalidValue("a fault is of a saw, and has causes")


@dataclass(frozen=True, slots=True)
class FoundCause:
    """What a fault turned out to be. A later one of the same fault corrects the one before."""

    fault_id: str
    cause: str
    note: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class FaultOnRecord:
    """A fault with what was found of it, first to last; none while it is open."""

    fault: Fault
    found: tuple[FoundCause, ...] = ()

    @property
    def settled(self) -> FoundCause | None:
        """What holds: the last that was found."""
        return self.found[-1] if self.found else None


def named_causes(causes: Sequence[LikelyCause]) -> tuple[NamedCause, ...]:
    """Causes as they are kept with a fault."""
    return tuple(
        NamedCause(
            one.cause.name,
            one.share,
            tuple(clue.text for clue in one.clues if clue.speaks_for),
            tuple(clue.text for clue in one.clues if not clue.speaks_for),
        )
        for one in causes
    )
