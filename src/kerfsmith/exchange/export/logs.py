"""The cut log as a table: one row an entry, corrections among them, so that sums over it are true."""

from collections.abc import Iterable

from kerfsmith.exchange.export.table import Cell, CellKind, Column, Table, mm
from kerfsmith.shop.cut_log import EntryKind, LoggedCut, Outcome, ScrapReason

COLUMNS = (
    Column("cut_id", CellKind.TEXT, "Id of the entry"),
    Column("run_id", CellKind.TEXT, "Run it belongs to"),
    Column("saw", CellKind.TEXT, "Id of the saw"),
    Column("bar_id", CellKind.TEXT, "Id of the bar as loaded"),
    Column("bar", CellKind.TEXT, "Label of that bar"),
    Column("grade", CellKind.TEXT, "Its grade"),
    Column("section", CellKind.TEXT, "Its section"),
    Column("heat", CellKind.TEXT, "Its heat"),
    Column("entry", CellKind.WHOLE, "Number of the entry in the bar's log, from 1"),
    Column("kind", CellKind.TEXT, "What was done", choices=tuple(kind.value for kind in EntryKind)),
    Column("corrects", CellKind.TEXT, "Id of the entry that an undo or reject speaks of", True),
    Column("mark", CellKind.TEXT, "Mark of the piece"),
    Column("line_id", CellKind.TEXT, "Id of its order line", True),
    Column("length_mm", CellKind.NUMBER, "Length of the piece as wanted"),
    Column("outcome", CellKind.TEXT, "What became of it", True, tuple(one.value for one in Outcome)),
    Column("reason", CellKind.TEXT, "Why it was scrapped", True, tuple(one.value for one in ScrapReason)),
    Column("trims_mm", CellKind.NUMBER, "Length of bar that became waste; an undo takes it back"),
    Column("kerfs_mm", CellKind.NUMBER, "Length that became chips; an undo takes it back"),
    Column("pieces_mm", CellKind.NUMBER, "Length that became good pieces; an undo takes it back"),
    Column("scrap_mm", CellKind.NUMBER, "Length that became scrapped pieces; an undo takes it back"),
    Column("area_cm2", CellKind.NUMBER, "Area that the band cut; an undo takes it back"),
    Column("mounting", CellKind.TEXT, "The stay of the band on the saw", True),
    Column("by", CellKind.TEXT, "Who logged it"),
    Column("at", CellKind.MOMENT, "When it was counted"),
    Column("began_at", CellKind.MOMENT, "When the band went in, where noted", True),
    Column("ended_at", CellKind.MOMENT, "When the band came out, where noted", True),
    Column("cut_seconds", CellKind.NUMBER, "How long the band was in the bar, where noted", True),
    Column("motor_load_percent", CellKind.NUMBER, "Highest load of the motor, where noted", True),
    Column("motor_power_kw", CellKind.NUMBER, "Highest power drawn, where noted", True),
    Column("note", CellKind.TEXT, "What was written beside it"),
    Column("load_id", CellKind.TEXT, "Load of bars that it went through, where cut together", True),
    Column("pass_id", CellKind.TEXT, "The pass that cut them: times and load of the motor are its own", True),
)


def cut_log_table(entries: Iterable[LoggedCut]) -> Table:
    """Every entry, oldest first."""
    return Table("cut-log", "Cut log", COLUMNS, tuple(map(_row, entries)))


def _row(logged: LoggedCut) -> tuple[Cell, ...]:
    entry = logged.entry
    return (
        entry.id,
        entry.run_id,
        entry.saw,
        entry.bar_id,
        logged.label,
        logged.grade,
        logged.section_name,
        logged.heat,
        entry.number,
        entry.kind.value,
        entry.corrects,
        entry.mark,
        entry.line_id,
        mm(entry.length_um),
        entry.outcome.value if entry.outcome else None,
        entry.reason.value if entry.reason else None,
        mm(entry.parts.trims_um),
        mm(entry.parts.kerfs_um),
        mm(entry.parts.pieces_um),
        mm(entry.parts.scrap_um),
        float(entry.area_cm2),
        entry.mounting,
        entry.by,
        entry.at,
        entry.began_at,
        entry.ended_at,
        entry.cut_seconds,
        entry.motor_load_percent,
        entry.motor_power_kw,
        entry.note,
        entry.load_id or None,
        entry.pass_id or None,
    )
