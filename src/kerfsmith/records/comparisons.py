"""Which-saw comparisons in the tables."""

from sqlalchemy import Connection, delete, insert, select

from kerfsmith.costing.which_saw.told import ComparisonTold
from kerfsmith.records import price_tables as t
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.workflow.price_ports import ComparisonHead, KeptComparison


class ComparisonsRead:
    """`workflow.price_ports.ComparisonReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def heads(self) -> tuple[ComparisonHead, ...]:
        """All of them, newest first."""
        kept = t.comparisons
        wanted = select(kept.c.id, kept.c.name, kept.c.customer, kept.c.made_at, kept.c.made_by)
        rows = self._run.execute(wanted.order_by(kept.c.number.desc()))
        return tuple(ComparisonHead(row.id, row.name, row.customer, row.made_at, row.made_by) for row in rows)

    def comparison(self, comparison_id: str) -> KeptComparison | None:
        """One of them."""
        kept = t.comparisons
        row = self._run.execute(select(kept).where(kept.c.id == comparison_id)).first()
        if row is None:
            return None
        told = from_document(row.document, ComparisonTold)
        return KeptComparison(row.id, row.name, row.customer, row.made_at, row.made_by, told)


class ComparisonsWrite(ComparisonsRead):
    """`workflow.price_ports.ComparisonBook` over one connection."""

    def keep(self, kept: KeptComparison) -> None:
        """Keep one."""
        self._run.execute(
            insert(t.comparisons).values(
                id=kept.id,
                name=kept.name,
                customer=kept.customer,
                document=to_document(kept.told, ComparisonTold),
                made_at=kept.made_at,
                made_by=kept.made_by,
            )
        )

    def drop(self, comparison_id: str) -> bool:
        """Take one away; whether it was there."""
        gone = self._run.execute(delete(t.comparisons).where(t.comparisons.c.id == comparison_id))
        return bool(gone.rowcount)
