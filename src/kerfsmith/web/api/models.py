"""What the API writes out and reads in."""

from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.web.backstage import PlanJob, UnknownGrade


class LineOut(BaseModel):
    """A line of an order. Lengths mm, angles degrees from square.

    ``or_grades`` and ``or_sections`` are what its pieces may be cut from instead, any grade in any section.
    ``in_runs``: pieces wanted in open runs or good from finished ones; the rest is to be planned.
    """

    id: str
    mark: str
    grade: str
    section: str
    length_mm: float
    quantity: int
    in_runs: int
    due: str | None
    angle_a_deg: float
    angle_b_deg: float
    notes: str
    or_grades: list[str]
    or_sections: list[str]

    @classmethod
    def of(cls, line: OrderLine, in_runs: int) -> "LineOut":
        """The line as it is written out, with the pieces that runs have or had."""
        due = line.due.isoformat() if line.due else None
        return cls(
            id=line.id,
            mark=line.mark,
            grade=line.grade,
            section=line.section.name,
            length_mm=line.length_um / 1000,
            quantity=line.quantity,
            in_runs=in_runs,
            due=due,
            angle_a_deg=line.angle_a_deg,
            angle_b_deg=line.angle_b_deg,
            notes=line.notes,
            or_grades=list(line.or_grades),
            or_sections=[section.name for section in line.or_sections],
        )


class SubstitutesIn(BaseModel):
    """All that a line may be cut from instead; empty lists: only what is ordered."""

    model_config = ConfigDict(extra="forbid")

    or_grades: list[str] = Field(default=[], max_length=20)
    or_sections: list[str] = Field(default=[], max_length=20)


class OrderOut(BaseModel):
    """An order on the book."""

    id: str
    name: str
    lines: list[LineOut]

    @classmethod
    def of(cls, order: Order, in_runs: Mapping[str, int]) -> "OrderOut":
        """The order as it is written out, with the pieces of each line that runs have or had."""
        lines = [LineOut.of(line, in_runs.get(line.id, 0)) for line in order.lines]
        return cls(id=order.id, name=order.name, lines=lines)


class BarOut(BaseModel):
    """Equal bars of the rack; ``count`` null means as many as wanted, ``price`` is for one. ``end_is_good``:
    the far end is square and sound, so that the last piece may be what is left in the vise.
    """

    id: str
    kind: str
    grade: str
    section: str
    length_mm: float
    count: int | None
    heat: str
    place: str
    price: str | None
    end_is_good: bool

    @classmethod
    def of(cls, bar: Bar) -> "BarOut":
        """The entry as it is written out."""
        price = None if bar.price is None else str(bar.price)
        return cls(
            id=bar.id,
            kind=str(bar.kind),
            grade=bar.grade,
            section=bar.section.name,
            length_mm=bar.length_um / 1000,
            count=bar.count,
            heat=bar.heat,
            place=bar.place,
            price=price,
            end_is_good=bar.end_is_good,
        )


class UnknownGradeOut(BaseModel):
    """A name that says no grade ("" where none was told), how often it comes, and grades near it."""

    name: str
    count: int
    near: list[str]

    @classmethod
    def of(cls, unknown: UnknownGrade) -> "UnknownGradeOut":
        """The name as it is written out."""
        return cls(name=unknown.name, count=unknown.count, near=list(unknown.near))


class Kept(BaseModel):
    """What became of an uploaded list: what it is kept as (null: nothing is), and how many lines are good."""

    kept: str | None
    lines: int
    findings: list[dict[str, Any]]
    unknown_grades: list[UnknownGradeOut] = Field(default_factory=list)


class PlanIn(BaseModel):
    """Orders to plan by their ids; none means all."""

    model_config = ConfigDict(extra="forbid")
    orders: list[str] = Field(default_factory=list, max_length=1000)


class JobOut(BaseModel):
    """A planning job: ``state`` is waiting, running, stopping, done or failed."""

    id: str
    state: str
    groups: int
    groups_done: int
    seconds: float
    problem: str

    @classmethod
    def of(cls, job: PlanJob) -> "JobOut":
        """The job as it is written out."""
        done = sum(group.state.is_over for group in job.groups)
        return cls(
            id=job.id,
            state=str(job.state),
            groups=len(job.groups),
            groups_done=done,
            seconds=job.seconds,
            problem=job.problem,
        )


class NestBar(BaseModel):
    """Bars of one length; ``count`` null means as many as wanted, ``cost`` defaults to the length."""

    model_config = ConfigDict(extra="forbid")
    id: str = Field(max_length=80)
    length_mm: float = Field(gt=0, le=1e6, allow_inf_nan=False)
    count: int | None = Field(default=None, ge=0, le=10**7)
    cost: float | None = Field(default=None, ge=0, le=1e12, allow_inf_nan=False)


class NestPiece(BaseModel):
    """Pieces of one length."""

    model_config = ConfigDict(extra="forbid")
    id: str = Field(max_length=80)
    length_mm: float = Field(gt=0, le=1e6, allow_inf_nan=False)
    count: int = Field(ge=1, le=10**7)


class NestIn(BaseModel):
    """A bare nesting problem, as the command line reads it, with the seconds it may take."""

    model_config = ConfigDict(extra="forbid")
    kerf_mm: float = Field(ge=0, le=100, allow_inf_nan=False)
    front_trim_mm: float = Field(default=0, ge=0, le=1e6, allow_inf_nan=False)
    grip_mm: float = Field(default=0, ge=0, le=1e6, allow_inf_nan=False)
    bars: list[NestBar] = Field(min_length=1, max_length=1000)
    pieces: list[NestPiece] = Field(min_length=1, max_length=2000)
    seconds: float = Field(default=10, gt=0, le=60)
