"""Stocking the rack: bars and remnants that have arrived or been counted."""

from collections.abc import Sequence
from datetime import datetime

from kerfsmith.shop.rack import Bar
from kerfsmith.workflow.ports import Records


def stock_rack(
    records: Records, bars: Sequence[Bar], *, by: str, at: datetime, source: str, afresh: bool = False
) -> None:
    """Put ``bars`` on the rack; ``afresh`` clears it first, as after a stock-take."""
    detail = {"source": source, "entries": len(bars), "afresh": afresh}
    with records.change("stock rack", by=by, at=at, subject="rack", detail=detail) as change:
        if afresh:
            change.clear_rack()
        change.add_bars(bars)
