"""Triggers that hold loads together: what may be laid into one, and cuts that go through all its bars."""

from alembic import op

_SAME_PASS = " AND ".join(
    f"COALESCE(u.{column}, '') = COALESCE(NEW.{column}, '')" for column in ("load_id", "pass_id")
)
_BARS_REFUSED_WHEN = {
    "bar_is_of_its_load": "NEW.load_id IS NOT NULL AND NOT EXISTS (SELECT 1 FROM loads AS l "
    "WHERE l.id = NEW.load_id AND l.run_id = NEW.run_id AND l.revision = NEW.revision "
    "AND l.position = NEW.position)",
    "load_is_alike": "EXISTS (SELECT 1 FROM loaded_bars AS b WHERE b.load_id = NEW.load_id "
    "AND (b.labelled_um <> NEW.labelled_um OR COALESCE(b.heat, '') <> COALESCE(NEW.heat, '')))",
    "load_is_not_cut": "EXISTS (SELECT 1 FROM loaded_bars AS b WHERE b.load_id = NEW.load_id "
    "AND (b.state <> 'loaded' OR b.left_um <> b.length_um))",
    "load_is_not_full": "(SELECT COUNT(*) FROM loaded_bars AS b WHERE b.load_id = NEW.load_id) >= "
    "(SELECT at_once FROM loads AS l WHERE l.id = NEW.load_id)",
}
_MOVES_REFUSED_WHEN = {
    "load_is_left_for_good": "NEW.load_id IS NOT NULL AND COALESCE(OLD.load_id, '') <> NEW.load_id",
}
_CUTS_REFUSED_WHEN = {
    "cut_goes_through_its_load": "NEW.kind IN ('facing', 'piece', 'trim') AND COALESCE(NEW.load_id, '') <> "
    "COALESCE((SELECT load_id FROM loaded_bars WHERE id = NEW.bar_id), '')",
    "undo_is_of_the_same_pass": "NEW.kind = 'undo' AND NOT EXISTS (SELECT 1 FROM cuts AS u "
    f"WHERE u.id = NEW.corrects AND {_SAME_PASS})",
    "a_reject_is_of_one_piece": "NEW.kind = 'reject' AND NEW.pass_id IS NOT NULL",
}
"""Rule by name -> what may not be; the same words on both databases."""
_TRIGGERS = {
    "bars_let_in": ("INSERT", "loaded_bars", _BARS_REFUSED_WHEN),
    "bars_leave_loads": ("UPDATE OF load_id", "loaded_bars", _MOVES_REFUSED_WHEN),
    "cuts_let_through": ("INSERT", "cuts", _CUTS_REFUSED_WHEN),
}


def hold_loads() -> None:
    """Make the triggers."""
    sqlite = op.get_bind().dialect.name == "sqlite"
    for name, (when, table, rules) in _TRIGGERS.items():
        if sqlite:
            checks = " ".join(f"SELECT RAISE(ABORT, '{rule}') WHERE {case};" for rule, case in rules.items())
            op.execute(f"CREATE TRIGGER {name} BEFORE {when} ON {table} BEGIN {checks} END")
            continue
        checks = " ".join(
            f"IF {case} THEN RAISE EXCEPTION '{rule}' "
            f"USING ERRCODE = 'integrity_constraint_violation', CONSTRAINT = '{rule}'; END IF;"
            for rule, case in rules.items()
        )
        op.execute(
            f"CREATE FUNCTION {name}() RETURNS trigger AS "
            f"$$ BEGIN {checks} RETURN NEW; END $$ LANGUAGE plpgsql"
        )
        op.execute(f"CREATE TRIGGER {name} BEFORE {when} ON {table} FOR EACH ROW EXECUTE FUNCTION {name}()")


def drop_loads() -> None:
    """Take the triggers away."""
    sqlite = op.get_bind().dialect.name == "sqlite"
    for name, (_, table, _rules) in _TRIGGERS.items():
        op.execute(f"DROP TRIGGER {name}" + ("" if sqlite else f" ON {table}"))
        if not sqlite:
            op.execute(f"DROP FUNCTION {name}()")
