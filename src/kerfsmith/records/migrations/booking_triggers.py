"""Triggers that book each entry of the cut log on its bar and its line, and let in only what can be next."""

from alembic import op

_PARTS = ("trims_um", "kerfs_um", "pieces_um", "scrap_um")
_COUNTS = ("good", "surplus", "scrapped")

_BOOK_ON_BAR = (
    "UPDATE loaded_bars SET "
    + ", ".join(f"{part} = {part} + NEW.{part}" for part in _PARTS)
    + ", left_um = left_um - ("
    + " + ".join(f"NEW.{part}" for part in _PARTS)
    + "), entries = entries + 1 WHERE id = NEW.bar_id"
)
_BOOK_ON_LINE = (
    "UPDATE run_lines SET "
    + ", ".join(f"{count} = {count} + NEW.{count}" for count in _COUNTS)
    + " WHERE run_id = NEW.run_id AND line_id = NEW.line_id"
)
_REFUSED_WHEN = {
    "cut_is_next": "NEW.entry <> (SELECT entries + 1 FROM loaded_bars WHERE id = NEW.bar_id)",
    "bar_is_in_the_saw": "NEW.kind <> 'reject' AND "
    "(SELECT state FROM loaded_bars WHERE id = NEW.bar_id) <> 'loaded'",
    "undo_takes_back": "NEW.kind = 'undo' AND NOT EXISTS (SELECT 1 FROM cuts AS u WHERE u.id = NEW.corrects "
    "AND u.bar_id = NEW.bar_id AND u.kind <> 'undo' AND u.area_cm2 = -NEW.area_cm2 AND "
    + " AND ".join(f"u.{column} = -NEW.{column}" for column in (*_PARTS, *_COUNTS))
    + ")",
    "reject_is_of_a_piece": "NEW.kind = 'reject' AND NOT EXISTS (SELECT 1 FROM cuts AS p "
    "WHERE p.id = NEW.corrects AND p.bar_id = NEW.bar_id AND p.kind = 'piece' AND p.line_id = NEW.line_id)",
}
"""Rule by name -> what may not be; the same words on both databases."""


def book_cuts() -> None:
    """Make the triggers."""
    if op.get_bind().dialect.name == "sqlite":
        checks = " ".join(
            f"SELECT RAISE(ABORT, '{rule}') WHERE {case};" for rule, case in _REFUSED_WHEN.items()
        )
        op.execute(f"CREATE TRIGGER cuts_let_in BEFORE INSERT ON cuts BEGIN {checks} END")
        op.execute(
            f"CREATE TRIGGER cuts_booked AFTER INSERT ON cuts BEGIN {_BOOK_ON_BAR}; {_BOOK_ON_LINE}; END"
        )
        return
    checks = " ".join(
        f"IF {case} THEN RAISE EXCEPTION '{rule}' "
        f"USING ERRCODE = 'integrity_constraint_violation', CONSTRAINT = '{rule}'; END IF;"
        for rule, case in _REFUSED_WHEN.items()
    )
    op.execute(
        "CREATE FUNCTION cuts_let_in() RETURNS trigger AS "
        f"$$ BEGIN {checks} RETURN NEW; END $$ LANGUAGE plpgsql"
    )
    op.execute(
        "CREATE FUNCTION cuts_booked() RETURNS trigger AS "
        f"$$ BEGIN {_BOOK_ON_BAR}; {_BOOK_ON_LINE}; RETURN NULL; END $$ LANGUAGE plpgsql"
    )
    op.execute("CREATE TRIGGER cuts_let_in BEFORE INSERT ON cuts FOR EACH ROW EXECUTE FUNCTION cuts_let_in()")
    op.execute("CREATE TRIGGER cuts_booked AFTER INSERT ON cuts FOR EACH ROW EXECUTE FUNCTION cuts_booked()")


def drop_booking() -> None:
    """Take the triggers away."""
    sqlite = op.get_bind().dialect.name == "sqlite"
    for name in ("cuts_let_in", "cuts_booked"):
        op.execute(f"DROP TRIGGER {name}" + ("" if sqlite else " ON cuts"))
        if not sqlite:
            op.execute(f"DROP FUNCTION {name}()")
