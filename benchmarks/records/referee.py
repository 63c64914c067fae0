"""Recounts records from the cut log alone and says all that is wrong; knows nothing of the verbs."""

from collections.abc import Iterable

from sqlalchemy import Connection, text

_DIFFER = {
    "a bar's parts are not the sum of its cuts": """
        SELECT b.id FROM loaded_bars b LEFT JOIN (
            SELECT bar_id, COUNT(*) AS n, SUM(trims_um) AS trims, SUM(kerfs_um) AS kerfs,
                   SUM(pieces_um) AS pieces, SUM(scrap_um) AS scrap
            FROM cuts GROUP BY bar_id) c ON c.bar_id = b.id
        WHERE b.entries <> COALESCE(c.n, 0) OR b.trims_um <> COALESCE(c.trims, 0)
           OR b.kerfs_um <> COALESCE(c.kerfs, 0) OR b.pieces_um <> COALESCE(c.pieces, 0)
           OR b.scrap_um <> COALESCE(c.scrap, 0)""",
    "a bar does not add up": """
        SELECT id FROM loaded_bars
        WHERE length_um <> trims_um + kerfs_um + pieces_um + scrap_um + left_um OR left_um < 0""",
    "a line's counts are not the sum of its cuts": """
        SELECT l.line_id FROM run_lines l LEFT JOIN (
            SELECT run_id, line_id, SUM(good) AS good, SUM(surplus) AS surplus, SUM(scrapped) AS scrapped
            FROM cuts WHERE line_id IS NOT NULL GROUP BY run_id, line_id) c
          ON c.run_id = l.run_id AND c.line_id = l.line_id
        WHERE l.good <> COALESCE(c.good, 0) OR l.surplus <> COALESCE(c.surplus, 0)
           OR l.scrapped <> COALESCE(c.scrapped, 0)""",
    "an event without its ledger entry": """
        SELECT e.id FROM panel_events e LEFT JOIN ledger l ON l.event_id = e.id WHERE l.number IS NULL""",
    "a ledger entry without its event": """
        SELECT l.event_id FROM ledger l LEFT JOIN panel_events e ON e.id = l.event_id
        WHERE l.event_id IS NOT NULL AND e.id IS NULL""",
    "a panel's events have a gap": """
        SELECT panel FROM panel_events GROUP BY panel HAVING COUNT(*) <> MAX(number) OR MIN(number) <> 1""",
    # Passes that stand: a bar may be laid in after a pass was taken back in all the others.
    "a pass that went through some bars of its load only": """
        SELECT load_id FROM (
            SELECT b.load_id, b.id, COUNT(c.id) - 2 * COUNT(CASE WHEN c.kind = 'undo' THEN 1 END) AS n
            FROM loaded_bars b
            LEFT JOIN cuts c ON c.bar_id = b.id AND c.pass_id IS NOT NULL
            WHERE b.load_id IS NOT NULL GROUP BY b.load_id, b.id) AS through
        GROUP BY load_id HAVING MIN(n) <> MAX(n)""",
    "a bar put away whose remnant is not there": """
        SELECT b.id FROM loaded_bars b LEFT JOIN remnants r ON r.bar_id = b.id
        LEFT JOIN bars k ON k.id = r.label
        WHERE (b.state = 'put away') <> (k.id IS NOT NULL)
           OR (k.id IS NOT NULL AND k.length_um <> b.left_um)""",
}
_EQUAL = {
    "cuts and events that tell of cuts": (
        "SELECT COUNT(*) FROM cuts WHERE pass_id IS NULL",
        "SELECT COUNT(*) FROM panel_events WHERE accepted = 1"
        " AND verb IN ('log cut', 'undo cut', 'reject piece')",
    ),
    "passes and events that tell of passes": (
        "SELECT COUNT(*) FROM (SELECT DISTINCT pass_id, kind = 'undo' FROM cuts WHERE pass_id IS NOT NULL)"
        " AS p",
        "SELECT COUNT(*) FROM panel_events WHERE accepted = 1 AND verb IN ('cut load', 'undo load cut')",
    ),
    "loaded bars and events that tell of loading": (
        "SELECT COUNT(*) FROM loaded_bars",
        "SELECT COUNT(*) FROM panel_events WHERE accepted = 1 AND verb = 'load bar'",
    ),
}


def faults(connection: Connection, acknowledged: Iterable[str] = ()) -> list[str]:
    """Everything wrong, nothing for sound records. ``acknowledged`` are ids of events that were answered."""
    found = []
    for fault, query in _DIFFER.items():
        rows = connection.execute(text(query)).all()
        found += [f"{fault}: {row[0]}" for row in rows[:3]]
    for what, (one, other) in _EQUAL.items():
        here, there = connection.scalar(text(one)), connection.scalar(text(other))
        if here != there:
            found.append(f"{what}: {here} and {there}")
    kept = set(connection.scalars(text("SELECT id FROM panel_events WHERE accepted = 1")))
    found += [f"acknowledged and lost: {event_id}" for event_id in sorted(set(acknowledged) - kept)[:3]]
    if connection.dialect.name == "sqlite":
        for pragma in ("quick_check", "foreign_key_check"):
            rows = connection.execute(text(f"PRAGMA {pragma}")).all()
            found += [f"{pragma}: {row}" for row in rows if row[0] != "ok"]
    return found
