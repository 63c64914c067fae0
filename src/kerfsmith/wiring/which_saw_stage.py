"""What stands behind the pages of which-saw comparisons."""

import secrets
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.which_saw.compare import which_saw
from kerfsmith.costing.which_saw.pay_back import Offer
from kerfsmith.costing.which_saw.report import report_page
from kerfsmith.costing.which_saw.report_page import ReportPage
from kerfsmith.costing.which_saw.told import tell
from kerfsmith.costing.which_saw.workload import Workload, from_history, from_order_book, from_yearly
from kerfsmith.errors import Finding
from kerfsmith.paper.report import report_pdf
from kerfsmith.planning.make_plan import make_plan, tasks_of
from kerfsmith.planning.plan import Plan
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.person import HOUSE, Person
from kerfsmith.shop.rack import Rack
from kerfsmith.units.length import Measure
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told, sentence
from kerfsmith.web.backstage import Paper
from kerfsmith.web.sheet import link
from kerfsmith.web.which_saw_stage import Begun, History, WhichWish, WorkKind
from kerfsmith.wiring.comparing import stock_lengths
from kerfsmith.wiring.pool import PlanningPool
from kerfsmith.wiring.reading import read_order_bytes, read_yearly_bytes
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.wiring.workbench import Work, Workbench
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.keep_comparison import drop_comparison, keep_comparison
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.price_ports import ComparisonHead, KeptComparison
from kerfsmith.workflow.refusal import Refusal

SECONDS_A_GROUP = 2.0
"""Longest search for the bars of one group on one saw."""
SEED = 1
YEAR = timedelta(days=365)


class ShopWhichSawStage:
    """`web.which_saw_stage.WhichSawStage` over one shop's records."""

    def __init__(self, records: Records, tables: ShopTables, pool: PlanningPool, bench: Workbench) -> None:
        self._records, self._tables, self._pool, self._bench = records, tables, pool, bench

    def saws(self) -> tuple[KeptSaw, ...]:
        """The shop's saws and its candidates."""
        kept = self._tables.kept()
        if kept is None:
            return tuple(KeptSaw(sheet, SawStanding.OWN, _now(), HOUSE.name) for sheet in self._tables.house)
        return tuple(saw for saw in kept if saw.standing is not SawStanding.RETIRED)

    def history(self) -> History:
        """What was cut in the last year."""
        today = _today()
        return History(sum(line.quantity for line in self._cut(today)), today - YEAR, today)

    def _cut(self, today: date) -> tuple[OrderLine, ...]:
        with self._records.look() as look:
            return look.prices.cut_between(today - YEAR, today)

    def begin(self, wish: WhichWish, *, by: Person) -> Begun:
        """Read the work and begin to replay it on each saw."""
        if not may(by.role, Verb.KEEP_COMPARISON):
            return Begun("", self._refused(by), ())
        sheets = [saw.sheet for saw in self.saws() if saw.sheet.id in wish.saws]
        if len(sheets) < 2:
            return Begun("", Refusal("two-saws", "a comparison takes two saws or more", "Tick two"), ())
        workload, findings = self._workload(wish)
        if workload is None:
            why = Refusal("no-work", "there is no work in it that can be read", "Look at the findings")
            return Begun("", why, findings)
        name = Told(", ".join(sheet.name for sheet in sheets))
        work_id = self._bench.begin(name, lambda work: self._compare(work, wish, workload, sheets, by))
        return Begun(work_id, None, findings)

    def _refused(self, by: Person) -> Refusal:
        """Whoever may not keep a comparison isn't made to wait for one; that he tried is in the ledger."""
        refused = act(
            self._records,
            Verb.KEEP_COMPARISON,
            lambda _: "",
            answer_as=str,
            told="",
            subject="comparison",
            by=by,
            at=_now(),
        )
        assert isinstance(refused, Refusal)
        return refused

    def _workload(self, wish: WhichWish) -> tuple[Workload | None, tuple[Finding, ...]]:
        catalog = self._tables.now()
        if wish.kind is WorkKind.HISTORY:
            today = _today()
            lines = self._cut(today)
            found = from_history("What was cut", lines, first=today - YEAR, last=today) if lines else None
            return found, ()
        name = wish.file.rsplit(".", 1)[0]
        if wish.kind is WorkKind.YEARLY:
            yearly = read_yearly_bytes(wish.file, wish.data, catalog)
            return (from_yearly(name, yearly.rows) if yearly.rows else None), yearly.findings
        read = read_order_bytes(wish.file, wish.data, catalog)
        made = from_order_book(name, read.lines, times_a_year=wish.times_a_year) if read.lines else None
        return made, read.findings

    def _compare(
        self, work: Work, wish: WhichWish, workload: Workload, sheets: Sequence[SawSheet], by: Person
    ) -> str | Refusal:
        """Replay the work on each saw, set side by side, and keep it; the path of the comparison."""
        catalog = replace(self._tables.now(), saws=tuple(sheets))
        rules, files = self._records.rules(), self._tables.files()
        with self._records.look() as look:
            rates = look.prices.rates()
        stock = stock_lengths(workload.lines, self._records.rack().bars, rules)
        groups = len(tasks_of(workload.lines, Rack(stock)))
        work.tell(Told("Bars are laid"), of=groups * len(sheets))

        def planner(lines: Sequence[OrderLine], saw: SawSheet) -> Plan:
            work.tell(sentence("{saw}: bars are laid", saw=saw.name))
            run = self._pool.runner(rules, seconds=SECONDS_A_GROUP, seed=SEED, saws=(saw,), files=files)
            made = make_plan(
                tasks_of(lines, Rack(stock)),
                run,
                plan_id=saw.id,
                name=saw.name,
                seed=SEED,
                on_group=lambda *_: work.step(),
            )
            work.tell(sentence("{saw}: its year is reckoned", saw=saw.name))
            return made

        found = which_saw(
            workload,
            sheets,
            catalog,
            rates,
            planner,
            rack=stock,
            offers=[Offer(saw, Money(price, rates.currency)) for saw, price in wish.prices],
            against=wish.against,
        )
        work.tell(Told("The comparison is kept"))
        answer = keep_comparison(
            self._records,
            tell(found),
            comparison_id=secrets.token_urlsafe(9),
            customer=wish.customer,
            by=by,
            at=_now(),
        )
        return answer if isinstance(answer, Refusal) else link("which-saw", answer.id)

    def comparisons(self) -> tuple[ComparisonHead, ...]:
        """All comparisons, newest first."""
        with self._records.look() as look:
            return look.comparisons.heads()

    def comparison(self, comparison_id: str) -> KeptComparison | None:
        """One of them."""
        with self._records.look() as look:
            return look.comparisons.comparison(comparison_id)

    def drop(self, comparison_id: str, *, by: Person) -> str | Refusal:
        """Take one away."""
        return drop_comparison(self._records, comparison_id, by=by, at=_now())

    def page(self, kept: KeptComparison, measure: Measure) -> ReportPage:
        """A comparison in words and figures."""
        shop = self._records.rules().name
        day = kept.made_at.astimezone().date()
        return report_page(kept.told, shop=shop, customer=kept.customer, measure=measure, day=day)

    def pdf(self, comparison_id: str, paper: Paper) -> bytes | None:
        """The report on paper."""
        kept = self.comparison(comparison_id)
        if kept is None:
            return None
        return report_pdf(
            kept.told,
            shop=self._records.rules().name,
            customer=kept.customer,
            measure=paper.measure,
            paper=paper.sheet,
            day=kept.made_at.astimezone().date(),
        )


def _today() -> date:
    return datetime.now().astimezone().date()


def _now() -> datetime:
    return datetime.now(UTC)
