"""The whole cut log in one reading: every entry with its bar, corrections among them, from a moment on."""

from tests.records.test_trace import a_shift
from tests.workflow.shop_floor import later

from kerfsmith.exchange.export.logs import cut_log_table
from kerfsmith.records.store import Store


def test_every_entry_with_its_bar(store: Store) -> None:
    a_shift(store)
    with store.look() as look:
        log = look.floor.cut_log()
        tail = look.floor.cut_log(later(10))
        entries = (*look.floor.entries("b1"), *look.floor.entries("b2"))
    assert tuple(one.entry for one in log) == entries
    assert [one.entry.id for one in log] == ["c1", "c2", "c3", "u4", "c5", "x6", "c7", "c8"]
    assert [one.entry.id for one in tail] == ["c7", "c8"]
    assert {one.label for one in log} == {"A-1", "R-00001"}
    assert {one.heat for one in log} == {"H100"}
    with store.look() as look:
        bars = look.floor.bars("r1")
    table = cut_log_table(log)
    pieces = [column.name for column in table.columns].index("pieces_mm")
    # What an undo or a reject takes back is in the log with the opposite sign: sums over it are true.
    total = sum(row[pieces] for row in table.rows if isinstance(row[pieces], float))  # type: ignore[misc]
    assert total == sum(at.bar.parts.pieces_um for at in bars) / 1000
