"""What the pages need from behind them.

The wiring implements it; pages know nothing else of the program's insides.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Protocol

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.mechanics import BandReport
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.cutting.trade_off import TradeOff
from kerfsmith.cutting.weighing import Alternative as Weighed
from kerfsmith.errors import Finding
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.planning.what_if import WhatIf
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import Person
from kerfsmith.shop.rack import Rack
from kerfsmith.units.length import Measure
from kerfsmith.units.told import NOTHING, Told
from kerfsmith.workflow.allow_substitutes import AllowSubstitutes
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class Shop:
    """The shop as the pages name it."""

    name: str
    is_demo: bool
    currency: str


class UploadKind(StrEnum):
    """What an uploaded file is read as."""

    ORDER = "order"
    RACK = "rack"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of an uploaded file: its heading, some of its cells, and what it was taken to be.

    ``field`` is one of ``UploadRead.fields`` or "" where it isn't used; ``sure`` is False where a person must
    say.
    """

    index: int
    heading: str
    samples: tuple[str, ...]
    field: str
    sure: bool


@dataclass(frozen=True, slots=True)
class UnknownGrade:
    """A name in the file that says no grade: as written ("" where none was), how often, grades near it."""

    name: str
    count: int
    near: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UploadRead:
    """An uploaded file as read, not yet on the book: the good, the findings, and how columns were taken.

    ``order`` or ``rack`` is filled according to ``kind``. ``fields`` are the names a column can have, each
    with the words a person reads. ``needs_unit`` tells that plain numbers stand in the file and nothing says
    their unit. ``unknown_grades`` are names for which a person may say the grade.
    """

    id: str
    kind: UploadKind
    file: str
    order: Order | None
    rack: Rack | None
    findings: tuple[Finding, ...]
    columns: tuple[Column, ...]
    fields: tuple[tuple[str, str], ...]
    needs_unit: bool = False
    unknown_grades: tuple[UnknownGrade, ...] = ()

    @property
    def sure(self) -> bool:
        """Whether it can be kept without asking how columns are meant."""
        return all(column.sure for column in self.columns)


class JobState(StrEnum):
    """How a planning job stands."""

    WAITING = "waiting"
    RUNNING = "running"
    STOPPING = "stopping"
    DONE = "done"
    FAILED = "failed"

    @property
    def is_over(self) -> bool:
        """Whether nothing more will come of it."""
        return self in (JobState.DONE, JobState.FAILED)


@dataclass(frozen=True, slots=True)
class GroupProgress:
    """One group of a planning job. ``cost`` and ``bound`` are None until there is a first plan of it."""

    group_id: str
    grade: str
    section: str
    pieces: int
    state: JobState
    bars: int | None = None
    cost: float | None = None
    bound: float | None = None
    words: Told = NOTHING
    cost_unit: str = ""


@dataclass(frozen=True, slots=True)
class PlanJob:
    """A planning job with its groups; ``problem`` says in plain words why it failed."""

    id: str
    state: JobState
    groups: tuple[GroupProgress, ...]
    seconds: float
    problem: str = ""


@dataclass(frozen=True, slots=True)
class CutQuestion:
    """One cut as a person asks for it: names as written; an empty saw or band means any.

    ``choose`` is "quickest", "cheapest", "safest", a place on the front of the trade-off counted from 1, or
    empty for the setting by the book. ``hb`` is a measured Brinell hardness in place of the catalog's,
    ``band_state`` the state of the band in the words of BandState, empty for a sound one.
    """

    grade: str
    section: str
    saw: str = ""
    band: str = ""
    angle_deg: float = 0.0
    bundle: int = 1
    coolant: bool = True
    choose: str = ""
    hb: float | None = None
    band_state: str = ""


@dataclass(frozen=True, slots=True)
class CutAnswer:
    """The answer to one cut: a setting with its alternatives, or why not, or what was wrong in the question.

    ``setting`` is the first of ``alternatives``, best first. ``trade_off`` is its saw's, ``shown`` the
    setting itself weighed as that one weighs, ``mechanics`` what its band goes through.
    """

    findings: tuple[Finding, ...] = ()
    grade: Grade | None = None
    section: Section | None = None
    alternatives: tuple[CutSetting, ...] = ()
    cannot: CannotCut | None = None
    trade_off: TradeOff | None = None
    shown: Weighed | None = None
    mechanics: BandReport | None = None

    @property
    def setting(self) -> CutSetting | None:
        """The setting to use, None where there is none."""
        return self.alternatives[0] if self.alternatives else None


@dataclass(frozen=True, slots=True)
class Paper:
    """How a document is wanted: the reader's measure and the sheet, ``a4`` or ``us-letter``."""

    measure: Measure
    sheet: str = "a4"


@dataclass(frozen=True, slots=True)
class NestQuestion:
    """A bare nesting problem as its JSON, and the seconds it may take."""

    problem: Mapping[str, object]
    seconds: float = field(default=10.0)


class Backstage(Protocol):
    """Everything behind the pages. Methods that change anything name who asks (``by``)."""

    def shop(self) -> Shop: ...
    def today(self) -> date: ...
    def catalog(self) -> Catalog: ...

    def plan(self) -> Plan | None:
        """The plan made last, None where there is none."""

    def orders(self) -> tuple[Order, ...]:
        """All orders on the book."""

    def rack(self) -> Rack:
        """All bars on the rack."""

    def read_upload(
        self,
        kind: UploadKind,
        file: str,
        data: bytes,
        others: Sequence[tuple[str, bytes]] = (),
        *,
        grades: Mapping[str, str] | None = None,
    ) -> UploadRead:
        """Read a file and hold it until it is kept. Raises nothing for what is in it: that makes findings.

        NC files make an order as well: one, an archive, or several at once (``others``: name and bytes).
        ``grades`` is what a program says of names in it; None where a person is asked on a page.
        """

    def name_grades(
        self, upload_id: str, grades: Mapping[str, str], *, keep: bool, by: Person
    ) -> UploadRead | Refusal | None:
        """Read a held file with these names taken for these grades; with ``keep`` they hold from now on.

        None where it is no longer held.
        """

    def read_again(self, upload_id: str, fields: Mapping[int, str], unit: str) -> UploadRead | None:
        """Read a held file with columns as a person named them; None where it is no longer held."""

    def upload(self, upload_id: str) -> UploadRead | None:
        """A file that is held, as read last."""

    def keep_upload(self, upload_id: str, *, by: Person) -> str | Refusal | None:
        """Put what was good on the book or the rack.

        The order's id, or "rack"; None where the file is no longer held; a refusal leaves it held.
        """

    def drop_order(self, order_id: str, *, by: Person) -> bool | Refusal:
        """Take an order off the book; whether it was there, or why it stays."""

    def allow_substitutes(self, told: AllowSubstitutes, *, by: Person) -> AllowSubstitutes | Refusal:
        """Keep what a line on the book may be cut from instead."""

    def promised_bars(self) -> Mapping[str, int]:
        """Entries of the rack that open runs are promised, each with how many they haven't loaded yet."""

    def pieces_in_runs(self) -> Mapping[str, int]:
        """Pieces of lines on the book that are wanted in open runs, or came good from finished ones."""

    def start_planning(self, order_ids: Sequence[str], *, by: Person) -> str | Refusal:
        """Begin to plan what no run has of these orders (all where empty); the job's id.

        Planning what is being planned joins that job. Refused where runs have every piece.
        """

    def job(self, job_id: str) -> PlanJob | None: ...

    def stop_planning(self, job_id: str) -> bool:
        """Ask a job to end with the best it has; whether there is such a job."""

    def cut(self, question: CutQuestion) -> CutAnswer: ...

    def what_if(self, group: PlanGroup) -> tuple[WhatIf, ...]:
        """What each rule of a group costs, and what one heat for each order would; takes some seconds."""

    def ticket_pdf(self, plan: Plan, groups: Sequence[PlanGroup], paper: Paper) -> bytes: ...

    def labels_pdf(self, plan: Plan, groups: Sequence[PlanGroup], paper: Paper) -> bytes: ...

    def nest(self, question: NestQuestion) -> tuple[int, Mapping[str, object]]:
        """The answer as the command line's JSON, and its exit code (0, 1 or 2)."""

    def begin_own_shop(self, *, by: Person, with_saws: bool = False) -> None:
        """Empty the demo shop, so that a person can begin with his own; its saws stay where chosen."""
