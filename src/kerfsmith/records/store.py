"""The store: the records' ports answered from a database."""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import replace
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, select
from sqlalchemy.exc import DBAPIError

from kerfsmith.errors import Finding
from kerfsmith.planning.plan import Plan, PlanGroup, PlannedBar
from kerfsmith.records import tables
from kerfsmith.records.broken_rules import is_race
from kerfsmith.records.change import OpenChange
from kerfsmith.records.codec import from_document
from kerfsmith.records.comparisons import ComparisonsRead
from kerfsmith.records.crib import CribRead
from kerfsmith.records.faults import FaultsRead
from kerfsmith.records.floor import FloorRead
from kerfsmith.records.learning import LearningRead, factors_of
from kerfsmith.records.opening import WRITES
from kerfsmith.records.own import OwnRead
from kerfsmith.records.people import PeopleRead
from kerfsmith.records.prices import PricesRead
from kerfsmith.records.quotes import QuoteRead
from kerfsmith.records.rows import read_bar, read_line, read_planned_bar
from kerfsmith.records.saw_sheets import SawsRead
from kerfsmith.records.tracing import Traces
from kerfsmith.records.weeks import WeekRead
from kerfsmith.shop.order import Order
from kerfsmith.shop.rack import Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.told import Told
from kerfsmith.workflow.feed import FEED_VERBS, FeedEntry
from kerfsmith.workflow.ports import Change, LedgerEntry, Look

__all__ = ["Store"]

Answer = TypeVar("Answer")

TRIES = 4
"""How often a change is tried when writers met; the locks let them meet only where none was held yet."""


class _Looking:
    """`workflow.ports.Look` over a connection in one reading transaction."""

    def __init__(self, connection: Connection) -> None:
        self.floor = FloorRead(connection)
        self.crib = CribRead(connection)
        self.people = PeopleRead(connection)
        self.trace = Traces(connection)
        self.prices = PricesRead(connection)
        self.quotes = QuoteRead(connection)
        self.saw_sheets = SawsRead(connection)
        self.own = OwnRead(connection)
        self.comparisons = ComparisonsRead(connection)
        self.weeks = WeekRead(connection)
        self.faults = FaultsRead(connection)
        self.learning = LearningRead(connection)
        self._run = connection

    def rules(self) -> ShopRules:
        """The shop's rules."""
        return _rules(self._run)


class Store:
    """Records in a database. Every change is one transaction with its ledger entry inside it."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        # SQLite's own queue of writers is none: it lets one in by luck. This one is served in turn.
        self._turn = threading.Lock() if engine.dialect.name == "sqlite" else nullcontext()

    @property
    def engine(self) -> Engine:
        """The database itself, for what stands beside the verbs."""
        return self._engine

    def perform(self, act: Callable[[Change], Answer]) -> Answer:
        """Do ``act`` in one transaction, again from its beginning where writers met."""
        for left in reversed(range(TRIES)):
            try:
                return self._once(act, last_try=not left)
            except DBAPIError as error:
                if not (left and is_race(error)):
                    raise
        raise AssertionError("the last try returns or raises")

    def _once(self, act: Callable[[Change], Answer], *, last_try: bool) -> Answer:
        with self._turn, self._engine.connect() as connection:
            connection = connection.execution_options(**{WRITES: True})
            with connection.begin():
                return act(OpenChange(connection, last_try=last_try))

    @contextmanager
    def look(self) -> Iterator[Look]:
        """Read several things as they are at one moment."""
        with self._reading() as connection:
            yield _Looking(connection)

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with self._engine.connect() as connection:
            if connection.dialect.name == "postgresql":
                connection = connection.execution_options(
                    isolation_level="REPEATABLE READ", postgresql_readonly=True
                )
            with connection.begin():
                yield connection

    def orders(self) -> tuple[Order, ...]:
        """All orders on the book, oldest first."""
        lines: dict[str, list[Any]] = {}
        with self._reading() as run:
            for row in run.execute(select(tables.order_lines).order_by(tables.order_lines.c.position)):
                lines.setdefault(row.order_id, []).append(read_line(row))
            rows = run.execute(select(tables.orders).order_by(tables.orders.c.position)).all()
        return tuple(Order(id=row.id, name=row.name, lines=tuple(lines.get(row.id, ()))) for row in rows)

    def rack(self) -> Rack:
        """All bars on the rack; entries that were used up are left out."""
        bars = tables.bars
        there = select(bars).where(bars.c.count.is_distinct_from(0)).order_by(bars.c.row, bars.c.id)
        with self._reading() as run:
            rows = run.execute(there).all()
        return Rack(tuple(read_bar(row) for row in rows))

    def rules(self) -> ShopRules:
        """The shop's rules, the house's own where none were kept."""
        with self._reading() as run:
            return _rules(run)

    def is_demo(self) -> bool:
        """Whether the shop in the records is the demo."""
        with self._reading() as run:
            return bool(_state(run, "demo"))

    def latest_plan(self) -> Plan | None:
        """The plan made last, or None."""
        with self._reading() as run:
            row = run.execute(select(tables.plans).order_by(tables.plans.c.number.desc()).limit(1)).first()
            if row is None:
                return None
            groups = self._read_groups(run, row.id)
        findings = from_document(row.findings, tuple[Finding, ...])
        return Plan(id=row.id, name=row.name, groups=groups, findings=findings, seed=row.seed)

    @staticmethod
    def _read_groups(run: Connection, plan_id: str) -> tuple[PlanGroup, ...]:
        bars: dict[str, list[PlannedBar]] = {}
        kept = tables.plan_bars
        for row in run.execute(select(kept).where(kept.c.plan_id == plan_id).order_by(kept.c.position)):
            bars.setdefault(row.group_id, []).append(read_planned_bar(row))
        groups = tables.plan_groups
        rows = run.execute(select(groups).where(groups.c.plan_id == plan_id).order_by(groups.c.position))
        return tuple(
            replace(from_document(row.document, PlanGroup), bars=tuple(bars.get(row.id, ()))) for row in rows
        )

    def ledger(self, limit: int = 100) -> tuple[LedgerEntry, ...]:
        """The newest entries first."""
        entries = tables.ledger
        with self._reading() as run:
            rows = run.execute(select(entries).order_by(entries.c.number.desc()).limit(limit)).all()
        return tuple(
            LedgerEntry(
                row.number, row.at, row.by, row.verb, row.subject, str(row.detail), Told(row.refused or "")
            )
            for row in rows
        )

    def feed(self, after: int, limit: int) -> tuple[FeedEntry, ...]:
        """What was done at the saws after that number of the ledger, oldest first."""
        entries = tables.ledger
        wanted = (
            select(entries)
            .where(entries.c.number > after, entries.c.refused.is_(None))
            .where(entries.c.verb.in_([verb.value for verb in FEED_VERBS]))
            .order_by(entries.c.number)
            .limit(limit)
        )
        with self._reading() as run:
            rows = run.execute(wanted).all()
        return tuple(FeedEntry(row.number, row.at, row.by, row.verb, row.subject, row.detail) for row in rows)

    def file(self, digest: str) -> bytes | None:
        """Content of a file on record by its SHA-256, None where there is none."""
        with self._reading() as run:
            content = run.scalar(select(tables.files.c.content).where(tables.files.c.digest == digest))
        return bytes(content) if content is not None else None


def _state(run: Connection, name: str) -> Any:
    return run.scalar(select(tables.shop_state.c.value).where(tables.shop_state.c.name == name))


def _rules(run: Connection) -> ShopRules:
    document = _state(run, "rules")
    rules = ShopRules() if document is None else from_document(document, ShopRules)
    return replace(rules, factors=factors_of(run))
