"""One open transaction: `workflow.ports.Change` over a connection."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, delete, func, insert, select, update
from sqlalchemy.exc import IntegrityError

from kerfsmith.errors import Finding
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.records import floor_tables as t
from kerfsmith.records import price_tables, tables
from kerfsmith.records.broken_rules import is_race, rule_of
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.records.comparisons import ComparisonsWrite
from kerfsmith.records.crib import CribWrite
from kerfsmith.records.fault_tables import faults, found_causes
from kerfsmith.records.faults import FaultsWrite
from kerfsmith.records.floor_change import FloorWrite
from kerfsmith.records.heats import Heats
from kerfsmith.records.hold_tables import decisions
from kerfsmith.records.inbox import EventInbox
from kerfsmith.records.learning import LearningWrite, factors_of
from kerfsmith.records.learning_tables import earlier_work, factor_decisions
from kerfsmith.records.locks import hold
from kerfsmith.records.own import OwnWrite
from kerfsmith.records.people import PeopleWrite
from kerfsmith.records.prices import PricesWrite
from kerfsmith.records.quotes import QuoteWrite
from kerfsmith.records.rows import bar_row, leave_row, line_row, planned_bar_row
from kerfsmith.records.saw_sheets import SawsWrite
from kerfsmith.records.stop_tables import stops
from kerfsmith.records.week_tables import weeks
from kerfsmith.records.weeks import WeekWrite
from kerfsmith.shop.factors import NO_FACTORS
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.person import HOUSE
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.rules import ShopRules
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.ports import LedgerNote
from kerfsmith.workflow.refusal import RuleBroken


class OpenChange:
    """What a verb may do in its transaction."""

    def __init__(self, connection: Connection, *, last_try: bool) -> None:
        self._run = connection
        self._last_try = last_try
        self.floor = FloorWrite(connection)
        self.crib = CribWrite(connection)
        self.heats = Heats(connection)
        self.people = PeopleWrite(connection)
        self.inbox = EventInbox(connection)
        self.prices = PricesWrite(connection)
        self.quotes = QuoteWrite(connection)
        self.saw_sheets = SawsWrite(connection)
        self.own = OwnWrite(connection)
        self.comparisons = ComparisonsWrite(connection)
        self.weeks = WeekWrite(connection)
        self.faults = FaultsWrite(connection)
        self.learning = LearningWrite(connection)

    @contextmanager
    def part(self) -> Iterator[None]:
        """A part undone alone when an exception leaves it. Raises RuleBroken for a constraint's refusal."""
        try:
            with self._run.begin_nested():
                yield
        except IntegrityError as error:
            if is_race(error) and not self._last_try:
                raise
            raise RuleBroken(rule_of(error)) from error

    def note(self, note: LedgerNote, event: EventMark | None) -> None:
        """Write the ledger entry of this change.

        Entries are numbered one transaction after another: who follows the ledger by its numbers never sees
        a lower one come later.
        """
        hold(self._run, "ledger", "")
        self._run.execute(
            insert(tables.ledger).values(
                at=note.at,
                by=note.by,
                verb=note.verb.value,
                subject=note.subject,
                detail=to_document(note.told, type(note.told)),
                refused=note.refusal.whole.marked if note.refusal is not None else None,
                event_id=event.id if event is not None else None,
            )
        )

    def add_order(self, order: Order) -> None:
        """Keep an order with its lines."""
        position = self._run.scalar(select(func.coalesce(func.max(tables.orders.c.position), 0))) or 0
        self._run.execute(insert(tables.orders).values(id=order.id, name=order.name, position=position + 1))
        if order.lines:
            rows = [line_row(order.id, place, line) for place, line in enumerate(order.lines)]
            self._run.execute(insert(tables.order_lines), rows)

    def has_order(self, order_id: str) -> bool:
        """Whether an order is on the book."""
        orders = tables.orders
        return self._run.scalar(select(orders.c.id).where(orders.c.id == order_id)) is not None

    def priced_bars(self) -> bool:
        """Whether any bar that is left on the rack has a price."""
        bars = tables.bars
        left = select(bars.c.id).where(bars.c.price.is_not(None), bars.c.count.is_distinct_from(0)).limit(1)
        return self._run.scalar(left) is not None

    def put_substitutes(self, order_id: str, line: OrderLine) -> None:
        """Keep what a line on the book may be cut from instead."""
        lines = tables.order_lines
        this = (lines.c.order_id == order_id) & (lines.c.id == line.id)
        self._run.execute(update(lines).where(this).values(**leave_row(line)))

    def drop_order(self, order_id: str) -> None:
        """Take an order with its lines off the book."""
        self._run.execute(delete(tables.orders).where(tables.orders.c.id == order_id))

    def add_bars(self, bars: Sequence[Bar]) -> None:
        """Put bars on the rack, new figures over old ones of the same id; unknown heats go on record."""
        self._add_heats({bar.heat for bar in bars if bar.heat})
        known = set(self._run.scalars(select(tables.bars.c.id)))
        for bar in bars:
            if bar.id in known:
                self._run.execute(
                    update(tables.bars).where(tables.bars.c.id == bar.id).values(**bar_row(bar))
                )
        new = {bar.id: bar_row(bar) for bar in bars if bar.id not in known}
        if new:
            self._run.execute(insert(tables.bars), list(new.values()))

    def _add_heats(self, numbers: set[str]) -> None:
        new = sorted(numbers - set(self._run.scalars(select(tables.heats.c.number))))
        if new:
            rows = [{"number": number, "mill": "", "note": ""} for number in new]
            self._run.execute(insert(tables.heats), rows)

    def clear_rack(self) -> None:
        """Take everything off the rack; labels that bars were cut under stay known as used."""
        cut = select(t.loaded_bars.c.label).union(select(t.remnants.c.label))
        self._run.execute(delete(tables.bars).where(tables.bars.c.id.not_in(cut)))
        self._run.execute(update(tables.bars).values(count=0))

    def save_plan(self, plan: Plan, order_ids: Sequence[str]) -> None:
        """Keep a finished plan, group by group and bar by bar."""
        findings = to_document(plan.findings, tuple[Finding, ...])
        self._run.execute(
            insert(tables.plans).values(
                id=plan.id, name=plan.name, seed=plan.seed, order_ids=list(order_ids), findings=findings
            )
        )
        for place, group in enumerate(plan.groups):
            self._save_group(plan.id, place, group)

    def _save_group(self, plan_id: str, place: int, group: PlanGroup) -> None:
        self._run.execute(
            insert(tables.plan_groups).values(
                plan_id=plan_id,
                id=group.id,
                position=place,
                grade=group.grade,
                section_key=group.section.key,
                saw=group.saw,
                status=group.status.value,
                cost=group.cost,
                lower_bound=group.lower_bound,
                document=to_document(replace(group, bars=()), PlanGroup),
            )
        )
        if group.bars:
            rows = [planned_bar_row(plan_id, group.id, place, bar) for place, bar in enumerate(group.bars)]
            self._run.execute(insert(tables.plan_bars), rows)

    def clear_shop(self) -> None:
        """Take away orders, bars, plans, cuts and the demo's bands; triggers allow that in the demo alone."""
        for table in _CLEARED:
            self._run.execute(delete(table))
        bands = t.bands.c.added_by == HOUSE.name
        self._run.execute(
            delete(t.mountings).where(t.mountings.c.band_id.in_(select(t.bands.c.id).where(bands)))
        )
        self._run.execute(delete(t.bands).where(bands))

    def rules(self) -> ShopRules:
        """The shop's rules."""
        document = self._state("rules")
        rules = ShopRules() if document is None else from_document(document, ShopRules)
        return replace(rules, factors=factors_of(self._run))

    def is_demo(self) -> bool:
        """Whether the shop in the records is the demo."""
        return bool(self._state("demo"))

    def _state(self, name: str) -> Any:
        state = tables.shop_state
        return self._run.scalar(select(state.c.value).where(state.c.name == name))

    def set_rules(self, rules: ShopRules) -> None:
        """Keep the shop's rules."""
        # Factors are kept by their own decisions.
        self._set("rules", to_document(replace(rules, factors=NO_FACTORS), ShopRules))

    def set_demo(self, is_demo: bool) -> None:
        """Say whether the shop is the demo."""
        self._set("demo", is_demo)

    def _set(self, name: str, value: Any) -> None:
        state = tables.shop_state
        if not self._run.execute(update(state).where(state.c.name == name).values(value=value)).rowcount:
            self._run.execute(insert(state).values(name=name, value=value))


_CLEARED = (
    decisions,
    earlier_work,
    factor_decisions,
    found_causes,
    faults,
    weeks,
    t.inspections,
    t.cuts,
    t.remnants,
    t.loaded_bars,
    t.loads,
    t.run_bars,
    t.run_lines,
    stops,
    t.runs,
    price_tables.quote_settlements,
    price_tables.quote_lines,
    price_tables.quotes,
    price_tables.comparisons,
    tables.plans,
    tables.orders,
    tables.bars,
)
"""What goes when the demo is emptied, in an order that no foreign key forbids."""
