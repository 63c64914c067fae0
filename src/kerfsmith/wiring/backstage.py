"""What stands behind the pages: records, catalog, engines and paper, answered as the pages ask."""

import secrets
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, date, datetime

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.nesting.contract import exit_code, nest
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import tasks_of
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.planning.tasks import task_of
from kerfsmith.planning.weigh_loads import weigh_loads
from kerfsmith.planning.what_if import WhatIf, what_if, without_substitutes
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.person import Person
from kerfsmith.shop.rack import Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.web.backstage import (
    CutAnswer,
    CutQuestion,
    NestQuestion,
    Paper,
    PlanJob,
    Shop,
    UploadKind,
    UploadRead,
)
from kerfsmith.wiring.cut import answer_cut
from kerfsmith.wiring.jobs import Jobs
from kerfsmith.wiring.pool import PlanningPool
from kerfsmith.wiring.printing import print_labels, print_tickets
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.wiring.uploads import Uploads
from kerfsmith.workflow.allow_substitutes import AllowSubstitutes, allow_substitutes
from kerfsmith.workflow.begin_shop import begin_own_shop
from kerfsmith.workflow.learn import follow_log
from kerfsmith.workflow.name_grade import NameGrade, name_grade
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import drop_order, take_order
from kerfsmith.workflow.to_plan import to_plan

SECONDS_A_GROUP = 20.0
"""Longest search for the bars of one group; most are proven in a fraction of a second."""
SEED = 1
WHAT_IF_SECONDS = 3.0
"""Longest search for each changed rule: a person waits for the answer."""


class ShopBackstage:
    """The pages' backstage over one shop's records."""

    def __init__(self, records: Records, catalog: Catalog, pool: PlanningPool) -> None:
        self._records = records
        self._tables = ShopTables(records, catalog)
        self._pool = pool
        self._uploads = Uploads(self._tables.now, lambda: records.rules().currency)
        self._jobs = Jobs(pool.stop, pool.clear)

    def shop(self) -> Shop:
        """The shop as pages name it."""
        rules = self._records.rules()
        return Shop(rules.name, self._records.is_demo(), rules.currency)

    def today(self) -> date:
        """The day by the machine's clock."""
        return datetime.now().astimezone().date()

    def catalog(self) -> Catalog:
        """The tables, with the saws that the shop has."""
        return self._tables.now()

    def plan(self) -> Plan | None:
        """The plan made last."""
        return self._records.latest_plan()

    def orders(self) -> tuple[Order, ...]:
        """All orders on the book."""
        return self._records.orders()

    def rack(self) -> Rack:
        """All bars on the rack."""
        return self._records.rack()

    def read_upload(
        self,
        kind: UploadKind,
        file: str,
        data: bytes,
        others: Sequence[tuple[str, bytes]] = (),
        *,
        grades: Mapping[str, str] | None = None,
    ) -> UploadRead:
        """Read a file, or several NC files, and hold what is read until it is kept."""
        return self._uploads.take(kind, ((file, data), *others), grades)

    def name_grades(
        self, upload_id: str, grades: Mapping[str, str], *, keep: bool, by: Person
    ) -> UploadRead | Refusal | None:
        """Read a held file with these names taken for these grades; with ``keep`` they hold from now on."""
        if self._uploads.get(upload_id) is None:
            return None
        for word, grade in grades.items() if keep else ():
            told = NameGrade(word, grade)
            kept = name_grade(self._records, told, self._tables.standard, by=by, at=_now()) if word else None
            if isinstance(kept, Refusal):
                return kept
        return self._uploads.name_grades(upload_id, grades)

    def read_again(self, upload_id: str, fields: Mapping[int, str], unit: str) -> UploadRead | None:
        """Read a held file with its columns as a person named them."""
        return self._uploads.again(upload_id, fields, unit)

    def upload(self, upload_id: str) -> UploadRead | None:
        """A held file as read last."""
        return self._uploads.get(upload_id)

    def held_order(self, upload_id: str) -> Order | None:
        """The cut list of a held file."""
        read = self._uploads.get(upload_id)
        return read.order if read is not None else None

    def keep_upload(self, upload_id: str, *, by: Person) -> str | Refusal | None:
        """Put what was good of a held file on the book or the rack."""
        read = self._uploads.get(upload_id)
        if read is None:
            return None
        if not read.sure or not (read.order.lines if read.order else read.rack and read.rack.bars):
            why = "nothing of this file can be used as it is read now"
            return Refusal("nothing-read", why, "Say what its columns hold, or send another file")
        answer: object = None
        if read.order is not None:
            answer = take_order(self._records, read.order, by=by, at=_now(), source=read.file)
        elif read.rack is not None:
            answer = stock_rack(self._records, read.rack.bars, by=by, at=_now(), source=read.file)
        if isinstance(answer, Refusal):
            return answer
        self._uploads.let_go(upload_id)
        return read.order.id if read.order is not None else "rack"

    def drop_order(self, order_id: str, *, by: Person) -> bool | Refusal:
        """Take an order off the book; whether it was there, or why it stays."""
        if all(order.id != order_id for order in self._records.orders()):
            return False
        dropped = drop_order(self._records, order_id, by=by, at=_now())
        return dropped if isinstance(dropped, Refusal) else True

    def allow_substitutes(self, told: AllowSubstitutes, *, by: Person) -> AllowSubstitutes | Refusal:
        """Keep what a line on the book may be cut from instead."""
        return allow_substitutes(self._records, told, self._tables.now(), by=by, at=_now())

    def promised_bars(self) -> Mapping[str, int]:
        """How many of each entry of the rack open runs are promised."""
        with self._records.look() as look:
            return look.floor.promised_bars()

    def pieces_in_runs(self) -> Mapping[str, int]:
        """Pieces of each order line that runs have or had."""
        with self._records.look() as look:
            return look.floor.pieces_in_runs()

    def start_planning(self, order_ids: Sequence[str], *, by: Person) -> str | Refusal:
        """Begin to plan what no run has of these orders, of all where none is named."""
        named = [order for order in self._records.orders() if not order_ids or order.id in order_ids]
        with self._records.look() as look:
            wanted = to_plan(look.floor, named)
        if wanted.in_runs and not wanted.orders:
            why = "every piece of these orders is in a run or cut"
            return Refusal(
                "all-in-runs", why, "Take in another order, or end a run short to plan its rest again"
            )
        orders, tasks = wanted.orders, tasks_of(wanted.lines, wanted.rack)
        if self._records.rules().factors.accepted:
            follow_log(self._records, by=by, at=_now())
        runner = self._pool.runner(
            self._records.rules(),
            seconds=SECONDS_A_GROUP,
            seed=SEED,
            saws=self._tables.now().saws,
            files=self._tables.files(),
        )
        job_id = secrets.token_urlsafe(9)
        ids = tuple(order.id for order in orders)

        def plan(on_group: Callable[[int, PlanGroup], None]) -> None:
            plan_cuts(
                self._records,
                tasks,
                runner,
                order_ids=ids,
                plan_id=job_id,
                name=", ".join(order.name for order in orders) or "Nothing on the book",
                seed=SEED,
                by=by,
                at=_now(),
                on_group=on_group,
            )

        return self._jobs.begin(job_id, ids, tasks, plan)

    def job(self, job_id: str) -> PlanJob | None:
        """A planning job as it stands."""
        return self._jobs.shown(job_id)

    def stop_planning(self, job_id: str) -> bool:
        """Ask a job to end with the best it has."""
        return self._jobs.stop(job_id)

    def cut(self, question: CutQuestion) -> CutAnswer:
        """The setting of one cut, or why there is none."""
        return answer_cut(question, self._tables.now(), factors=self._records.rules().factors)

    def what_if(self, group: PlanGroup) -> tuple[WhatIf, ...]:
        """What each rule of a group costs, and what one heat for each order would."""
        task = task_of(group, self._lines(), self._records.rack())
        if task is None:
            return ()
        effort = Effort(WHAT_IF_SECONDS, SEED, time.monotonic, lambda: False)
        tables, rules = self._tables.ever(), self._records.rules()
        asked = what_if(task, group.saw, tables, rules, effort)
        return (*without_substitutes(group), *weigh_loads(group, task, tables, rules), *asked)

    def ticket_pdf(self, plan: Plan, groups: Sequence[PlanGroup], paper: Paper) -> bytes:
        """Saw tickets of some groups of a plan."""
        return print_tickets(
            plan,
            groups,
            self._tables.ever(),
            self._lines(),
            measure=paper.measure,
            paper=paper.sheet,
            day=self.today(),
        )

    def labels_pdf(self, plan: Plan, groups: Sequence[PlanGroup], paper: Paper) -> bytes:
        """Labels of some groups of a plan."""
        return print_labels(
            plan, groups, self._lines(), measure=paper.measure, paper=paper.sheet, day=self.today()
        )

    def nest(self, question: NestQuestion) -> tuple[int, Mapping[str, object]]:
        """A bare nesting problem solved."""
        answer, result, _ = nest(question.problem, seconds=question.seconds, seed=SEED, now=time.monotonic)
        return exit_code(result), answer

    def begin_own_shop(self, *, by: Person, with_saws: bool = False) -> None:
        """Empty the shop for the user's own orders and bars, and for his own saws unless the demo's stay."""
        saws = self._tables.now().saws if with_saws else ()
        begin_own_shop(self._records, ShopRules(), by=by, at=_now(), saws=saws)

    def _lines(self) -> tuple[OrderLine, ...]:
        return tuple(line for order in self._records.orders() for line in order.lines)


def _now() -> datetime:
    return datetime.now(UTC)
