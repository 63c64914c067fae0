"""Loads: bars of one planned entry that lie in the vise together, so that every cut goes through them all."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.errors import InvalidValue


@dataclass(frozen=True, slots=True)
class Load:
    """Up to ``at_once`` bars of the planned bar at ``position`` of a run's ``revision``.

    ``fewer_why`` says why it is cut with fewer bars although more were waiting, "" where it isn't.

    Raises InvalidValue for a load of fewer than two: a bar alone makes none.
    """

    id: str
    run_id: str
    revision: int
    position: int
    at_once: int
    begun_at: datetime
    begun_by: str
    fewer_why: str = ""

    def __post_init__(self) -> None:
        if self.at_once < 2:
            raise InvalidValue(f"load {self.id}: a bar that is cut alone makes no load")
