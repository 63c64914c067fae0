"""The shop's rates, and what was cut in a stretch of days, from the tables."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from sqlalchemy import Connection, and_, func, insert, or_, select, update

from kerfsmith.costing.rates import Rates
from kerfsmith.records import floor_tables as f
from kerfsmith.records.codec import from_document, read_section_document, to_document
from kerfsmith.records.tables import shop_state
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rules import ShopRules


class PricesRead:
    """`workflow.price_ports.PriceReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def rates(self) -> Rates:
        """The shop's rates in the shop's currency; the house's where none were set."""
        document = self._state("rates")
        rates = Rates() if document is None else from_document(document, Rates)
        return replace(rates, currency=self._rules().currency)

    def cut_between(self, first: date, last: date) -> tuple[OrderLine, ...]:
        """Good pieces cut from ``first`` to ``last`` (in UTC), both counted, as the lines they were cut for.

        A piece that was undone or rejected isn't counted; one more than was wanted is.
        """
        cut, run, line = f.cuts, f.runs, f.run_lines
        mended = f.cuts.alias("mended")
        taken_back = f.cuts.alias("taken_back")
        corrected = (
            select(mended.c.id)
            .where(
                mended.c.corrects == cut.c.id,
                or_(
                    mended.c.kind == "undo",
                    and_(
                        mended.c.kind == "reject",
                        ~select(taken_back.c.id)
                        .where(taken_back.c.corrects == mended.c.id, taken_back.c.kind == "undo")
                        .exists(),
                    ),
                ),
            )
            .exists()
        )
        begins, ends = (datetime.combine(day, time(), UTC) for day in (first, last + timedelta(days=1)))
        pieces = (
            select(cut.c.run_id, cut.c.line_id, func.count().label("pieces"))
            .where(cut.c.kind == "piece", cut.c.outcome != "scrapped", cut.c.at >= begins, cut.c.at < ends)
            .where(~corrected)
            .group_by(cut.c.run_id, cut.c.line_id)
            .subquery()
        )
        same = and_(line.c.run_id == pieces.c.run_id, line.c.line_id == pieces.c.line_id)
        rows = self._run.execute(
            select(line, run.c.grade, run.c.section, run.c.number, pieces.c.pieces)
            .select_from(pieces.join(line, same).join(run, run.c.id == pieces.c.run_id))
            .order_by(run.c.number, line.c.position)
        )
        return tuple(_line(row) for row in rows)

    def _rules(self) -> ShopRules:
        document = self._state("rules")
        return ShopRules() if document is None else from_document(document, ShopRules)

    def _state(self, name: str) -> Any:
        return self._run.scalar(select(shop_state.c.value).where(shop_state.c.name == name))


class PricesWrite(PricesRead):
    """`workflow.price_ports.PriceBook` over one connection."""

    def set_rates(self, rates: Rates) -> None:
        """Keep the rates; their currency becomes the shop's."""
        self._set("rates", to_document(rates, Rates))
        rules = replace(self._rules(), currency=rates.currency)
        self._set("rules", to_document(rules, ShopRules))

    def _set(self, name: str, value: Any) -> None:
        changed = update(shop_state).where(shop_state.c.name == name).values(value=value)
        if not self._run.execute(changed).rowcount:
            self._run.execute(insert(shop_state).values(name=name, value=value))


def _line(row: Any) -> OrderLine:
    return OrderLine(
        id=f"{row.run_id}/{row.line_id}",
        mark=row.mark,
        grade=row.grade,
        section=read_section_document(row.section),
        length_um=row.length_um,
        quantity=row.pieces,
        plus_um=row.plus_um,
        minus_um=row.minus_um,
        angle_a_deg=row.angle_a_deg,
        angle_b_deg=row.angle_b_deg,
        order=row.order_name,
        customer=row.customer,
    )
