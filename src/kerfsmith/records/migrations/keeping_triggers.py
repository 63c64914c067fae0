"""Triggers that keep rows for good: never changed, and taken away only when the demo shop is emptied."""

from alembic import op


def keep_for_good(*tables: str, demo_may_go: bool = True) -> None:
    """Refuse UPDATE of these tables for ever, and DELETE unless the shop is the demo."""
    if op.get_bind().dialect.name == "sqlite":
        for table in tables:
            _keep_on_sqlite(table, demo_may_go)
        return
    op.execute(
        """
        CREATE OR REPLACE FUNCTION kept_for_good() RETURNS trigger AS $$
        BEGIN
            IF TG_OP = 'DELETE' AND TG_ARGV[0] = 'demo' AND
               (SELECT value::text FROM shop_state WHERE name = 'demo') = 'true' THEN
                RETURN OLD;
            END IF;
            RAISE EXCEPTION '% is kept for good', TG_TABLE_NAME
                USING ERRCODE = 'integrity_constraint_violation',
                      CONSTRAINT = TG_TABLE_NAME || '_kept_for_good';
        END $$ LANGUAGE plpgsql
        """
    )
    for table in tables:
        op.execute(
            f"CREATE TRIGGER {table}_kept_for_good BEFORE UPDATE OR DELETE ON {table} "
            f"FOR EACH ROW EXECUTE FUNCTION kept_for_good('{'demo' if demo_may_go else ''}')"
        )


def _keep_on_sqlite(table: str, demo_may_go: bool) -> None:
    refuse = f"BEGIN SELECT RAISE(ABORT, '{table}_kept_for_good'); END"
    unless = "(SELECT value FROM shop_state WHERE name = 'demo') IS NOT 'true'" if demo_may_go else "1"
    op.execute(f"CREATE TRIGGER {table}_kept_for_good_u BEFORE UPDATE ON {table} {refuse}")
    op.execute(f"CREATE TRIGGER {table}_kept_for_good_d BEFORE DELETE ON {table} WHEN {unless} {refuse}")


def drop_keeping(*tables: str) -> None:
    """Take the triggers away."""
    for table in tables:
        if op.get_bind().dialect.name == "sqlite":
            op.execute(f"DROP TRIGGER {table}_kept_for_good_u")
            op.execute(f"DROP TRIGGER {table}_kept_for_good_d")
        else:
            op.execute(f"DROP TRIGGER {table}_kept_for_good ON {table}")
