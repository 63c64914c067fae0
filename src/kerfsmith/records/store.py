"""The store: the records' ports answered from a database."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Engine, delete, func, insert, select, update

from kerfsmith.errors import Finding
from kerfsmith.planning.plan import Plan, PlanGroup, PlannedBar, PlannedPiece
from kerfsmith.records import tables
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.records.rows import bar_row, line_row, read_bar, read_line, read_planned_bar
from kerfsmith.shop.order import Order
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.workflow.ports import Change, LedgerEntry

__all__ = ["Store"]


class _OpenChange:
    """One open transaction on a connection."""

    def __init__(self, connection: Connection) -> None:
        self._run = connection

    def add_order(self, order: Order) -> None:
        """Keep an order with its lines."""
        position = self._run.scalar(select(func.coalesce(func.max(tables.orders.c.position), 0))) or 0
        self._run.execute(insert(tables.orders).values(id=order.id, name=order.name, position=position + 1))
        if order.lines:
            rows = [line_row(order.id, place, line) for place, line in enumerate(order.lines)]
            self._run.execute(insert(tables.order_lines), rows)

    def drop_order(self, order_id: str) -> None:
        """Take an order with its lines off the book."""
        self._run.execute(delete(tables.orders).where(tables.orders.c.id == order_id))

    def add_bars(self, bars: Sequence[Bar]) -> None:
        """Put bars on the rack, new figures over old ones of the same id."""
        if bars:
            self._run.execute(delete(tables.bars).where(tables.bars.c.id.in_([bar.id for bar in bars])))
            self._run.execute(insert(tables.bars), [bar_row(bar) for bar in bars])

    def clear_rack(self) -> None:
        """Take everything off the rack."""
        self._run.execute(delete(tables.bars))

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
        document = to_document(replace(group, bars=()), PlanGroup)
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
                document=document,
            )
        )
        if group.bars:
            rows = [_planned_bar_row(plan_id, group.id, place, bar) for place, bar in enumerate(group.bars)]
            self._run.execute(insert(tables.plan_bars), rows)

    def clear_shop(self) -> None:
        """Take away all orders, bars and plans; the ledger stays."""
        for table in (tables.plans, tables.orders, tables.bars):
            self._run.execute(delete(table))

    def set_rules(self, rules: ShopRules) -> None:
        """Keep the shop's rules."""
        self._set("rules", to_document(rules, ShopRules))

    def set_demo(self, is_demo: bool) -> None:
        """Say whether the shop is the demo."""
        self._set("demo", is_demo)

    def _set(self, name: str, value: Any) -> None:
        state = tables.shop_state
        if not self._run.execute(update(state).where(state.c.name == name).values(value=value)).rowcount:
            self._run.execute(insert(state).values(name=name, value=value))


def _planned_bar_row(plan_id: str, group_id: str, place: int, bar: PlannedBar) -> dict[str, Any]:
    return {
        "plan_id": plan_id,
        "group_id": group_id,
        "position": place,
        "bar_id": bar.bar_id,
        "kind": bar.kind.value,
        "length_um": bar.length_um,
        "times": bar.times,
        "heat": bar.heat,
        "place": bar.place,
        "facing_um": bar.facing_um,
        "facing_kerf_um": bar.facing_kerf_um,
        "pieces_um": bar.pieces_um,
        "kerfs_um": bar.used_um - bar.pieces_um,
        "remnant_um": bar.remnant_um,
        "keep": int(bar.keep),
        "pieces": to_document(bar.pieces, tuple[PlannedPiece, ...]),
    }


class Store:
    """Records in a database. Every change is one transaction with its ledger entry inside it."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    @contextmanager
    def change(
        self, verb: str, *, by: str, at: datetime, subject: str, detail: Mapping[str, object]
    ) -> Iterator[Change]:
        """Open the one transaction of a verb; an exception inside it leaves nothing behind."""
        with self._engine.connect() as connection:
            connection.info["writes"] = True
            try:
                with connection.begin():
                    yield _OpenChange(connection)
                    entry = {"at": at, "by": by, "verb": verb, "subject": subject, "detail": dict(detail)}
                    connection.execute(insert(tables.ledger).values(**entry))
            finally:
                connection.info.pop("writes", None)

    def orders(self) -> tuple[Order, ...]:
        """All orders on the book, oldest first."""
        lines: dict[str, list[Any]] = {}
        with self._engine.begin() as run:
            for row in run.execute(select(tables.order_lines).order_by(tables.order_lines.c.position)):
                lines.setdefault(row.order_id, []).append(read_line(row))
            rows = run.execute(select(tables.orders).order_by(tables.orders.c.position)).all()
        return tuple(Order(id=row.id, name=row.name, lines=tuple(lines.get(row.id, ()))) for row in rows)

    def rack(self) -> Rack:
        """All bars on the rack."""
        with self._engine.begin() as run:
            rows = run.execute(select(tables.bars).order_by(tables.bars.c.row, tables.bars.c.id)).all()
        return Rack(tuple(read_bar(row) for row in rows))

    def rules(self) -> ShopRules:
        """The shop's rules, the house's own where none were kept."""
        document = self._state("rules")
        return ShopRules() if document is None else from_document(document, ShopRules)

    def is_demo(self) -> bool:
        """Whether the shop in the records is the demo."""
        return bool(self._state("demo"))

    def _state(self, name: str) -> Any:
        with self._engine.begin() as run:
            return run.scalar(select(tables.shop_state.c.value).where(tables.shop_state.c.name == name))

    def latest_plan(self) -> Plan | None:
        """The plan made last, or None."""
        with self._engine.begin() as run:
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
        with self._engine.begin() as run:
            rows = run.execute(select(entries).order_by(entries.c.number.desc()).limit(limit)).all()
        return tuple(
            LedgerEntry(row.number, _in_utc(row.at), row.by, row.verb, row.subject, str(row.detail))
            for row in rows
        )


def _in_utc(at: datetime) -> datetime:
    # SQLite forgets the zone; all times are written in UTC.
    return at.replace(tzinfo=UTC) if at.tzinfo is None else at
