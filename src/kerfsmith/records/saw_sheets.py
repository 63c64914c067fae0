"""The shop's saw sheets in the tables."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, delete, func, insert, select, update

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.records import price_tables as t
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.records.tables import shop_state
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding

KEPT = "saws kept"
"""Name of the state that tells a shop with no saw from one that never said which saws it has."""


class SawsRead:
    """`workflow.price_ports.SawReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def saws(self) -> tuple[KeptSaw, ...] | None:
        """Every sheet in the order in which they were first kept; None where the shop never kept any."""
        if self._run.scalar(select(shop_state.c.value).where(shop_state.c.name == KEPT)) is None:
            return None
        rows = self._run.execute(select(t.saw_sheets).order_by(t.saw_sheets.c.position))
        return tuple(
            KeptSaw(
                from_document(row.document, SawSheet), SawStanding(row.standing), row.kept_at, row.kept_by
            )
            for row in rows
        )


class SawsWrite(SawsRead):
    """`workflow.price_ports.SawBook` over one connection."""

    def keep(self, saw: KeptSaw) -> None:
        """Keep a sheet, in place of the one of the same id."""
        self._begin()
        sheets = t.saw_sheets
        values = _row(saw)
        changed = update(sheets).where(sheets.c.id == saw.sheet.id).values(**values)
        if not self._run.execute(changed).rowcount:
            last = self._run.scalar(select(func.coalesce(func.max(sheets.c.position), 0))) or 0
            self._run.execute(insert(sheets).values(**values, position=last + 1))

    def keep_only(self, saws: Sequence[KeptSaw]) -> None:
        """Keep these and no others; none is a shop that has no saw yet."""
        self._run.execute(delete(t.saw_sheets))
        self._begin()
        for saw in saws:
            self.keep(saw)

    def _begin(self) -> None:
        known = self._run.scalar(select(shop_state.c.value).where(shop_state.c.name == KEPT))
        if known is None:
            self._run.execute(insert(shop_state).values(name=KEPT, value=True))


def _row(saw: KeptSaw) -> dict[str, Any]:
    return {
        "id": saw.sheet.id,
        "name": saw.sheet.name,
        "standing": saw.standing.value,
        "document": to_document(saw.sheet, SawSheet),
        "kept_at": saw.kept_at,
        "kept_by": saw.kept_by,
    }
