"""A backstage in memory for the page tests: the sample shop, a toy reader of uploads, a job that stands."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from tests.web import sample, sample_offer, sample_plan

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.cutting.setting import CannotCut, Misfit
from kerfsmith.errors import Finding, Severity, UnknownName
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.planning.what_if import WhatIf
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import Person
from kerfsmith.shop.rack import Rack
from kerfsmith.units.told import Told, quantity
from kerfsmith.web.backstage import (
    Column,
    CutAnswer,
    CutQuestion,
    GroupProgress,
    JobState,
    NestQuestion,
    Paper,
    PlanJob,
    Shop,
    UploadKind,
    UploadRead,
)
from kerfsmith.workflow.allow_substitutes import AllowSubstitutes
from kerfsmith.workflow.refusal import Refusal

FIELDS = (
    ("mark", "Mark"),
    ("grade", "Grade"),
    ("section", "Section"),
    ("length", "Length"),
    ("quantity", "Quantity"),
)


@dataclass
class MemoryBackstage:
    """Keeps what it is told in lists; ``told`` remembers every change with who asked for it."""

    made: Plan | None = field(default_factory=sample_plan.plan)
    book: list[Order] = field(default_factory=lambda: list(sample_plan.orders()))
    bars: Rack = field(default_factory=sample_plan.rack)
    demo: bool = True
    jobs: dict[str, PlanJob] = field(default_factory=dict)
    in_runs: dict[str, int] = field(default_factory=dict)
    promised: dict[str, int] = field(default_factory=dict)
    held: dict[str, UploadRead] = field(default_factory=dict)
    told: list[tuple[str, str]] = field(default_factory=list)
    planned: tuple[str, ...] = ()
    allowed: AllowSubstitutes | None = None
    asked: list[CutQuestion] = field(default_factory=list)
    weighed: list[str] = field(default_factory=list)
    printed: list[tuple[str, str, list[str], Paper]] = field(default_factory=list)

    def shop(self) -> Shop:
        return Shop("Demo shop" if self.demo else "My shop", self.demo, "EUR")

    def today(self) -> date:
        return sample.TODAY

    def catalog(self) -> Catalog:
        return sample.catalog()

    def plan(self) -> Plan | None:
        return self.made

    def orders(self) -> tuple[Order, ...]:
        return tuple(self.book)

    def rack(self) -> Rack:
        return self.bars

    def read_upload(
        self,
        kind: UploadKind,
        file: str,
        data: bytes,
        others: Sequence[tuple[str, bytes]] = (),
        *,
        grades: Mapping[str, str] | None = None,
    ) -> UploadRead:
        assert not others, "the sample lists come alone"
        assert not grades, "nor with names"
        unsure = b"?" in data
        columns = (
            Column(0, "Pos", ("SP-1", "SP-2"), "mark", True),
            Column(1, "Mat", ("4140", "1045"), "" if unsure else "grade", not unsure),
        )
        order = Order("O-new", file, sample_plan.orders()[0].lines[:2])
        findings = (
            Finding(
                "number", Severity.ERROR, file, 4, "Quantity", "many", "is not a number", "Write how many."
            ),
        )
        read = UploadRead(
            f"U-{len(self.held) + 1}",
            kind,
            file,
            order if kind is UploadKind.ORDER else None,
            sample_plan.rack() if kind is UploadKind.RACK else None,
            findings if data else (),
            columns,
            FIELDS,
        )
        self.held[read.id] = read
        return read

    def read_again(self, upload_id: str, fields: Mapping[int, str], unit: str) -> UploadRead | None:
        read = self.held.get(upload_id)
        if read is None:
            return None
        self.told.append(("unit", unit))
        columns = tuple(replace(one, field=fields.get(one.index, ""), sure=True) for one in read.columns)
        self.held[upload_id] = replace(read, columns=columns, needs_unit=False)
        return self.held[upload_id]

    def name_grades(
        self, upload_id: str, grades: Mapping[str, str], *, keep: bool, by: Person
    ) -> UploadRead | None:
        self.told += [(f"{name}, {'for good' if keep else by.name}", grade) for name, grade in grades.items()]
        return self.held.get(upload_id)

    def upload(self, upload_id: str) -> UploadRead | None:
        return self.held.get(upload_id)

    def keep_upload(self, upload_id: str, *, by: Person) -> str | None:
        read = self.held.pop(upload_id, None)
        if read is None:
            return None
        self.told.append(("keep", by.name))
        if read.order is not None:
            self.book.append(read.order)
            return read.order.id
        return "rack"

    def drop_order(self, order_id: str, *, by: Person) -> bool:
        before = len(self.book)
        self.book = [order for order in self.book if order.id != order_id]
        self.told.append(("drop", by.name))
        return len(self.book) < before

    def allow_substitutes(self, told: AllowSubstitutes, *, by: Person) -> AllowSubstitutes | Refusal:
        self.told.append(("allow substitutes", by.name))
        if "Unobtanium" in told.or_grades:
            return Refusal("unknown-name", "no grade is called 'Unobtanium'", "Write it another way")
        self.allowed = told
        return told

    def promised_bars(self) -> Mapping[str, int]:
        return self.promised

    def pieces_in_runs(self) -> Mapping[str, int]:
        return self.in_runs

    def start_planning(self, order_ids: Sequence[str], *, by: Person) -> str:
        self.told.append(("plan", by.name))
        self.planned = tuple(order_ids)
        groups = tuple(
            GroupProgress(
                g.id, g.grade, g.section.name, g.pieces_wanted, state, bars, cost, bound, Told(""), "EUR"
            )
            for g, (state, bars, cost, bound) in zip(
                sample_plan.plan().groups,
                [(JobState.DONE, 4, 1210.0, 1210.0), (JobState.RUNNING, 2, 412.0, 400.0)]
                + [(JobState.WAITING, None, None, None)] * 8,
                strict=True,
            )
        )
        self.jobs["J-1"] = PlanJob("J-1", JobState.RUNNING, groups, 3.4)
        return "J-1"

    def finish(self) -> None:
        """Let the job come to its end."""
        job = self.jobs["J-1"]
        groups = tuple(replace(group, state=JobState.DONE) for group in job.groups)
        self.jobs["J-1"] = replace(job, state=JobState.DONE, groups=groups)

    def job(self, job_id: str) -> PlanJob | None:
        return self.jobs.get(job_id)

    def stop_planning(self, job_id: str) -> bool:
        job = self.jobs.get(job_id)
        if job is None:
            return False
        self.jobs[job_id] = replace(job, state=JobState.STOPPING)
        return True

    def cut(self, question: CutQuestion) -> CutAnswer:
        try:
            grade = sample.catalog().find_grade(question.grade)
        except UnknownName as unknown:
            remedy = (
                f"Did you mean {' or '.join(unknown.near)}?"
                if unknown.near
                else "Look it up among the grades."
            )
            finding = Finding(
                "grade", Severity.ERROR, "the form", None, "grade", question.grade, "is not known", remedy
            )
            return CutAnswer(findings=(finding,))
        section = sample.section(question.section)
        if section.shape.outline().width_mm > 432:
            misfit = Misfit(
                "diameter",
                450,
                432,
                "mm",
                Told(f"A round of {quantity(450, 'mm')} passes {quantity(432, 'mm')} at most."),
                Told("Take a larger saw."),
            )
            return CutAnswer(
                (), grade, section, (), CannotCut((("North saw", (misfit,)),), Told("No saw takes it."))
            )
        angle = question.angle_deg
        rates = (45.0, 38.0, 30.0)
        settings = tuple(sample.setting(section, angle_deg=angle, rate=rate) for rate in rates)
        self.asked.append(question)
        offer = sample_offer.offer()
        place = offer.front[int(question.choose) - 1] if question.choose else sample_offer.shown(settings[0])
        return CutAnswer((), grade, section, settings, None, offer, place, sample_offer.report())

    def what_if(self, group: PlanGroup) -> tuple[WhatIf, ...]:
        self.weighed.append(group.id)
        lacks = Told(f"short of bars: {quantity(2500, 'mm')} find no place")
        return (
            WhatIf(Told("without the facing cut"), True, 0, 0.0, "EUR", True),
            WhatIf(Told("without the least grip"), True, -1, -32.0, "EUR", True),
            WhatIf(Told("one heat for each order"), False, 2, 140.5, "EUR", False),
            WhatIf(Told("without buying"), True, None, None, "EUR", True, lacks),
        )

    def ticket_pdf(self, plan: Plan, groups: Sequence[PlanGroup], paper: Paper) -> bytes:
        self.printed.append(("ticket", plan.id, [group.id for group in groups], paper))
        return b"%PDF-1.7 ticket"

    def labels_pdf(self, plan: Plan, groups: Sequence[PlanGroup], paper: Paper) -> bytes:
        self.printed.append(("labels", plan.id, [group.id for group in groups], paper))
        return b"%PDF-1.7 labels"

    def nest(self, question: NestQuestion) -> tuple[int, Mapping[str, object]]:
        return 0, {"status": "optimal", "asked": dict(question.problem), "seconds": question.seconds}

    def begin_own_shop(self, *, by: Person, with_saws: bool = False) -> None:
        self.told.append(("begin with saws" if with_saws else "begin", by.name))
        self.demo, self.made, self.book, self.bars = False, None, [], Rack(())
