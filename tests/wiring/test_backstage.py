"""What stands behind the pages, with real records, catalog and engines; groups planned in this process."""

import time
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.plans_here import PlansHere
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.demo.files import FAULTY, ORDER_BOOK, RACK, demo_file
from kerfsmith.errors import Severity
from kerfsmith.planning.check import faults
from kerfsmith.planning.make_plan import GroupRunner
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.planning.tasks import Task
from kerfsmith.records.store import Store
from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.run import Run
from kerfsmith.units.length import Measure
from kerfsmith.web.backstage import (
    CutQuestion,
    JobState,
    NestQuestion,
    Paper,
    PlanJob,
    UploadKind,
    UploadRead,
)
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.records import open_demo_at_first_start, open_store
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run

BARS = b"Label;Grade;Section;Length mm;Count\nA;1045;round 80 mm;3000;1\nB;1045;round 80 mm;3000;1\n"
PIECES = b"Mark;Grade;Section;Length mm;Qty\nPin;1045;round 80 mm;600;4\n"
"""Four pieces fill most of one of the two bars."""


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(str(tmp_path / "deep" / "shop.sqlite"))


@pytest.fixture
def stage(store: Store, catalog: Catalog) -> ShopBackstage:
    return ShopBackstage(store, catalog, PlansHere(catalog))  # type: ignore[arg-type]


def begun(stage: ShopBackstage, name: str = "a planner") -> str:
    job_id = stage.start_planning((), by=Person(name, Role.PLANNER))
    assert isinstance(job_id, str)
    return job_id


def finished(stage: ShopBackstage, job_id: str) -> PlanJob:
    for _ in range(600):
        job = stage.job(job_id)
        assert job is not None
        if job.state.is_over:
            return job
        time.sleep(0.1)
    raise AssertionError("the job never ended")


def test_the_first_start_opens_the_demo_and_only_the_first(store: Store, catalog: Catalog) -> None:
    assert open_demo_at_first_start(store, catalog)
    assert not open_demo_at_first_start(store, catalog)
    assert store.is_demo()
    assert sum(order.pieces for order in store.orders()) == 333


def test_from_upload_to_plan_to_paper(stage: ShopBackstage, store: Store, catalog: Catalog) -> None:
    rack = stage.read_upload(UploadKind.RACK, RACK, demo_file(RACK))
    assert rack.sure
    assert stage.keep_upload(rack.id, by=Person("a planner", Role.PLANNER)) == "rack"
    order = stage.read_upload(UploadKind.ORDER, FAULTY, demo_file(FAULTY))
    assert order.order is not None
    assert sum(finding.is_error for finding in order.findings) == 20
    assert stage.keep_upload(order.id, by=Person("a planner", Role.PLANNER)) == order.id
    assert stage.keep_upload(order.id, by=Person("a planner", Role.PLANNER)) is None

    job = finished(stage, begun(stage))
    assert job.state is JobState.DONE
    assert [group.state for group in job.groups] == [JobState.DONE] * len(job.groups)
    plan = stage.plan()
    assert plan is not None
    assert plan.pieces_planned == 4 + 2 + 3
    lines = [line for one in stage.orders() for line in one.lines]
    assert faults(plan, lines, stage.rack(), {saw.id: saw.least_grip_mm for saw in catalog.saws}) == ()

    for sheet in ("a4", "us-letter"):
        paper = Paper(Measure.INCH, sheet)
        assert stage.ticket_pdf(plan, plan.groups, paper).startswith(b"%PDF-")
        assert stage.labels_pdf(plan, plan.groups, paper).startswith(b"%PDF-")
    answers = {one.change for group in plan.groups for one in stage.what_if(group)}
    assert "without the least grip" in answers
    assert [entry.verb for entry in store.ledger()][:3] == ["plan cuts", "take order", "stock rack"]
    assert stage.drop_order(order.id, by=Person("a planner", Role.PLANNER))
    assert not stage.drop_order(order.id, by=Person("a planner", Role.PLANNER))


def test_a_second_plan_takes_what_the_first_ones_runs_leave(
    stage: ShopBackstage, store: Store, catalog: Catalog
) -> None:
    by = Person("a planner", Role.PLANNER)
    stage.keep_upload(stage.read_upload(UploadKind.RACK, "rack.csv", BARS).id, by=by)
    stage.keep_upload(stage.read_upload(UploadKind.ORDER, "first.csv", PIECES).id, by=by)
    finished(stage, begun(stage))
    first = stage.plan()
    assert first is not None
    assert (first.pieces_planned, stage.promised_bars()) == (4, {})
    group = first.groups[0]
    saw = catalog.find_saw(group.saw)
    run = release_run(store, ReleaseRun("r1", first.id, group.id), saw=saw, by=by, at=datetime.now(UTC))
    assert isinstance(run, Run)
    taken = group.bars[0].bar_id
    assert stage.promised_bars() == {taken: 1}

    answer = stage.start_planning((), by=by)
    assert isinstance(answer, Refusal)
    assert answer.code == "all-in-runs"
    stage.keep_upload(stage.read_upload(UploadKind.ORDER, "second.csv", PIECES).id, by=by)
    finished(stage, begun(stage))
    second = stage.plan()
    assert second is not None
    assert second.id != first.id
    assert (second.pieces_wanted, second.pieces_planned, second.bars_used) == (4, 4, 1)
    other = {"A": "B", "B": "A"}[taken]
    assert [bar.bar_id for group in second.groups for bar in group.bars] == [other]


def test_a_file_is_read_again_with_columns_and_unit_told(stage: ShopBackstage) -> None:
    data = b"a;b;c;d\n4140;round 80 mm;500;3\n"
    read = stage.read_upload(UploadKind.ORDER, "plain.csv", data)
    assert read.order is not None
    assert read.order.lines == ()
    told = stage.read_again(read.id, {0: "grade", 1: "section", 2: "length", 3: "quantity"}, "mm")
    assert told is not None
    assert told.order is not None
    # The row of letters is now read as a row like any other, and found at fault.
    assert [(line.length_um, line.quantity) for line in told.order.lines] == [(500_000, 3)]
    assert stage.read_again("nobody", {}, "") is None


def test_a_failed_job_says_why_and_leaves_the_former_plan(stage: ShopBackstage, store: Store) -> None:
    def broken(*_: object, **__: object) -> GroupRunner:
        def run(tasks: Sequence[Task]) -> Iterable[tuple[int, PlanGroup]]:
            raise RuntimeError(f"no process could be started for {len(tasks)} groups")

        return run

    stage._pool.runner = broken  # type: ignore[method-assign]
    job = finished(stage, begun(stage))
    assert job.state is JobState.FAILED
    assert "no process could be started" in job.problem
    assert store.latest_plan() is None


def test_a_stopped_job_keeps_the_best_so_far(stage: ShopBackstage) -> None:
    stage.keep_upload(
        stage.read_upload(UploadKind.RACK, RACK, demo_file(RACK)).id, by=Person("a planner", Role.PLANNER)
    )
    stage.keep_upload(
        stage.read_upload(UploadKind.ORDER, ORDER_BOOK, demo_file(ORDER_BOOK)).id,
        by=Person("a planner", Role.PLANNER),
    )
    job_id = begun(stage)
    assert begun(stage, "another") == job_id
    assert stage.stop_planning(job_id)
    assert finished(stage, job_id).state is JobState.DONE
    plan = stage.plan()
    assert plan is not None
    assert plan.pieces_planned > 0
    assert not stage.stop_planning("nobody's")


def test_one_cut_and_one_nesting_problem(stage: ShopBackstage) -> None:
    answer = stage.cut(CutQuestion("304L", "pipe 4 sch 40"))
    assert answer.setting is not None
    assert [other.cut_seconds for other in answer.alternatives] == sorted(
        other.cut_seconds for other in answer.alternatives
    )
    assert stage.cut(CutQuestion("no such grade", "round 4 in")).findings
    code, result = stage.nest(
        NestQuestion(
            {
                "kerf_mm": 0,
                "front_trim_mm": 0,
                "grip_mm": 0,
                "bars": [{"id": "A", "length_mm": 100, "count": None}],
                "pieces": [{"id": "p", "length_mm": 50, "count": 3}],
            }
        )
    )
    assert (code, result["bars_used"]) == (0, 2)


HEADINGS = b"mark,grade,section,length mm,quantity\n"
ONE_LINE = HEADINGS + b"A,C45,round 100 mm,300,2\n"


def codes(read: UploadRead) -> list[str]:
    return [finding.code for finding in read.findings if finding.severity is Severity.ERROR]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "file-empty"),
        (b"\n \n", "file-empty"),
        (HEADINGS, "no-rows"),
        (
            b"mark,grade,section,length mm,length mm,quantity\nA,C45,round 100 mm,300,400,2\n",
            "columns-unsure",
        ),
    ],
)
def test_a_file_that_says_nothing_sure_is_not_kept(
    stage: ShopBackstage, store: Store, data: bytes, code: str
) -> None:
    read = stage.read_upload(UploadKind.ORDER, "list.csv", data)
    assert codes(read) == [code]
    answer = stage.keep_upload(read.id, by=Person("a planner", Role.PLANNER))
    assert isinstance(answer, Refusal)
    assert answer.code == "nothing-read"
    assert store.orders() == ()


def test_two_headings_alike_are_told_apart_by_their_place(stage: ShopBackstage) -> None:
    data = b"mark,grade,section,length mm,length mm,quantity\nA,C45,round 100 mm,300,400,2\n"
    read = stage.read_upload(UploadKind.ORDER, "list.csv", data)
    assert [column.heading for column in read.columns][3:5] == ["length mm (4)", "length mm (5)"]
    assert "'length mm' in column 4 or 'length mm' in column 5" in read.findings[0].remedy


def test_columns_all_out_of_use_or_used_twice_keep_nothing(stage: ShopBackstage) -> None:
    read = stage.read_upload(UploadKind.ORDER, "list.csv", ONE_LINE)
    none = stage.read_again(read.id, dict.fromkeys(range(5), ""), "")
    assert none is not None
    assert codes(none) == ["columns-none"]
    assert none.order is not None
    assert none.order.lines == ()
    twice = stage.read_again(read.id, {0: "mark", 1: "grade", 2: "section", 3: "length", 4: "length"}, "")
    assert twice is not None
    assert codes(twice) == ["columns-twice"]
    assert not twice.sure
    assert isinstance(stage.keep_upload(read.id, by=Person("a planner", Role.PLANNER)), Refusal)
    right = stage.read_again(read.id, dict(enumerate(("mark", "grade", "section", "length", "quantity"))), "")
    assert right is not None
    assert stage.keep_upload(right.id, by=Person("a planner", Role.PLANNER)) == read.id
