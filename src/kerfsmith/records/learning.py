"""Decisions on factors, and the log to learn from, in the tables."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, Select, func, insert, select

from kerfsmith.learning.log import BandStay, Log, SawnCut
from kerfsmith.records import floor_tables as t
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.records.learning_log import read_log
from kerfsmith.records.learning_tables import earlier_work, factor_decisions
from kerfsmith.records.stop_tables import stops
from kerfsmith.shop.factors import Decision, Factor, FactorDecided, Factors, Measure, in_force, scope_of


class LearningRead:
    """`workflow.learn_ports.LearningReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def log(self) -> Log:
        """All cuts, bands, stops and finished bars, work before these records first."""
        rows = self._run.execute(select(earlier_work).order_by(earlier_work.c.number)).all()
        cuts = tuple(from_document(row.document, SawnCut) for row in rows if row.kind == "cut")
        stays = tuple(from_document(row.document, BandStay) for row in rows if row.kind == "band")
        own = read_log(self._run)
        return Log((*cuts, *own.cuts), (*stays, *own.stays), own.stops, own.bars)

    def stamp(self) -> str:
        """A text that changes whenever the log or a decision does."""
        tables = (t.cuts, t.inspections, t.mountings, stops, earlier_work, factor_decisions)
        counted: list[Any] = [select(func.max(table.c.number)).scalar_subquery() for table in tables]
        for column in (
            t.mountings.c.removed_at,
            t.bands.c.retired,
            stops.c.ended_at,
            t.loaded_bars.c.closed_at,
        ):
            counted.append(select(func.count(column)).scalar_subquery())
        row = self._run.execute(select(*counted)).one()
        return ".".join(str(part or 0) for part in row)

    def decisions(self) -> tuple[FactorDecided, ...]:
        """Every decision on a factor, oldest first."""
        return tuple(_read(row) for row in self._run.execute(_decisions()))


class LearningWrite(LearningRead):
    """`workflow.learn_ports.LearningBook` over the connection of one open change."""

    def decide(self, decided: FactorDecided) -> None:
        """Keep a decision."""
        factor = decided.factor
        self._run.execute(
            insert(factor_decisions).values(
                measure=decided.measure.value,
                scope=decided.scope.key,
                decision=decided.decision.value,
                value=factor.value if factor else None,
                low=factor.low if factor else None,
                high=factor.high if factor else None,
                count=factor.count if factor else None,
                by=decided.by,
                at=decided.at,
            )
        )

    def keep_earlier(self, cuts: Sequence[SawnCut], stays: Sequence[BandStay], source: str) -> None:
        """Keep work that was done before these records."""
        rows = [{"kind": "cut", "source": source, "document": to_document(cut, SawnCut)} for cut in cuts]
        rows += [
            {"kind": "band", "source": source, "document": to_document(stay, BandStay)} for stay in stays
        ]
        if rows:
            self._run.execute(insert(earlier_work), rows)


def factors_of(run: Connection) -> Factors:
    """The factors that plans may use."""
    return in_force(_read(row) for row in run.execute(_decisions()))


def _decisions() -> Select[Any]:
    return select(factor_decisions).order_by(factor_decisions.c.number)


def _read(row: Any) -> FactorDecided:
    measure, scope, decision = Measure(row.measure), scope_of(row.scope), Decision(row.decision)
    factor = None
    if row.value is not None:
        frozen = decision is Decision.FREEZE
        factor = Factor(measure, scope, row.value, row.low, row.high, row.count, frozen)
    return FactorDecided(measure, scope, decision, factor, row.by, row.at)
