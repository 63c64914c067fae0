"""What stands behind the pages of quotes and rates."""

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.kept_quote import KeptQuote, QuoteHead
from kerfsmith.costing.quote import QuoteTerms, make_quote
from kerfsmith.costing.rates import Rates
from kerfsmith.planning.make_plan import make_plan, tasks_of
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import Person
from kerfsmith.shop.rack import Rack
from kerfsmith.units.told import Told, sentence
from kerfsmith.web.backstage import Paper
from kerfsmith.web.quote_stage import QuoteLines, QuoteSource, QuoteWish
from kerfsmith.web.sheet import link
from kerfsmith.wiring.pool import PlanningPool
from kerfsmith.wiring.quoting import QuoteDesk, print_quote, standing
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.wiring.workbench import Work, Workbench
from kerfsmith.workflow.accept_quote import (
    AcceptQuote,
    DeclineQuote,
    QuoteAccepted,
    accept_quote,
    decline_quote,
)
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.keep_quote import keep_quote
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.set_rates import set_rates

SECONDS_A_GROUP = 5.0
"""Longest search for the bars of one group of a quote, and of one break point."""
SEED = 1


class ShopQuoteStage:
    """`web.quote_stage.QuoteStage` over one shop's records; ``held`` gives the order of a held file."""

    def __init__(
        self,
        records: Records,
        tables: ShopTables,
        pool: PlanningPool,
        bench: Workbench,
        held: Callable[[str], Order | None],
    ) -> None:
        self._records, self._tables, self._pool, self._bench, self._held = records, tables, pool, bench, held

    def today(self) -> date:
        """The day by the machine's clock."""
        return datetime.now().astimezone().date()

    def rates(self) -> Rates:
        """What the shop reckons with."""
        with self._records.look() as look:
            return look.prices.rates()

    def saws(self) -> tuple[SawSheet, ...]:
        """The saws of the shop."""
        return self._tables.now().saws

    def bands(self) -> tuple[Band, ...]:
        """The bands of the tables, the shop's own among them."""
        return self._tables.now().bands

    def set_rates(self, rates: Rates, *, by: Person) -> Rates | Refusal:
        """Keep the rates."""
        return set_rates(self._records, rates, by=by, at=_now())

    def quotes(self) -> tuple[QuoteHead, ...]:
        """The newest revision of each quote."""
        with self._records.look() as look:
            return look.quotes.heads()

    def quote(self, number: str, revision: int | None = None) -> KeptQuote | None:
        """One revision of a quote."""
        with self._records.look() as look:
            return look.quotes.quote(number, revision)

    def revisions(self, number: str) -> tuple[QuoteHead, ...]:
        """All revisions of a quote."""
        with self._records.look() as look:
            return look.quotes.revisions(number)

    def orders(self) -> tuple[Order, ...]:
        """Orders on the book."""
        return self._records.orders()

    def lines_of(self, source: QuoteSource) -> QuoteLines | None:
        """The lines to be priced."""
        if source.renews:
            last = self.quote(source.renews)
            if last is None:
                return None
            lines = tuple(one.line for one in last.quote.lines)
            if source.upload_id:
                held = self._held(source.upload_id)
                lines = held.lines if held else ()
            return QuoteLines(f"quote {source.renews}", lines, last) if lines else None
        if source.upload_id:
            held = self._held(source.upload_id)
            return QuoteLines(held.name, held.lines) if held and held.lines else None
        order = next((one for one in self.orders() if one.id == source.order_id), None)
        return QuoteLines(order.name, order.lines) if order and order.lines else None

    def begin(self, wish: QuoteWish, *, by: Person) -> str | Refusal:
        """Begin to plan and price."""
        if not may(by.role, Verb.KEEP_QUOTE):
            # Whoever may not keep a quote is not made to wait for one; that he tried stands in the ledger.
            refused = act(
                self._records,
                Verb.KEEP_QUOTE,
                lambda _: "",
                answer_as=str,
                told=wish.customer,
                subject="quote",
                by=by,
                at=_now(),
            )
            assert isinstance(refused, Refusal)
            return refused
        found = self.lines_of(wish.source)
        if found is None:
            return Refusal("nothing-to-price", "there are no lines to price", "Send the list again")
        name = sentence("Quote for {customer}", customer=wish.customer)
        return self._bench.begin(name, lambda work: self._make(work, wish, found, by))

    def _make(self, work: Work, wish: QuoteWish, found: QuoteLines, by: Person) -> str | Refusal:
        """Plan, cost, price and keep; the path of the quote."""
        catalog, rates = self._tables.now(), self.rates()
        with self._records.look() as look:
            bars = look.floor.free_bars()
        runner = self._pool.runner(
            self._records.rules(),
            seconds=SECONDS_A_GROUP,
            seed=SEED,
            saws=catalog.saws,
            files=self._tables.files(),
        )
        tasks = tasks_of(found.lines, Rack(bars))
        more = len(found.lines) * len(wish.quantities)
        work.tell(Told("Bars are laid"), of=len(tasks) + more)
        plan = make_plan(
            tasks, runner, plan_id="quote", name="quote", seed=SEED, on_group=lambda *_: work.step()
        )
        desk = QuoteDesk(catalog, bars, rates, wish.certificates, runner, SEED, step=work.step)
        cost = desk.cost(plan, found.lines)
        work.tell(Told("Break points are priced") if more else Told("Lines are priced"))
        breaks = desk.breaks(found.lines, cost, wish.quantities) if more else {}
        quote = make_quote(cost, rates, self._terms(wish), breaks=breaks, inside=standing(plan))
        work.tell(Told("The quote is kept"))
        answer = keep_quote(
            self._records,
            quote,
            by=by,
            at=_now(),
            renews=wish.source.renews,
            numbered=bool(wish.number),
            from_order=wish.source.order_id,
        )
        return answer if isinstance(answer, Refusal) else link("quotes", answer.number)

    def _terms(self, wish: QuoteWish) -> QuoteTerms:
        terms = QuoteTerms(
            number=wish.number or "to be numbered",
            customer=wish.customer,
            day=self.today(),
            valid_until=wish.valid_until,
            reference=wish.reference,
            firm=wish.firm,
            certificates=wish.certificates,
        )
        return replace(terms, notes=wish.notes)

    def accept(self, told: AcceptQuote, *, by: Person) -> QuoteAccepted | Refusal:
        """Make an order of a quote."""
        told = replace(told, order_id=told.order_id or secrets.token_urlsafe(9), day=self.today())
        return accept_quote(self._records, told, by=by, at=_now())

    def decline(self, told: DeclineQuote, *, by: Person) -> DeclineQuote | Refusal:
        """Close a quote without an order."""
        return decline_quote(self._records, told, by=by, at=_now())

    def pdf(self, number: str, revision: int, paper: Paper, *, inside: bool) -> bytes | None:
        """The quote on paper."""
        kept = self.quote(number, revision)
        if kept is None:
            return None
        shop = self._records.rules().name
        return print_quote(kept.quote, shop=shop, measure=paper.measure, paper=paper.sheet, inside=inside)


def _now() -> datetime:
    return datetime.now(UTC)
