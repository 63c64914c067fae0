"""Runs: the work of one plan group released to one saw, line by line."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum

from kerfsmith.catalog.section import Section
from kerfsmith.errors import InvalidValue
from kerfsmith.shop.cut_log import Outcome


class RunState(StrEnum):
    """Where a run is."""

    RELEASED = "released"
    FINISHED = "finished"


@dataclass(frozen=True, slots=True)
class Run:
    """One grade and section at one saw, from one group of one plan.

    ``area_cm2`` is what a square cut goes through, ``kerf_um`` what it takes of the bar; ``grip_um`` must
    stay in the vise. ``revision`` counts how often it was replanned.
    """

    id: str
    plan_id: str
    group_id: str
    saw: str
    saw_name: str
    grade: str
    section: Section
    area_cm2: float
    kerf_um: int
    grip_um: int
    state: RunState
    revision: int
    released_at: datetime
    released_by: str
    finished_at: datetime | None = None
    finished_by: str = ""


@dataclass(frozen=True, slots=True)
class RunLine:
    """One order line in a run, with its counts. ``kerf_um`` is what one piece is charged with.

    ``lie`` is how the section must lie for its ends, "" where nobody said. ``ordered`` is the grade and
    section that was ordered, where the run cuts it from something else as the order allows; else "".

    ``good`` never exceeds ``wanted``; a good piece more than wanted counts as ``surplus``.

    Raises InvalidValue for counts that contradict that.
    """

    run_id: str
    line_id: str
    mark: str
    length_um: int
    kerf_um: int
    wanted: int
    good: int = 0
    surplus: int = 0
    scrapped: int = 0
    angle_a_deg: float = 0.0
    angle_b_deg: float = 0.0
    plus_um: int | None = None
    minus_um: int | None = None
    due: date | None = None
    order_id: str = ""
    order: str = ""
    customer: str = ""
    notes: str = ""
    lie: str = ""
    ordered: str = ""

    def __post_init__(self) -> None:
        if min(self.wanted, self.good, self.surplus, self.scrapped) < 0 or self.good > self.wanted:
            raise InvalidValue(f"line {self.line_id}: its counts contradict each other")
        if self.length_um <= 0 or self.kerf_um < 0:
            raise InvalidValue(f"line {self.line_id}: length must be above zero and kerf not below")

    def with_piece(self, outcome: Outcome) -> "RunLine":
        """The line with one more piece of that outcome."""
        match outcome:
            case Outcome.GOOD:
                return replace(self, good=self.good + 1)
            case Outcome.SURPLUS:
                return replace(self, surplus=self.surplus + 1)
            case Outcome.SCRAPPED:
                return replace(self, scrapped=self.scrapped + 1)

    @property
    def missing(self) -> int:
        """Good pieces still wanted."""
        return self.wanted - self.good
